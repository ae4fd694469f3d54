"""How to read a port diagram, drawn with the signs themselves."""

from server.drawing.ink import LINE, Ink
from server.drawing.svg import group
from server.drawing.symbols import Point, arrowhead, cross, flag, legend_row, tab

ROW = 24.0
CROSSES = "A right pair crosses, a swapped pair runs straight."
SIGNS_TALL = 92.0


def signs(ink: Ink, at: Point) -> str:
    """What a point and a notch mean, and the rule of the crossing; 92 units tall, 270 wide."""
    x, y = at
    return group(
        [
            ink.text((x, y + 10), "How to read it", tone="soft"),
            legend_row(ink, (x + 13, y + 32), tab(ink, (x + 13, y + 32), "talk", 1), "talks", 23),
            legend_row(
                ink, (x + 88, y + 32), tab(ink, (x + 88, y + 32), "listen", 1), "listens", 23
            ),
            legend_row(ink, (x + 176, y + 32), tab(ink, (x + 176, y + 32), "both", 1), "both", 23),
            ink.text((x, y + 62), "A point goes into a notch.", tone="soft"),
            ink.text((x, y + 82), CROSSES, tone="soft"),
        ]
    )


def wires(ink: Ink, at: Point, changed: bool = False) -> str:
    """Which way the data goes, what a flag is, and what changes look like; 200 wide."""
    x, y = at[0], at[1] + 8
    solid = ink.line(["M", x, y, "h", 40]) + arrowhead(ink, (x + 27, y), (1, 0))
    y2, y3 = y + ROW, y + 2 * ROW
    dashed = ink.line(["M", x, y2, "h", 40], stroke_dasharray="7 4")
    dashed += arrowhead(ink, (x + 14, y2), (-1, 0))
    pennant = ink.line(["M", x - 1, y3, "h", 7], weight=LINE - 1)
    pennant += flag(ink, (x + 6, y3), 1, "5V", 30)
    rows = [
        legend_row(ink, (x, y), solid, "to the board", 50),
        legend_row(ink, (x, y2), dashed, "from the board", 50),
        legend_row(ink, (x, y3), pennant, "to the pad of that name", 50),
    ]
    return group(rows + (_changes(ink, x, y3 + ROW) if changed else []))


def _changes(ink: Ink, x: float, y: float) -> list[str]:
    new = ink.line(["M", x, y, "h", 40], weight=6.0)
    new += ink.line(["M", x, y, "h", 40], "card", LINE - 0.5)
    y2 = y + ROW
    gone = ink.line(["M", x, y2, "h", 32], stroke_dasharray="1 4", stroke_linecap="round")
    gone += cross(ink, (x + 34, y2), 4.5)
    return [
        legend_row(ink, (x, y), new, "new", 50),
        legend_row(ink, (x, y2), gone, "taken away", 50),
    ]


def wires_tall(changed: bool) -> float:
    """How tall that legend is."""
    return 16 + ROW * (4 if changed else 2)
