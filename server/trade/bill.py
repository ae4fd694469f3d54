"""What a ticket costs: lines, tax, paid, owed. All in minor units of one currency."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

# How half a minor unit of tax is rounded: `half-up` away from zero, `half-even` to the even
# neighbour ('bankers' rounding'). The names are those of Python's decimal module; in IEEE 754-2019,
# 4.3.1 and 4.3.2, they are roundTiesToAway and roundTiesToEven.
ROUNDINGS = ("half-up", "half-even")
KINDS = ("labour", "parts")
_MODES = {"half-up": ROUND_HALF_UP, "half-even": ROUND_HALF_EVEN}
_ONE = Decimal(1)
_BASIS_POINTS = Decimal(10_000)  # tax comes in hundredths of a per cent


@dataclass(frozen=True, slots=True)
class PricedLine:
    """One line: how many at what price, its sum before tax, and the tax on it."""

    says: str
    quantity: int
    unit_minor: int
    net_minor: int
    tax_minor: int
    kind: str = "labour"


@dataclass(frozen=True, slots=True)
class Bill:
    """The lines added up. `owed_minor` is below zero where more was paid than is due."""

    lines: tuple[PricedLine, ...]
    tax_bp: int
    paid_minor: int
    deposit_minor: int = 0
    currency: str = ""

    @property
    def net_minor(self) -> int:
        """The sum of the lines, before tax."""
        return sum(line.net_minor for line in self.lines)

    @property
    def tax_minor(self) -> int:
        """The tax of all lines, each rounded by itself."""
        return sum(line.tax_minor for line in self.lines)

    @property
    def total_minor(self) -> int:
        """What it costs."""
        return self.net_minor + self.tax_minor

    @property
    def owed_minor(self) -> int:
        """What is left to pay."""
        return self.total_minor - self.paid_minor


def tax_on(net_minor: int, tax_bp: int, rounding: str = "half-up") -> int:
    """The tax on one line, to a whole minor unit. Raises KeyError for an unknown rounding."""
    exact = Decimal(net_minor) * Decimal(tax_bp) / _BASIS_POINTS
    return int(exact.quantize(_ONE, rounding=_MODES[rounding]))


def bill(
    lines: Iterable[tuple[str, int, int, str]],
    tax_bp: int,
    paid_minor: int = 0,
    *,
    rounding: str = "half-up",
    deposit_minor: int = 0,
    currency: str = "",
) -> Bill:
    """The bill of (what, how many, price of one, kind) lines.

    The tax is in hundredths of a per cent; of what was paid, `deposit_minor` came before the work.
    """
    priced = (
        PricedLine(
            says, quantity, unit, quantity * unit, tax_on(quantity * unit, tax_bp, rounding), kind
        )
        for says, quantity, unit, kind in lines
    )
    return Bill(tuple(priced), tax_bp, paid_minor, deposit_minor, currency)
