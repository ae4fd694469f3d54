"""Canonical JSON (RFC 8785): one document, one row of bytes, so that it can be signed."""

import hashlib
import json
import math
import re
from decimal import Decimal
from typing import Any

import rfc8785

DEPTH = 40
# Every whole number up to here has a double of its own (RFC 7493 §2.2).
LARGEST = 2**53 - 1

_PLAIN_KEY = re.compile(r"[A-Za-z0-9_-]+\Z")


class NotCanonical(ValueError):
    """A value or a text that has no canonical form; `at` is the path or byte, `says` why."""

    def __init__(self, at: str, says: str) -> None:
        self.at, self.says = at, says
        super().__init__(f"{at}: {says}" if at else says)


def canonical(document: Any) -> bytes:
    """The RFC 8785 bytes of plain JSON values (None, bool, int, float, str, list, tuple, dict).

    Raises NotCanonical for NaN and infinity, whole numbers beyond ±(2^53 - 1), keys that are not
    text, half a surrogate pair, Decimal and every other type, and nesting deeper than DEPTH.
    """
    refuse(document)
    return rfc8785.dumps(document)


def digest(payload: bytes) -> str:
    """SHA-256 of `payload` in 64 small hex digits; of a log, the payload is its canonical bytes."""
    return hashlib.sha256(payload).hexdigest()


def below(at: str, key: str | int) -> str:
    """The path of a member (text) or an item (number) of what stands at `at`."""
    if isinstance(key, int):
        return f"{at}[{key}]"
    if not _PLAIN_KEY.match(key):
        return f"{at}[{json.dumps(key)}]"
    return f"{at}.{key}" if at else key


def refuse(value: Any, at: str = "", depth: int = 0) -> None:
    """Raise NotCanonical for what RFC 8785 cannot carry, with its path."""
    if depth >= DEPTH and isinstance(value, dict | list | tuple):
        raise NotCanonical(at, f"nested deeper than {DEPTH} levels")
    if isinstance(value, dict):
        for key, member in value.items():
            _refuse_key(key, at)
            refuse(member, below(at, key), depth + 1)
    elif isinstance(value, list | tuple):
        for index, item in enumerate(value):
            refuse(item, below(at, index), depth + 1)
    else:
        _refuse_scalar(value, at)


def _refuse_key(key: Any, at: str) -> None:
    if not isinstance(key, str):
        raise NotCanonical(at, f"the key {key!r} is not text")
    if not _encodes(key):
        raise NotCanonical(at, "a key holds half a surrogate pair")


def _refuse_scalar(value: Any, at: str) -> None:
    if value is None or isinstance(value, bool):
        return
    if isinstance(value, str):
        if not _encodes(value):
            raise NotCanonical(at, "the text holds half a surrogate pair")
    elif isinstance(value, int):
        if abs(value) > LARGEST:
            raise NotCanonical(at, "a whole number beyond ±(2^53 - 1)")
    elif isinstance(value, float):
        if not math.isfinite(value):
            raise NotCanonical(at, f"{value} is no JSON number")
    elif isinstance(value, Decimal):
        raise NotCanonical(at, "a Decimal has no JSON number of its own: write it as text")
    else:
        raise NotCanonical(at, f"{type(value).__name__} is no JSON value")


def _encodes(text: str) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True
