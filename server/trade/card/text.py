"""How numbers and lists are written on a card."""

import re
from collections.abc import Iterable, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Context, Decimal
from functools import lru_cache

from server.trade.exact import plain as as_written

# A value and its unit never part at the end of a line.
_VALUE_AND_UNIT = re.compile(r"(?<=\d) (?=(?:A|mAh|V|s|µs|%|baud|Hz|kHz|rpm|°)(?!\w))")
_TIED = "\N{NO-BREAK SPACE}"

# Above this many digits before the point a number is written with an exponent: a sheet's
# quantities have no upper bound, and a card has no room for three hundred digits.
_LONGEST = 9
# Room for every digit that a sheet may write.
_WIDE = Context(prec=400)


@lru_cache(maxsize=4096)
def tie(words: str) -> str:
    """`words` with no-break spaces between each number and its unit."""
    return _VALUE_AND_UNIT.sub(_TIED, words)


def plain(number: Decimal | int) -> str:
    """The one text of an exact number, however it was written: 5.0 and 5 are both '5'."""
    return as_written(_WIDE.normalize(Decimal(number)))


def places(number: Decimal, digits: int) -> str:
    """`number` with `digits` decimals, for a figure that was computed and not typed."""
    if number.adjusted() > _LONGEST:
        return f"{number:.3E}"
    return f"{number:.{digits}f}"


def rounded_down(number: Decimal, step: str) -> Decimal:
    """The largest multiple of the decimal place `step` ('0.01') not over `number`."""
    return _rounded(number, step, ROUND_FLOOR)


def rounded_up(number: Decimal, step: str) -> Decimal:
    """The smallest multiple of the decimal place `step` ('0.01') not under `number`."""
    return _rounded(number, step, ROUND_CEILING)


def _rounded(number: Decimal, step: str, mode: str) -> Decimal:
    if number.adjusted() > _LONGEST:
        return number
    return number.quantize(Decimal(step), rounding=mode, context=_WIDE)


def listed(words: Iterable[str]) -> str:
    """'a', 'a and b', 'a, b and c'."""
    every = list(words)
    return " and ".join([", ".join(every[:-1]), every[-1]]) if len(every) > 1 else "".join(every)


def shortened(words: Sequence[str], most: int = 3) -> str:
    """'a, b, c and 30 more': a list that would be longer than what it is about."""
    left = len(words) - most
    return listed(words) if left < 2 else f"{', '.join(words[:most])} and {left} more"


def counted(number: int, noun: str, plural: str | None = None) -> str:
    """'1 lead', '3 leads'."""
    return f"{number} {noun if number == 1 else plural or noun + 's'}"
