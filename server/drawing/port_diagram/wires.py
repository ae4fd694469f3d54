"""The wires of one side, from the devices' tabs to the board's pads."""

from collections.abc import Sequence

from server.drawing.ink import LINE, TEXT, Ink
from server.drawing.metrics import width
from server.drawing.port_diagram.geometry import Net, RoutingChannel, Side, Trunk
from server.drawing.port_diagram.marking import Marker
from server.drawing.port_diagram.model import DrawnLead, Model, Run
from server.drawing.svg import Attr, group
from server.drawing.symbols import MEETS, arrowhead, saw, weight_of

DASH = "7 4"
CASE = 8.0
Steps = list[str | float]


class Wires:
    """Draws the routed nets of one side."""

    def __init__(self, ink: Ink, model: Model, side: Side, marker: Marker) -> None:
        self.ink, self.model, self.side, self.marker = ink, model, side, marker
        self.channel: RoutingChannel = side.channel
        self.row = {(box.part.name, name): y for box in side.boxes for name, y in box.rows.items()}
        self.crossing = {
            (lead.device, lead.name)
            for box in side.boxes
            for block in box.part.blocks
            if id(block) in side.crossed
            for lead in block
        }

    def draw(self) -> str:
        """All wires; what comes from the board lies under what goes to it."""
        trunks = {id(trunk.net): trunk for trunk in self.side.trunks}
        under: list[str] = []
        over: list[str] = []
        for net in self.side.nets:
            drawn = self._net(net, trunks.get(id(net)))
            dashed = all(lead.way == "from-board" for lead, _ in net.runs)
            (under if dashed else over).append(drawn)
        return group(under + over)

    def _net(self, net: Net, trunk: Trunk | None) -> str:
        if len(net.runs) == 1:
            lead, run = net.runs[0]
            end = self._to_pad(run.pad, net, trunk)
            return self._lead(lead, [run], net, end) + self._label(lead)
        parts = []
        for device, name in net.ends:
            runs = [(ld, r) for ld, r in net.runs if (ld.device, ld.name) == (device, name)]
            stop: Steps = ["L", self.channel.x(trunk.u), net.ends[device, name]] if trunk else []
            parts.append(self._lead(runs[0][0], [r for _, r in runs], net, stop))
            parts.append(self._label(runs[0][0]))
        return "".join([self._bus(net, trunk), *parts]) if trunk else "".join(parts)

    def _to_pad(self, pad: str, net: Net, trunk: Trunk | None) -> Steps:
        channel, y = self.channel, net.pads[pad]
        stop = channel.x(channel.span - MEETS[self.model.shape(pad)])
        turn: Steps = []
        if trunk:
            x = channel.x(trunk.u)
            turn = ["L", x, next(iter(net.ends.values())), "L", x, y]
        return [*turn, "L", stop, y]

    def _bus(self, net: Net, trunk: Trunk) -> str:
        """The upright piece, the stretches to the pads, and a dot where three ways meet."""
        channel, x = self.channel, self.channel.x(trunk.u)
        top, bottom = net.reach
        steps: Steps = ["M", x, top, "L", x, bottom]
        for pad, y in net.pads.items():
            steps += ["M", x, y, "L", channel.x(channel.span - MEETS[self.model.shape(pad)]), y]
        runs = [run for _, run in net.runs]
        numbers = self.marker.on_runs(runs)
        tone = self.marker.tone(numbers)
        dashed = tone != "signal" and all(lead.way == "from-board" for lead, _ in net.runs)
        line = self._line(steps, tone, dashed, all(run.state == "new" for run in runs))
        ways = {
            y: (y in net.ends.values()) + (y in net.pads.values()) + (y > top) + (y < bottom)
            for y in (*net.ends.values(), *net.pads.values())
        }
        dots = [self.ink.circle((x, y), 4, "", tone) for y, n in ways.items() if n > 2]
        return line + "".join(dots)

    def _lead(self, lead: DrawnLead, runs: list[Run], net: Net, end: Steps) -> str:
        """One lead's own stretch: label zone, crossing cell, and on to `end`."""
        channel = self.channel
        y0, y1 = self.row[lead.device, lead.name], net.ends[lead.device, lead.name]
        tone = self.marker.tone(self.marker.on_runs(lead.runs))
        crossing = (lead.device, lead.name) in self.crossing
        start: Steps = ["M", channel.x(MEETS[lead.shape]), y0]
        if tone == "signal":
            start += self._teeth(y0, crossing)
        a, b = channel.x(channel.cell[0]), channel.x(channel.cell[1])
        middle = (a + b) / 2
        bend: Steps = ["L", a, y0, "C", middle, y0, middle, y1, b, y1] if crossing else []
        case = ""
        if crossing and lead.way == "to-board":
            case = self.ink.line(["M", a, y0, *bend[3:]], "card", CASE, stroke_linecap="butt")
        new = all(run.state == "new" for run in runs)
        dashed = lead.way == "from-board" and tone != "signal"
        line = self._line([*start, *bend, *end], tone, dashed, new)
        named = {"data_wire": f"{lead.device}|{lead.name}|{'|'.join(run.pad for run in runs)}"}
        heads = "" if swapped(self.model, lead, runs) else self._heads(lead, y0, tone)
        return group([case, group([line], **named), heads])

    def _teeth(self, y: float, crossing: bool) -> Steps:
        channel = self.channel
        low, high = channel.cell[0] + 2, channel.marks[1] - 2
        if crossing:
            low, high = 19.0, channel.cell[0] - 15
        return saw((channel.x(low), y), high - low, -channel.out)

    def _line(self, steps: Steps, tone: str, dashed: bool, new: bool) -> str:
        more: dict[str, Attr] = {"stroke_linejoin": "miter"}
        if dashed:
            more["stroke_dasharray"] = DASH
        if not new:
            return self.ink.line(steps, tone, weight_of(tone), **more)
        return self.ink.line(steps, tone, 6.0, **more) + self.ink.line(steps, "card", LINE - 0.5)

    def _heads(self, lead: DrawnLead, y: float, tone: str) -> str:
        channel, u = self.channel, self.channel.cell[0]
        to_board = arrowhead(self.ink, (channel.x(u), y), (-channel.out, 0), tone)
        from_board = (channel.x(u - 12), y)
        if lead.way == "to-board":
            return to_board
        if lead.way == "from-board":
            return arrowhead(self.ink, from_board, (channel.out, 0), tone)
        back = arrowhead(self.ink, (channel.x(u - 25), y), (channel.out, 0), tone)
        return to_board + back

    def _label(self, lead: DrawnLead) -> str:
        low, high = self._label_zone(lead)
        tone = "signal" if self.marker.stops(self.marker.on_runs(lead.runs)) else "soft"
        said = label(self.model, lead, lead.runs, self.channel.out)
        if width(said, TEXT) > high - low:
            said = label(self.model, lead, lead.runs, self.channel.out, named=False)
        taken = min(width(said, TEXT), high - low)
        middle = max((self.channel.label[0] + self.channel.label[1]) / 2, low + taken / 2)
        at = (self.channel.x(middle), self.row[lead.device, lead.name] - 7)
        return self.ink.text(at, said, anchor="middle", tone=tone, room=high - low)

    def _label_zone(self, lead: DrawnLead) -> tuple[float, float]:
        """From where to where a label may reach: to the crossing, to the first mark, or further."""
        channel, low = self.channel, self.channel.label[0]
        if (lead.device, lead.name) in self.crossing:
            return low, channel.cell[1 if lead.shape == "talk" else 0]
        numbers = self.marker.on_runs(lead.runs)
        if not numbers:
            return low, channel.marks[1]
        middle = (channel.cell[0] + channel.marks[1]) / 2
        return low, middle - (26 if self.marker.crowded(self.side, lead) else 13)


def label(model: Model, lead: DrawnLead, runs: Sequence[Run], out: int, named: bool = True) -> str:
    """What stands on a wire: 'TX→R1', in the order in which the two ends are seen.

    Not `named` leaves out the lead, whose name stands at its tab anyway.
    """
    pads, name = ", ".join(run.pad for run in runs), lead.name if named else ""
    if swapped(model, lead, runs):
        return f"{name} on {pads}".strip()
    sign = {"to-board": "→", "from-board": "←"}.get(lead.way, "–")
    if out < 0:
        return f"{name}{sign}{pads}"
    return f"{pads}{sign.translate(str.maketrans('→←', '←→'))}{name}"


def swapped(model: Model, lead: DrawnLead, runs: Sequence[Run]) -> bool:
    """Whether a talking lead is on a talking pad, or a listening one on a listening pad."""
    likes = (lead.shape == model.shape(run.pad) for run in runs)
    return lead.shape in ("talk", "listen") and any(likes)
