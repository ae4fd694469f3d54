"""The values a build sheet is made of, and the error that names the place of a wrong one."""

from collections.abc import Callable, Collection
from decimal import Decimal
from math import isinf
from typing import Annotated, Any, NoReturn

from pydantic import PlainValidator, WithJsonSchema
from pydantic_core import PydanticCustomError

NAME_LENGTH = 60
SHOWN = 60
ZERO = Decimal(0)


class SheetError(ValueError):
    """A sheet that cannot be read: `at` is the place, `says` what was found and what is allowed."""

    def __init__(self, at: str, says: str) -> None:
        self.at, self.says = at, says
        super().__init__(f"{at}: {says}")


class Overlong:
    """Stands for a number written out at such length that it was not read."""

    def __str__(self) -> str:
        return "a number of over 100 characters"


def shown(value: object) -> str:
    """`value` as a message may carry it: short, printable, and never a lone surrogate."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        text = repr(value[: SHOWN + 1])
        return text if len(value) <= SHOWN else f"a text of {len(value)} characters"
    if isinstance(value, dict | list | tuple):
        return "an object" if isinstance(value, dict) else "a list"
    if isinstance(value, int) and value.bit_length() > 200:
        return "a very long number"
    return str(value)[: SHOWN + 1]


def listed(names: Collection[str], most: int = 24) -> str:
    """`names` for a message, cut short where there are very many; 'none' when empty."""
    shortened = [name for name, _ in zip(names, range(most), strict=False)]
    return (", ".join(shortened) or "none") + (", …" if len(names) > most else "")


def refuse(says: str, at: str = "") -> NoReturn:
    """Stop the reading; `at` is the path below the part that is being read."""
    raise PydanticCustomError("sheet", "{says}", {"says": says, "at": at})


def read_name(value: Any) -> str:
    """1 to 60 printable characters, kept exactly as they stand."""
    if type(value) is not str:
        refuse(f"found {shown(value)}; a text is wanted")
    if not 0 < len(value) <= NAME_LENGTH:
        refuse(f"found {shown(value)}; 1 to {NAME_LENGTH} characters are allowed")
    if not value.isprintable():
        refuse(f"found {shown(value)}; printable characters only are allowed")
    return value


def read_number(value: Any) -> Decimal:
    """Any finite number, exact: a float counts by its shortest writing."""
    kind = type(value)
    if kind is Decimal:
        number: Decimal = value
    elif kind is int and value.bit_length() <= 1024:
        number = Decimal(value)
    elif kind is float:
        number = Decimal(repr(value))
    elif kind is Overlong:
        refuse(f"found {value}; write it shorter")
    elif kind is int:
        refuse("found a number too large to be worked with")
    else:
        refuse(f"found {shown(value)}; a number is wanted")
    if not number.is_finite() or isinf(float(number)):
        refuse(f"found {shown(number)}; a finite number is wanted")
    if not number:
        return ZERO  # 0e-999999999 is a zero that would make a sum of a billion digits
    if float(number) == 0:
        refuse(f"found {shown(number)}, which is too small to be worked with")
    return number


def read_quantity(value: Any) -> Decimal:
    """A finite number above zero."""
    number = read_number(value)
    if number <= 0:
        refuse(f"found {number}; a number above zero is wanted")
    return number


def read_amps(value: Any) -> Decimal:
    """A finite number, zero or above."""
    number = read_number(value)
    if number < 0:
        refuse(f"found {number}; zero or a number above it is wanted")
    return number


def read_range(value: Any) -> tuple[Decimal, Decimal]:
    """Two numbers with 0 < low <= high."""
    if not isinstance(value, list | tuple) or len(value) != 2:
        refuse(f"found {shown(value)}; a list of two numbers, low and high, is wanted")
    low, high = read_quantity(value[0]), read_quantity(value[1])
    if low > high:
        refuse(f"found {low} to {high}; the low end may not be above the high end")
    return low, high


def read_whole(low: int, high: int) -> Callable[[Any], int]:
    """A reader for whole numbers from `low` to `high`, ends included."""

    wanted = f"{low}" if low == high else f"a whole number from {low} to {high}"

    def read(value: Any) -> int:
        number = read_number(value)
        if not low <= number <= high or number != number.to_integral_value():
            refuse(f"found {shown(number)}; {wanted} is wanted")
        return int(number)

    return read


def read_word(allowed: Collection[str]) -> Callable[[Any], str]:
    """A reader for one of the words of a table, compared exactly."""
    words = frozenset(allowed)
    says = f"allowed: {listed(allowed)}"

    def read(value: Any) -> str:
        if type(value) is not str or value not in words:
            refuse(f"found {shown(value)}; {says}")
        return value

    return read


def read_flag(value: Any) -> bool:
    """true or false, and nothing that merely counts as one."""
    if type(value) is not bool:
        refuse(f"found {shown(value)}; true or false is wanted")
    return value


NUMBER = {"type": "number", "exclusiveMinimum": 0}
NAME = {"type": "string", "minLength": 1, "maxLength": NAME_LENGTH}
Name = Annotated[str, PlainValidator(read_name), WithJsonSchema(NAME)]
Quantity = Annotated[Decimal, PlainValidator(read_quantity), WithJsonSchema(NUMBER)]
Amps = Annotated[
    Decimal, PlainValidator(read_amps), WithJsonSchema({"type": "number", "minimum": 0})
]
Span = Annotated[
    tuple[Decimal, Decimal],
    PlainValidator(read_range),
    WithJsonSchema({"type": "array", "items": NUMBER, "minItems": 2, "maxItems": 2}),
]
Flag = Annotated[bool, PlainValidator(read_flag), WithJsonSchema({"type": "boolean"})]
