"""Reading a build sheet from JSON, from TOML, or from a document already in memory."""

import json
import re
import tomllib
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any, TypeVar

from pydantic import ValidationError

from server.trade.sheet.parts import Sheet, SheetPart
from server.trade.sheet.types import Overlong, SheetError, shown

P = TypeVar("P", bound=SheetPart)
MOST_BYTES = 1024 * 1024
LONGEST_NUMBER = 100
WHOLE = "document"
BYTE_ORDER_MARK = b"\xef\xbb\xbf"

# The TOML reader needs time by the square of a dotted key's steps: 20,000 of them take 13 s. The
# shape is six deep, and no name is long enough to hold 64 steps.
DEEP_KEY = re.compile(r"""(?<![\w-])(?:(?:"[^"\n]*"|'[^'\n]*'|[\w-]++)[ \t]*+\.[ \t]*+){64}""")
TOML_PLACE = re.compile(r" ?\(at (?:line (\d+), column (\d+)|end of document)\)$")


class _Doubled(dict[str, Any]):
    """An object in which `key` was given twice."""

    key = ""


def from_document(document: object) -> Sheet:
    """The sheet in `document`, plain values as JSON has them. Raises SheetError."""
    return part_from_document(Sheet, document)


def part_from_document(kind: type[P], document: object) -> P:
    """One part of a sheet, such as a board, by the sheet's own rules. Raises SheetError."""
    try:
        return kind.model_validate(document)
    except ValidationError as wrong:
        raise _first_of(wrong) from None


def read_json(data: bytes) -> Sheet:
    """The sheet in UTF-8 JSON, numbers exact. Raises SheetError with the place."""
    doubled: list[_Doubled] = []
    try:
        document = json.loads(
            _text(data),
            object_pairs_hook=_pairs_into(doubled),
            parse_float=_number,
            parse_int=_integer,
            parse_constant=Decimal,
        )
        if doubled:
            raise _doubled_key(document)
    except json.JSONDecodeError as wrong:
        raise SheetError(f"line {wrong.lineno} column {wrong.colno}", wrong.msg) from None
    except RecursionError:
        raise SheetError(WHOLE, "nested far deeper than a build sheet is") from None
    return from_document(document)


def read_toml(data: bytes) -> Sheet:
    """The sheet in UTF-8 TOML with the same keys. Raises SheetError with the place."""
    text = _text(data)
    _refuse_deep_keys(text)
    try:
        document = tomllib.loads(text, parse_float=_number)
    except RecursionError:
        raise SheetError(WHOLE, "nested far deeper than a build sheet is") from None
    except ValueError as wrong:
        raise _toml_error(wrong) from None
    return from_document(document)


def _text(data: bytes) -> str:
    if len(data) > MOST_BYTES:
        raise SheetError(WHOLE, f"{len(data)} bytes; at most {MOST_BYTES} are read")
    try:
        return data.removeprefix(BYTE_ORDER_MARK).decode("utf-8")
    except UnicodeDecodeError as wrong:
        raise SheetError(f"byte {wrong.start}", "not UTF-8") from None


def _refuse_deep_keys(text: str) -> None:
    deep = DEEP_KEY.search(text)
    if deep:
        line = text.count("\n", 0, deep.start()) + 1
        raise SheetError(f"line {line}", "a key nested far deeper than a build sheet is")


def _toml_error(wrong: ValueError) -> SheetError:
    place = TOML_PLACE.search(str(wrong))
    says = TOML_PLACE.sub("", str(wrong))
    if place is None:
        return SheetError(WHOLE, "a number or date that cannot be read")
    line, column = place.groups()
    return SheetError(f"line {line} column {column}" if line else "end of document", says)


def _number(text: str) -> Decimal | Overlong:
    if len(text) > LONGEST_NUMBER:
        return Overlong()
    try:
        return Decimal(text)
    except ArithmeticError:  # an exponent beyond what the decimal module holds
        return Decimal("Infinity")


def _integer(text: str) -> int | Overlong:
    return int(text) if len(text) <= LONGEST_NUMBER else Overlong()


def _pairs_into(doubled: list[_Doubled]) -> Callable[[list[tuple[str, Any]]], dict[str, Any]]:
    def keep(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
        found = dict(pairs)
        if len(found) == len(pairs):
            return found
        keys = [key for key, _ in pairs]
        marked = _Doubled(found)
        marked.key = next(key for i, key in enumerate(keys) if key in set(keys[:i]))
        doubled.append(marked)
        return marked

    return keep


def _doubled_key(document: object) -> SheetError:
    at, key = next(_doubles(document, ()))
    return SheetError(_path((*at, key)), "the key is given twice")


def _doubles(value: object, at: tuple[Any, ...]) -> Iterator[tuple[tuple[Any, ...], str]]:
    if isinstance(value, _Doubled):
        yield at, value.key
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _doubles(inner, (*at, key))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from _doubles(inner, (*at, i))


def _path(steps: tuple[Any, ...]) -> str:
    path = ""
    for step in steps:
        if isinstance(step, int):
            path += f"[{step}]"
        else:
            plain = 0 < len(step) <= 60 and step.isprintable()
            path += ("." if path else "") + (step if plain else shown(step))
    return path or WHOLE


def _first_of(wrong: ValidationError) -> SheetError:
    first = wrong.errors(include_url=False, include_input=False)[0]
    at = _path(first["loc"]) if first["loc"] else ""
    below = first.get("ctx", {}).get("at", "")
    path = at + ("." if at and below else "") + below
    says = "is missing" if first["type"] == "missing" else first["msg"]
    return SheetError(path or WHOLE, says)
