"""Device boxes: outline, title strip, lead names and tabs."""

from server.drawing.ink import LINE, NAME, THIN, Ink
from server.drawing.port_diagram.geometry import HEAD, Box, Side
from server.drawing.port_diagram.marking import Marker
from server.drawing.port_diagram.model import DrawnPart
from server.drawing.svg import Attr, el, escape, group
from server.drawing.symbols import IN, tab

NARROW = 120.0  # a box under this has room for two marks beside its name, others for three


def boxes(ink: Ink, side: Side, marker: Marker) -> str:
    """All boxes of a side."""
    return group(_box(ink, side, box, marker) for box in side.boxes)


def frame(side: Side, box: Box) -> tuple[float, float, float, float]:
    """A box's x, y, width, height."""
    channel = side.channel
    left = channel.device_x if channel.out > 0 else channel.device_x - channel.device_w
    return left, box.top, channel.device_w, box.bottom - box.top


def _box(ink: Ink, side: Side, box: Box, marker: Marker) -> str:
    x, y, w, h = frame(side, box)
    dash: dict[str, Attr] = {} if box.part.known else {"stroke_dasharray": "5 4"}
    outline = ink.rect((x, y, w, h), "ink", "card", LINE, **dash)
    rule = ink.line(["M", x, y + HEAD, "h", w], weight=THIN)
    rows = [_row(ink, side, lead.name, lead.shape, box.rows[lead.name]) for lead in box.part.leads]
    numbers = marker.owed(box.part.name, "device", box.part.name)[: 2 if w < NARROW else 3]
    title = el("title", {}, escape(box.part.name or box.part.shown))
    head = strip(ink, (x, y, w), box.part, numbers, marker)
    return group([title, outline, rule, head, *rows], class_="dw-part")


def strip(
    ink: Ink, at: tuple[float, float, float], part: DrawnPart, numbers: list[int], marker: Marker
) -> str:
    """A title strip: name over subtitle, marks at its right end; `at` is x, y, width."""
    x, y, w = at
    room = w - (13 + 28 * len(numbers) if numbers else 18)
    marks = [marker.draw(n, (x + w - 17 - 28 * i, y + 20)) for i, n in enumerate(reversed(numbers))]
    drop = 17 if part.subtitle else 25
    said = ink.text((x + 9, y + drop), part.shown, NAME, room=room)
    if part.subtitle:
        said += ink.text((x + 9, y + 33), part.subtitle, tone="soft", room=room)
    return said + "".join(marks)


def _row(ink: Ink, side: Side, name: str, shape: str, y: float) -> str:
    channel = side.channel
    inward = channel.out
    at = (channel.device_x + inward * (IN + 6), y + 4.5)
    anchor = "start" if inward > 0 else "end"
    said = ink.text(at, name, anchor=anchor, room=channel.device_w - IN - 14)
    return tab(ink, (channel.device_x, y), shape, -inward) + said
