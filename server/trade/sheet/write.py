"""Writing a build sheet back: the keys that were given, in the format's order, numbers exact."""

from collections.abc import Iterator
from decimal import Decimal
from json import JSONEncoder
from typing import Any

from server.trade.sheet.parts import Sheet, SheetPart

WIDTH = 100
_encoded = JSONEncoder(ensure_ascii=False).encode


def to_document(sheet: Sheet) -> dict[str, Any]:
    """Plain values as JSON has them; a quantity is an int where it was written as one."""
    return {key: _plain(value) for key, value in _given(sheet)}


def dump_json(sheet: Sheet) -> str:
    """Indented JSON text; every number with exactly the digits it was read with."""
    return _text(sheet, "") + "\n"


def _given(part: SheetPart) -> Iterator[tuple[str, Any]]:
    """The keys that were given, in the format's order; a key set to None counts as left out."""
    for key in type(part).model_fields:
        value = getattr(part, key)
        if value is not None and key in part.model_fields_set:
            yield key, value


def _plain(value: Any) -> Any:
    if isinstance(value, SheetPart):
        return {key: _plain(inner) for key, inner in _given(value)}
    if isinstance(value, tuple):
        return [_plain(inner) for inner in value]
    if isinstance(value, Decimal):
        whole = value.as_tuple().exponent == 0
        return int(value) if whole else float(value)
    return dict(value) if isinstance(value, dict) else value


def _text(value: Any, indent: str) -> str:
    """`value` on one line where it fits, else a line for each of its members."""
    line = _line(value)
    fits = len(indent) + len(line) <= WIDTH and not isinstance(value, Sheet)
    if fits or not isinstance(value, SheetPart | tuple | dict):
        return line
    deeper = indent + "  "
    body = ",\n".join(f"{deeper}{key}{_text(inner, deeper)}" for key, inner in _members(value))
    return f"{line[0]}\n{body}\n{indent}{line[-1]}"


def _line(value: Any) -> str:
    if not isinstance(value, SheetPart | tuple | dict):
        return _scalar(value)
    opening, closing = "[]" if isinstance(value, tuple) else "{}"
    return f"{opening}{', '.join(key + _line(inner) for key, inner in _members(value))}{closing}"


def _members(value: Any) -> Iterator[tuple[str, Any]]:
    """What each member's line starts with, and its value."""
    if isinstance(value, tuple):
        yield from (("", inner) for inner in value)
        return
    pairs = _given(value) if isinstance(value, SheetPart) else value.items()
    yield from ((f"{_encoded(key)}: ", inner) for key, inner in pairs)


def _scalar(value: Any) -> str:
    # A decimal's own writing, exponent included, is a JSON number.
    return str(value) if isinstance(value, Decimal) else _encoded(value)
