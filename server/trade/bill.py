"""What a ticket costs: lines, tax, paid, owed. All in minor units of one currency."""

from collections.abc import Iterable
from dataclasses import dataclass

ONE = 10_000  # tax comes in hundredths of a per cent


@dataclass(frozen=True, slots=True)
class Priced:
    """One line: how many at what price, its sum before tax, and the tax on it."""

    says: str
    quantity: int
    unit_minor: int
    net_minor: int
    tax_minor: int


@dataclass(frozen=True, slots=True)
class Bill:
    """The lines added up. `owed_minor` is below zero where more was paid than is due."""

    lines: tuple[Priced, ...]
    tax_bp: int
    paid_minor: int

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


def tax_on(net_minor: int, tax_bp: int) -> int:
    """The tax on one line, half a minor unit up (common practice, no source)."""
    return (net_minor * tax_bp + ONE // 2) // ONE


def bill(lines: Iterable[tuple[str, int, int]], tax_bp: int, paid_minor: int = 0) -> Bill:
    """The bill of (what, how many, price of one) lines at a tax in hundredths of a per cent."""
    priced = (
        Priced(says, quantity, unit, quantity * unit, tax_on(quantity * unit, tax_bp))
        for says, quantity, unit in lines
    )
    return Bill(tuple(priced), tax_bp, paid_minor)
