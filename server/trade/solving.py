"""What the solvers share: how a document is read, and how one is refused."""

import json
from collections.abc import Mapping
from decimal import Decimal
from typing import Annotated, NoReturn, TypeVar

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError

from server.trade.finding import Finding, Severity, bars_of

COMMON = "common practice, no source"
MOST_BYTES = 1024 * 1024

# What the reader of a document is told, by the kind of mistake that pydantic names.
PLAIN = {
    "missing": "This key is required.",
    "extra_forbidden": "This key is not known here.",
    "model_type": "This is to be an object with keys.",
    "model_attributes_type": "This is to be an object with keys.",
    "tuple_type": "This is to be a list.",
    "too_short": "The list has too few entries.",
    "too_long": "The list has too many entries.",
    "string_type": "This is to be text.",
}


class NoAnswer(ValueError):
    """The input cannot be read, or no craft can give it. `at` is the place, `says` the reason."""

    def __init__(self, at: str, says: str) -> None:
        self.at, self.says = at, says
        super().__init__(f"{at}: {says}" if at else says)


def found(code: str, severity: Severity, subject: str, says: str, do: str) -> Finding:
    """A solver's finding. It comes of what was seen, so it bars the signature and no re-test."""
    return Finding(
        code=code,
        severity=severity,
        bars=bars_of(severity),
        subject=subject,
        says=says,
        do=do,
        source=COMMON,
    )


class SolverInput(BaseModel):
    """A document that a solver reads: frozen, no unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


Shape = TypeVar("Shape", bound=SolverInput)


def exact(value: object) -> Decimal:
    """A number as an exact decimal; a float by the digits it is written with.

    Raises ValueError for text, true, false, infinities and what is not a number.
    """
    if isinstance(value, bool) or not isinstance(value, int | float | Decimal):
        raise ValueError("This is to be a number.")
    number = Decimal(repr(value)) if isinstance(value, float) else Decimal(value)
    if not number.is_finite():
        raise ValueError("This is to be a finite number.")
    return number


Exact = Annotated[Decimal, BeforeValidator(exact)]
Name = Annotated[str, Field(strict=True, min_length=1, max_length=60)]


def plain_number(value: Decimal) -> int | float:
    """The decimal as JSON has it: whole numbers without a point."""
    return int(value) if value == value.to_integral_value() else float(value)


def read_document(data: bytes) -> object:
    """The JSON in `data`, numbers with a point as exact decimals.

    Raises NoAnswer for what is no JSON, over 1 MiB, not UTF-8, or has a key twice.
    """
    if len(data) > MOST_BYTES:
        raise NoAnswer("file", "It is over 1 MiB, which is the most that is read.")
    try:
        return json.loads(
            data.decode("utf-8-sig"),
            parse_float=Decimal,
            parse_constant=_no_constant,
            object_pairs_hook=_keys_once,
        )
    except UnicodeDecodeError as error:
        raise NoAnswer(f"byte {error.start}", "The bytes are not UTF-8.") from None
    except json.JSONDecodeError as error:
        place = f"line {error.lineno}, column {error.colno}"
        raise NoAnswer(place, f"This is not JSON: {error.msg}.") from None
    except RecursionError:
        raise NoAnswer("file", "It is nested too deep.") from None
    except NoAnswer:
        raise
    except ValueError:  # a whole number with more digits than Python reads
        raise NoAnswer("file", "A number in it is too long to read.") from None


def _no_constant(word: str) -> NoReturn:
    raise NoAnswer("file", f"{word} is not a number that JSON has.")


def _keys_once(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) < len(pairs):
        twice = next(key for key in found if sum(k == key for k, _ in pairs) > 1)
        raise NoAnswer(twice, "This key is given twice.")
    return found


def told(shape: type[Shape], document: object) -> Shape:
    """`document` read as `shape`. Raises NoAnswer with the place of the first mistake."""
    try:
        return shape.model_validate(document)
    except ValidationError as error:
        raise _first(error) from None


def _first(error: ValidationError) -> NoAnswer:
    mistake: Mapping[str, object] = error.errors(include_url=False, include_input=False)[0]
    place = ""
    for part in error.errors()[0]["loc"]:
        place += f"[{part}]" if isinstance(part, int) else f".{part}" if place else part
    says = PLAIN.get(str(mistake["type"]), str(mistake["msg"]).removeprefix("Value error, "))
    return NoAnswer(place or "document", says)
