"""The frames of the motor links against one period of the control loop, a bar a link."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.drawing.ink import Ink
from server.drawing.metrics import width as text_width
from server.drawing.svg import group, svg
from server.drawing.symbols import cross

WIDTH, LEFT, END, OVER = 360.0, 88.0, 300.0, 14.0
TOP, ROW, BAR = 26.0, 26.0, 16.0


@dataclass(frozen=True, slots=True)
class Bar:
    """One link: `parts` are µs of frame, pause and reply in turn; `says` stands at its end.

    No parts: it has no frame. `fits` is false over the period; `chosen` is drawn heavier.
    """

    name: str
    parts: tuple[float, ...]
    says: str
    fits: bool
    chosen: bool = False


def frames(bars: Sequence[Bar], period_us: float, ids_prefix: str = "", colour: bool = True) -> str:
    """The bars to one scale, the period a line across all of them; what goes on past it is cut."""
    ink = Ink(colour)
    low = TOP + ROW * len(bars)
    head = f"{period_us:g} µs, one period"
    at = END - text_width(head, 13) / 2
    drawn = [ink.text((at, 14), head, tone="soft"), ink.line(["M", END, TOP - 6, "V", low], "edge")]
    for row, bar in enumerate(bars):
        drawn.append(_bar(ink, bar, TOP + ROW * row, (END - LEFT) / period_us))
    said = "; ".join(f"{bar.name} {bar.says}" for bar in bars)
    title = f"One period of {period_us:g} µs: {said}"
    return svg(WIDTH, low + 6, title, group(drawn), ids_prefix)


def _bar(ink: Ink, bar: Bar, top: float, scale: float) -> str:
    base = top + BAR - 3
    drawn = [ink.text((4, base), bar.name, room=LEFT - 8, tone="ink" if bar.chosen else "soft")]
    x, last = LEFT, END + OVER
    for index, part in enumerate(bar.parts):
        to = min(x + part * scale, last)
        # Frame and reply are bars, filled and open; the pause between them is a bare line.
        if index == 1:
            drawn.append(ink.line(["M", x, top + BAR / 2, "H", to], weight=1.5))
        elif to > x:
            weight = 3.25 if bar.chosen else 1.5
            drawn.append(ink.rect((x, top, to - x, BAR), "ink", "" if index else "edge", weight))
        x = to
    if not bar.fits:
        drawn.append(cross(ink, (last + 12, top + BAR / 2), 6, weight=3.0))
    return group(drawn) + _said(ink, bar, x, base)


def _said(ink: Ink, bar: Bar, x: float, base: float) -> str:
    """What is left, beside the bar where there is room, else behind the period's line."""
    if not bar.fits:
        return ""
    inside = x + 6 + text_width(bar.says, 13) <= END - 4
    return ink.text((x + 6 if inside else END + 6, base), bar.says, room=WIDTH - END - 8)
