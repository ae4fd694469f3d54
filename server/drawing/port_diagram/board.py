"""The board: cut corners, pads on its edges, brackets that join a port's pads, taken ports."""

from dataclasses import dataclass

from server.drawing.ink import BOARD, LINE, TEXT, THIN, Ink
from server.drawing.metrics import width
from server.drawing.port_diagram.filling import reason
from server.drawing.port_diagram.geometry import Side
from server.drawing.port_diagram.marking import Marker
from server.drawing.port_diagram.model import Model, PadGroup
from server.drawing.svg import el, escape, group
from server.drawing.symbols import IN, OUT, cross, hatch, tab
from server.trade.sheet import Pad, Port

CUT = 16.0
BRACKET = 6.0


@dataclass(frozen=True, slots=True)
class Plate:
    """The board's outline on the page, and how far in its pads' names and all names may reach."""

    left: float
    top: float
    right: float
    bottom: float
    pad_room: float
    inside: float


def outline(ink: Ink, plate: Plate) -> str:
    """The board with its corners cut."""
    x, y, r, b = plate.left, plate.top, plate.right, plate.bottom
    upper = [(x + CUT, y), (r - CUT, y), (r, y + CUT), (r, b - CUT)]
    lower = [(r - CUT, b), (x + CUT, b), (x, b - CUT), (x, y + CUT)]
    return ink.shape([*upper, *lower], fill="well", weight=BOARD)


class Pads:
    """Draws the pads of one edge with their names, brackets and marks."""

    def __init__(self, ink: Ink, model: Model, side: Side, plate: Plate, marker: Marker) -> None:
        self.ink, self.model, self.side, self.plate, self.marker = ink, model, side, plate, marker
        self.edge, self.out = side.channel.board_x, side.channel.out

    def draw(self) -> str:
        """All groups of this edge."""
        return group(self._group(g) for g in self.side.groups)

    def _group(self, pads: PadGroup) -> str:
        drawn = [self._pad(pad) for pad in pads.pads]
        drawn += [self._port(pads)] if pads.port is not None else []
        return group(drawn)

    def _pad(self, pad: Pad) -> str:
        y = self.side.pads[pad.pad]
        sign = tab(self.ink, (self.edge, y), self.model.shape(pad.pad), self.out)
        name = self._inside(pad.pad, IN + 6, y, self.plate.pad_room)
        shown = min(width(pad.pad, TEXT), self.plate.pad_room)
        numbers = self.marker.places.at("pad", pad.pad)
        start = IN + 20 + shown
        room = self.plate.inside - IN if pad.port is None else shown
        spots = [(self.edge - self.out * (start + 25 * i), y) for i in range(3)]
        spots = [s for i, s in enumerate(spots) if start + 25 * i < IN + room]
        marks = self.marker.row(numbers, spots, "")
        return el("title", {}, escape(pad_title(pad))) + sign + name + self._free(pad, y) + marks

    def _inside(self, said: str, inset: float, y: float, room: float, tone: str = "ink") -> str:
        anchor = "end" if self.out > 0 else "start"
        at = (self.edge - self.out * inset, y + 4.5)
        return self.ink.text(at, said, anchor=anchor, tone=tone, room=room)

    def _free(self, pad: Pad, y: float) -> str:
        supply = pad.signal in ("power", "ground")
        mates = self._mates(pad)
        held = self.model.wired | {run.pad for run in self.model.gone}
        if supply or any(name in held for name in mates):
            return ""
        flags = [q for box in self.side.boxes for q in box.rows.values() if abs(q - y) < 14]
        said = "free, inverter" if pad.inverter and not flags else "free"
        anchor = "start" if self.out > 0 else "end"
        at = (self.edge + self.out * (OUT + 5), y + 4.5)
        return self.ink.text(at, said, anchor=anchor, tone="soft")

    def _mates(self, pad: Pad) -> list[str]:
        if pad.port is None:
            return [pad.pad]
        return [other.pad for other in self.model.board.pads if other.port == pad.port]

    def _port(self, pads: PadGroup) -> str:
        port = pads.port or ""
        ys = [self.side.pads[pad.pad] for pad in pads.pads]
        names = max(min(width(pad.pad, TEXT), self.plate.pad_room) for pad in pads.pads)
        inset = IN + 12 + names
        x, inward = self.edge - self.out * inset, -self.out * BRACKET
        top, bottom = min(ys) - 9, max(ys) + 9
        steps: list[str | float] = ["M", x, top, "h", inward, "V", bottom, "h", -inward]
        line = self.ink.line(steps, weight=THIN + 0.25)
        middle = (top + bottom) / 2
        room = self.plate.inside - (inset + BRACKET + 4)
        numbers = self.marker.places.at("port", port)
        at = x + inward * 2 - self.out * (min(width(port, TEXT), room - 25 * len(numbers[:2])))
        spots = [(at - self.out * (14 + 25 * i), middle) for i in range(len(numbers[:2]))]
        marks = self.marker.row(numbers, spots, "")
        room -= 25 * len(spots)
        return line + self._inside(port, inset + BRACKET + 4, middle, room) + marks


def pad_title(pad: Pad) -> str:
    """A pad in words."""
    said = {"tx": "talks", "rx": "listens"}.get(pad.signal, pad.signal)
    parts = [f"{pad.pad}: {said}", pad.port or "", "fixed inverter" if pad.inverter else ""]
    return ", ".join(part for part in parts if part)


def taken_box(ink: Ink, port: Port, left: float, width: float, span: tuple[float, float]) -> str:
    """A port that a part of the board uses: hatched, with its name and the reason."""
    (top, bottom), middle = span, left + width / 2
    plate = ink.rect((left + 6, top + 6, width - 12, bottom - top - 12), "", "well")
    lines = [ink.text((middle, top + 22), port.port, anchor="middle", room=width - 18)]
    for i, line in enumerate(reason(port, width)):
        lines.append(ink.text((middle, top + 37 + 15 * i), line, anchor="middle", tone="soft"))
    title = el("title", {}, escape(f"{port.port} is taken by {port.taken_by}"))
    frame = hatch(ink, (left, top, width, bottom - top))
    return group([title, frame, plate, *lines], class_="dw-taken")


def gone_stubs(ink: Ink, model: Model, side: Side) -> str:
    """Wires that a change takes away: dotted from their old pad, a cross at the end."""
    channel, drawn = side.channel, []
    for run in model.gone:
        if run.pad not in side.pads:
            continue
        y = side.pads[run.pad] + (10 if run.pad in model.wired else 0)
        start, end = channel.span - OUT - 1, channel.span - OUT - 26
        steps: list[str | float] = ["M", channel.x(start), y, "L", channel.x(end), y]
        title = el("title", {}, escape(f"{run.device} {run.lead} leaves {run.pad}"))
        line = ink.line(steps, weight=LINE, stroke_dasharray="1 4", stroke_linecap="round")
        drawn.append(group([title, line, cross(ink, (channel.x(end), y), 4.5)]))
    return group(drawn)
