"""What one battery cell holds, full and empty."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class CellVolts:
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
    CellVolts("LiPo", Decimal("4.20"), Decimal("3.30"), CHARGER),
    CellVolts("LiHV", Decimal("4.35"), Decimal("3.30"), CHARGER),
    CellVolts("Li-ion", Decimal("4.20"), Decimal("2.80"), CHARGER),
)

CELLS: dict[str, CellVolts] = {row.chemistry: row for row in ROWS}
