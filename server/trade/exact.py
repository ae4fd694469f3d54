"""Arithmetic on a sheet's quantities without a rounding, and their writing in a sentence."""

from collections.abc import Iterable
from decimal import Context, Decimal
from fractions import Fraction

# A quantity has at most 309 digits at an exponent within a double's range, so sums and products
# of two stay far below this.
_EXACT = Context(prec=3000)
_SHOWN = Context(prec=4)


def total(parts: Iterable[Decimal]) -> Decimal:
    """The exact sum."""
    whole = Decimal(0)
    for part in parts:
        whole = _EXACT.add(whole, part)
    return whole


def times(left: Decimal, right: Decimal | int) -> Decimal:
    """The exact product."""
    return _EXACT.multiply(left, Decimal(right))


def over_share(part: Decimal, whole: Decimal, percent: int) -> bool:
    """Whether `part` is over `percent` of `whole`; exactly that share is not over it."""
    return times(part, 100) > times(whole, percent)


def plain(number: Decimal | Fraction | int) -> str:
    """The number as a sentence carries it: no needless zeros, a fraction to four figures."""
    if isinstance(number, Fraction):
        number = _SHOWN.divide(Decimal(number.numerator), Decimal(number.denominator))
    number = Decimal(number)
    if number and not -9 < number.adjusted() < 12:
        return str(number)
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
