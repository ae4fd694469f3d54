"""Battery readings: new scales from a meter or a charger, and what a pack's voltage may mean."""

from collections.abc import Iterator
from decimal import Decimal

from server.trade.solving import NoAnswer
from server.trade.tables.cells import CELLS

MOST_CELLS = 14
PLACES = Decimal("0.00001")
# A pack may come in below what the sheet calls empty: never flown under 3.0 V a cell, 2.5 for
# Li-ion. Common practice, no source.
FLAT = {"LiPo": Decimal("3.0"), "LiHV": Decimal("3.0"), "Li-ion": Decimal("2.5")}
# Further off than this is another divider or sensor, or a slip of the pen, and no scale to tune.
MOST_CHANGE = Decimal(2)


def voltage_scale(old: Decimal, meter: Decimal, shown: Decimal) -> Decimal:
    """The scale with which the craft shows what the meter reads: old · meter / shown.

    P. Horowitz, W. Hill, The Art of Electronics, ch. 1 (from memory), for a divider. Any unit.
    Raises NoAnswer for what is not above zero, or where the two are more than twice apart.
    """
    return _scaled(old, {"meter": meter, "shown": shown})


def current_scale(old: Decimal, charged: Decimal, counted: Decimal) -> Decimal:
    """The scale with which the craft counts what the charger put back: old · charged / counted.

    mAh over one whole flight, from full to full. For a scale that shows more the larger it is;
    where a program's is the other way round (mV per A), divide by the same factor: exchange the
    last two. Raises NoAnswer as `voltage_scale` does.
    """
    return _scaled(old, {"charged": charged, "counted": counted})


def _scaled(old: Decimal, pair: dict[str, Decimal]) -> Decimal:
    for name, value in {"scale": old, **pair}.items():
        if not value.is_finite() or value <= 0:
            raise NoAnswer(name, "A figure above zero is needed.")
    true, found = pair.values()
    change = true / found
    if not 1 / MOST_CHANGE <= change <= MOST_CHANGE:
        names = " and ".join(pair)
        raise NoAnswer(
            ", ".join(pair),
            f"{names} are more than twice apart: look for a wrong reading or a wrong sensor.",
        )
    return (old * change).quantize(PLACES).normalize() + 0


def cell_counts(volts: Decimal, chemistry: str) -> tuple[int, ...]:
    """All cell counts that a pack of that voltage may have, from 1 to 14.

    A voltage alone does not tell a full pack from a flat one with a cell more: ask.
    """
    return tuple(_counts(volts, CELLS[chemistry].full, FLAT[chemistry]))


def zone(cells: int, chemistry: str) -> tuple[Decimal, Decimal]:
    """Volts of a pack of `cells`, from one that is as flat as any may be to a full one."""
    return FLAT[chemistry] * cells, CELLS[chemistry].full * cells


def _counts(volts: Decimal, full: Decimal, flat: Decimal) -> Iterator[int]:
    for cells in range(1, MOST_CELLS + 1):
        if flat * cells <= volts <= full * cells:
            yield cells
