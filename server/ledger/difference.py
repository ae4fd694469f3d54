"""Where two documents differ first, by name."""

import json
import re
from collections.abc import Iterator
from typing import Any

from server.ledger.canonical import below, canonical

_PART = re.compile(r'\[(\d+)\]|\[("(?:[^"\\]|\\.)*")\]|([\w-]+)')


def first_difference(one: Any, other: Any) -> str | None:
    """The first path, in canonical order, where two documents differ; None when they are equal."""
    return next(_differences(one, other, ""), None)


def value_at(document: Any, path: str) -> str:
    """What stands at a path of `first_difference`, as short JSON; 'nothing' where none does."""
    here = document
    for index, quoted, name in _PART.findall(path):
        key = int(index) if index else json.loads(quoted) if quoted else name
        try:
            here = here[key]
        except (LookupError, TypeError):
            return "nothing"
    text = json.dumps(here, ensure_ascii=False)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _differences(one: Any, other: Any, at: str) -> Iterator[str]:
    if isinstance(one, dict) and isinstance(other, dict):
        for key in sorted(one.keys() | other.keys(), key=lambda k: k.encode("utf-16-be")):
            if key in one and key in other:
                yield from _differences(one[key], other[key], below(at, key))
            else:
                yield below(at, key)
    elif isinstance(one, list) and isinstance(other, list):
        for index, (left, right) in enumerate(zip(one, other, strict=False)):
            yield from _differences(left, right, below(at, index))
        if len(one) != len(other):
            yield below(at, min(len(one), len(other)))
    elif canonical(one) != canonical(other):
        yield at
