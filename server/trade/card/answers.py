"""Reading what a hand typed: exact numbers, words of a list, and refusals that name the field."""

import re
from collections.abc import Callable, Collection, Iterable, Mapping
from decimal import Decimal
from typing import Any, TypeVar

from server.trade.card.text import listed

Answer = Mapping[str, Any]
K = TypeVar("K")
T = TypeVar("T")

_NUMBER = re.compile(r"[+-]?\d{1,12}(?:[.,]\d{1,12})?")
_LONGEST_NAME = 300
_MOST_US = 5000


class BadAnswer(ValueError):
    """An answer of the wrong shape. `field` is a dotted path into it, `says` stands beside it.

    `more` are further fields that are wrong, each with what to say; `faults` are all of them.
    """

    def __init__(self, field: str, says: str, more: Iterable[tuple[str, str]] = ()) -> None:
        self.field, self.says = field, says
        self.faults = ((field, says), *more)
        super().__init__(f"{field}: {says}")


def each(reads: Iterable[tuple[K, Callable[[], T]]]) -> dict[K, T]:
    """What each read gives, by its name. Raises BadAnswer with the faults of all of them."""
    found: dict[K, T] = {}
    faults: list[tuple[str, str]] = []
    for name, read in reads:
        try:
            found[name] = read()
        except BadAnswer as bad:
            faults += bad.faults
    if faults:
        raise BadAnswer(*faults[0], faults[1:])
    return found


def number(value: object, field: str, *, unit: str = "") -> Decimal:
    """An exact, finite number from text with a comma or a point. Raises BadAnswer."""
    if value is None or value == "":
        raise BadAnswer(field, f"Enter a number{f', in {unit}' if unit else ''}.")
    if isinstance(value, bool) or not isinstance(value, str | int | float | Decimal):
        raise BadAnswer(field, "Enter a number.")
    text = str(value).strip().replace("−", "-")
    if not _NUMBER.fullmatch(text):
        raise BadAnswer(field, f"Enter digits only{f', the {unit} is printed' if unit else ''}.")
    return Decimal(text.replace(",", "."))


def microseconds(value: object, field: str) -> Decimal:
    """A channel's reading in whole µs, 0 to 5000.

    Raises BadAnswer, also for a comma that may stand for thousands.
    """
    read = number(value, field, unit="µs")
    if read != read.to_integral_value():
        raise BadAnswer(field, "Enter a whole number of µs, with no comma or point.")
    if not 0 <= read <= _MOST_US:
        raise BadAnswer(field, "A reading lies between 0 and 5000 µs.")
    return read


def word(value: object, field: str, words: Collection[str]) -> str:
    """One of `words`, compared exactly. Raises BadAnswer."""
    if value is None or value == "":
        raise BadAnswer(field, "Choose one.")
    if not isinstance(value, str) or value not in words:
        raise BadAnswer(field, f"Choose one of {listed(words)}.")
    return value


def text(value: object, field: str, says: str) -> str:
    """Text that is not blank. Raises BadAnswer with `says`."""
    if not isinstance(value, str) or not value.strip():
        raise BadAnswer(field, says)
    if len(value) > _LONGEST_NAME:
        raise BadAnswer(field, f"Keep it under {_LONGEST_NAME} characters.")
    return value.strip()


def mapping(value: object, field: str) -> Mapping[str, Any]:
    """A mapping with text keys. Raises BadAnswer."""
    if not isinstance(value, Mapping) or not all(isinstance(key, str) for key in value):
        raise BadAnswer(field, "This answer is not complete.")
    return value


def only(answer: Mapping[str, Any], known: Collection[str], field: str = "") -> None:
    """Raise BadAnswer for a key that the answer does not have a place for."""
    for key in answer:
        if key not in known:
            raise BadAnswer(f"{field}{key}", "This is not asked here.")


def rows(value: object, field: str, says: str) -> list[Answer]:
    """A list of mappings. Raises BadAnswer with `says` for anything else."""
    if not isinstance(value, list | tuple):
        raise BadAnswer(field, says)
    return [mapping(row, field) for row in value]
