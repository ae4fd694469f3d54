"""Writing a build sheet back: the keys that were given, in the format's order, numbers exact."""

import json
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from server.trade.sheet_parts import Part, Sheet

WIDTH = 100


def to_document(sheet: Sheet) -> dict[str, Any]:
    """Plain values as JSON has them; a quantity is an int where it was written as one."""
    return {key: _plain(value) for key, value in _given(sheet)}


def dump_json(sheet: Sheet) -> str:
    """Indented JSON text; every number with exactly the digits it was read with."""
    return _text(sheet, "") + "\n"


def _given(part: Part) -> Iterator[tuple[str, Any]]:
    """The keys that were given, in the format's order; a key set to None counts as left out."""
    for key in type(part).model_fields:
        value = getattr(part, key)
        if value is not None and key in part.model_fields_set:
            yield key, value


def _plain(value: Any) -> Any:
    if isinstance(value, Part):
        return {key: _plain(inner) for key, inner in _given(value)}
    if isinstance(value, tuple):
        return [_plain(inner) for inner in value]
    if isinstance(value, Decimal):
        whole = value.as_tuple().exponent == 0
        return int(value) if whole else float(value)
    return dict(value) if isinstance(value, dict) else value


def _text(value: Any, indent: str) -> str:
    """`value` on one line where it fits, else a line for each of its members."""
    if not isinstance(value, Part | tuple | dict):
        return _scalar(value)
    members = list(_members(value, ""))
    opening, closing = "[]" if isinstance(value, tuple) else "{}"
    line = f"{opening}{', '.join(members)}{closing}"
    if len(indent) + len(line) <= WIDTH and indent:
        return line
    deeper = indent + "  "
    body = ",\n".join(deeper + member for member in _members(value, deeper))
    return f"{opening}\n{body}\n{indent}{closing}"


def _members(value: Any, indent: str) -> Iterator[str]:
    if isinstance(value, tuple):
        yield from (_text(inner, indent or "") for inner in value)
        return
    pairs = _given(value) if isinstance(value, Part) else value.items()
    yield from (f"{json.dumps(key)}: {_text(inner, indent)}" for key, inner in pairs)


def _scalar(value: Any) -> str:
    # A decimal's own writing, exponent included, is a JSON number.
    return str(value) if isinstance(value, Decimal) else json.dumps(value, ensure_ascii=False)
