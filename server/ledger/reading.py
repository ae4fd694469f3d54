"""Reading JSON as strictly as it was written.

UTF-8 without a mark, no key twice, no NaN, bounded size and depth. No bytes can make it raise
anything but NotCanonical.
"""

import json
import re
from typing import Any, NoReturn

from server.ledger.canonical import DEPTH, LARGEST, NotCanonical, refuse

# A log of a full sheet (1 MiB at most) stands twice in its file, once in base64.
LIMIT = 8 * 1024 * 1024

# A whole string, or an unended one up to the end, or one bracket: one pass over the text whatever
# it holds.
_TOKEN = re.compile(r'"[^"\\]*+(?:\\.[^"\\]*+)*+"?|[\[\]{}]', re.DOTALL)


def read_json(data: bytes) -> Any:
    """The values of a JSON text. Raises NotCanonical, with the byte where that is known.

    Whole numbers beyond ±(2^53 - 1) come back as floats, as every double-based reader has them.
    """
    if len(data) > LIMIT:
        raise NotCanonical("file", f"{len(data)} bytes; at most {LIMIT} are read")
    text = _text(data)
    if _deepest(text) > DEPTH:
        raise NotCanonical("file", f"nested deeper than {DEPTH} levels")
    document = _parse(text)
    refuse(document)
    return document


def _text(data: bytes) -> str:
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise NotCanonical(f"byte {error.start}", "not UTF-8") from None


def _deepest(text: str) -> int:
    """How deep the brackets go, counted without descending, so that no text can exhaust us."""
    depth = deepest = 0
    for token in _TOKEN.finditer(text):
        depth += {"[": 1, "{": 1, "]": -1, "}": -1}.get(token[0], 0)
        deepest = max(deepest, depth)
    return deepest


def _parse(text: str) -> Any:
    try:
        return json.loads(
            text, object_pairs_hook=_once, parse_int=_whole, parse_constant=_no_constant
        )
    except json.JSONDecodeError as error:
        at = len(text[: error.pos].encode("utf-8"))
        raise NotCanonical(f"byte {at}", f"not JSON: {error.msg}") from None


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    members: dict[str, Any] = {}
    for name, value in pairs:
        if name in members:
            raise NotCanonical("file", f"the key {json.dumps(name)} is given twice in one object")
        members[name] = value
    return members


def _whole(digits: str) -> int | float:
    # Sixteen digits and a sign hold every whole number up to LARGEST; longer ones would make int()
    # refuse or take long.
    number = int(digits) if len(digits) <= 17 else LARGEST + 1
    return number if abs(number) <= LARGEST else float(digits)


def _no_constant(name: str) -> NoReturn:
    raise NotCanonical("file", f"{name} is no JSON number")
