"""What one battery cell holds, full and empty."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Cell:
    """Volts of one cell at the end of charge and at the end of flight."""

    chemistry: str
    full: Decimal
    empty: Decimal
    source: str


CHARGER = (
    "full: charger IC data sheet ACT2804 Rev 3 (4.2 V and 4.35 V a cell);"
    " empty: common practice, no source"
)

ROWS = (
    Cell("LiPo", Decimal("4.20"), Decimal("3.30"), CHARGER),
    Cell("LiHV", Decimal("4.35"), Decimal("3.30"), CHARGER),
    Cell("Li-ion", Decimal("4.20"), Decimal("2.80"), CHARGER),
)

CELLS: dict[str, Cell] = {row.chemistry: row for row in ROWS}
