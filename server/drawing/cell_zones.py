"""Which cell counts a pack's voltage may have: a bar for each count, the reading across them."""

from collections.abc import Sequence
from decimal import Decimal

from server.drawing.ink import Ink
from server.drawing.metrics import width as text_width
from server.drawing.svg import group, svg

WIDTH, LEFT, RIGHT = 360.0, 34.0, 350.0
TOP, ROW, BAR = 30.0, 24.0, 12.0
Zone = tuple[int, Decimal, Decimal]


def cell_zones(
    zones: Sequence[Zone], volts: Decimal, counted: int, ids_prefix: str = "", colour: bool = True
) -> str:
    """Of each count its volts from flat to full. The counted one is filled; the others are open,
    and heavier where the reading lies in them."""
    ink = Ink(colour)
    ends = [volts, *(low for _, low, _ in zones), *(high for _, _, high in zones)]
    least, most = float(min(ends)), float(max(ends))
    scale = (RIGHT - LEFT) / (most - least or 1.0)
    x = LEFT + (float(volts) - least) * scale
    low = TOP + ROW * len(zones)
    drawn = []
    for row, (cells, flat, full) in enumerate(zones):
        y, left = TOP + ROW * row, LEFT + (float(flat) - least) * scale
        box = (left, y, max(2.0, (float(full) - float(flat)) * scale), BAR)
        holds, mine = flat <= volts <= full, cells == counted
        weight = 2.5 if holds else 1.25
        drawn.append(ink.rect(box, "ink" if holds else "edge", "edge" if mine else "", weight))
        drawn.append(ink.text((4, y + 11), f"{cells}S", tone="ink" if mine else "soft"))
    said = f"{volts} V"
    half = text_width(said, 15) / 2
    drawn.append(ink.line(["M", x, TOP - 8, "V", low], "pen", 2.5))
    drawn.append(ink.text((max(half + 2, min(WIDTH - half - 2, x)), 15), said, 15, "middle", "pen"))
    words = "; ".join(f"{cells}S {flat} to {full} V" for cells, flat, full in zones)
    return svg(WIDTH, low + 4, f"Pack of {volts} V: {words}", group(drawn), ids_prefix)
