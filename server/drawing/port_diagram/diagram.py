"""The picture of which lead goes to which pad, with its faults, in one of two layouts."""

from collections.abc import Iterable, Sequence
from typing import Literal

from server.drawing.ink import Ink
from server.drawing.port_diagram.attach import Places
from server.drawing.port_diagram.layout_narrow import NARROW, narrow
from server.drawing.port_diagram.layout_wide import WIDE, wide
from server.drawing.port_diagram.marking import Marker
from server.drawing.port_diagram.model import read
from server.drawing.svg import svg
from server.trade.finding import Finding
from server.trade.planner.outcome import Move
from server.trade.sheet import Sheet

Layout = Literal["wide", "narrow"]


def port_diagram(
    sheet: Sheet,
    findings: Sequence[Finding],
    layout: Layout = "wide",
    ids_prefix: str = "",
    changes: Iterable[Move] | None = None,
    colour: bool = True,
) -> str:
    """An SVG of the sheet's wiring. A finding's number is its place in `findings`, from 1.

    `wide` is 800 units across, `narrow` 350; the height follows from the sheet. With `changes`
    the sheet is drawn as it would be after them, new wires double, removed ones dotted.
    """
    model, ink = read(sheet, changes or ()), Ink(colour)
    marker = Marker(ink, Places(model, findings), findings)
    width, draw = (WIDE, wide) if layout == "wide" else (NARROW, narrow)
    height, body = draw(ink, model, marker)
    title = f"Port diagram of {sheet.craft.name}: {sheet.board.model}"
    return svg(width, height, title, body, ids_prefix)
