"""What a lead ends in when it is not a wire: a flag, a finding's mark, or the words why not."""

from server.drawing.ink import THIN, Ink
from server.drawing.port_diagram.geometry import Side
from server.drawing.port_diagram.marking import Marker
from server.drawing.port_diagram.model import DrawnLead
from server.drawing.svg import group
from server.drawing.symbols import MEETS, Point, flag, flag_width, weight_of

FLAG_U = 23.0
STUB_U = 36.0
MARK_STEP = 25.0


class LooseEnds:
    """Draws the ends of the leads of one side that have no wire of their own."""

    def __init__(self, ink: Ink, side: Side, marker: Marker) -> None:
        self.ink, self.side, self.marker = ink, side, marker
        self.channel = side.channel
        self.room = self.channel.marks[0] - FLAG_U - 18

    def draw(self) -> str:
        """Flags, stubs and marks down the side."""
        drawn = []
        for box in self.side.boxes:
            for lead in box.part.leads:
                drawn.append(self._end(lead, box.rows[lead.name]))
        return group(drawn)

    def _end(self, lead: DrawnLead, y: float) -> str:
        wired = {run for net in self.side.nets for _, run in net.runs}
        if any(run in wired for run in lead.runs):
            return ""  # its wire's label names the other pads too
        return self._flag(lead, y) if lead.runs else self._stub(lead, y)

    def _flag(self, lead: DrawnLead, y: float) -> str:
        runs = lead.runs
        name = ", ".join(run.pad for run in runs)
        numbers = self._numbers(lead)
        tone = "signal" if self.marker.stops(numbers) else "soft"
        state = "unused" if not lead.used else ""
        state = "new" if any(run.state == "new" for run in runs) else state
        x = self.channel.x
        line = "signal" if tone == "signal" else "ink"
        stub = self.ink.line(
            ["M", x(MEETS[lead.shape]), y, "L", x(FLAG_U), y], line, max(THIN, weight_of(line) - 1)
        )
        end = FLAG_U + flag_width(name, self.room) + 14
        shape = flag(self.ink, (x(FLAG_U), y), -self.channel.out, name, self.room, tone, state)
        return stub + shape + self._marks(lead, numbers, y, end)

    def _stub(self, lead: DrawnLead, y: float) -> str:
        numbers, x = self._numbers(lead), self.channel.x
        if not numbers:
            said = "not wired" if lead.used else "not used"
            anchor = "end" if self.channel.out > 0 else "start"
            return self.ink.text((x(20), y + 4.5), said, anchor=anchor, tone="soft")
        tone = self.marker.tone(numbers)
        steps: list[str | float] = ["M", x(MEETS[lead.shape]), y, "L", x(STUB_U), y]
        stub = self.ink.line(steps, tone, weight_of(tone), stroke_dasharray="7 4")
        return stub + self._marks(lead, numbers, y, STUB_U + 12)

    def _numbers(self, lead: DrawnLead) -> list[int]:
        own = self.marker.places.at("lead", lead.device, lead.name)
        return list(dict.fromkeys([*own, *self.marker.on_runs(lead.runs)]))

    def _marks(self, lead: DrawnLead, numbers: list[int], y: float, first: float) -> str:
        spots: list[Point] = []
        u = first
        while u <= self.channel.marks[1] - 6:
            spots.append((self.channel.x(u), y))
            u += MARK_STEP
        return self.marker.row(numbers, spots, lead.device)


class WireMarks:
    """Puts the marks of findings on the wires of one side, one for both wires of a pair."""

    def __init__(self, side: Side, marker: Marker) -> None:
        self.side, self.marker = side, marker
        self.done: set[tuple[int, str]] = set()

    def draw(self) -> str:
        """Marks on wires, down the side."""
        return group(self._lead(net_lead) for net_lead in self._wired())

    def _wired(self) -> list[tuple[DrawnLead, float, tuple[int, ...]]]:
        found: dict[tuple[str, str], tuple[DrawnLead, float, tuple[int, ...]]] = {}
        for net in self.side.nets:
            for lead, _ in net.runs:
                key = (lead.device, lead.name)
                found[key] = (lead, net.ends[key], self.marker.on_runs(lead.runs))
        return sorted(found.values(), key=lambda entry: entry[1])

    def _lead(self, entry: tuple[DrawnLead, float, tuple[int, ...]]) -> str:
        lead, y, numbers = entry
        shared = {
            n: other_y
            for other, other_y, theirs in self._wired()
            for n in theirs
            if n in numbers and other.device == lead.device and 0 < abs(other_y - y) < 28
        }
        channel, spots, due = self.side.channel, [], []
        middle = (channel.marks[0] + channel.marks[1]) / 2
        us = [middle]
        if not self._crossed(lead):
            middle = (channel.cell[0] + channel.marks[1]) / 2
            us = [middle - 13, middle + 13] if self.marker.crowded(self.side, lead) else [middle]
        for n in sorted(numbers, key=lambda n: n not in shared):
            if (n, lead.device) in self.done:
                us = us[1:]
                continue
            due.append(n)
            self.done.add((n, lead.device))
            if us:
                spots.append((channel.x(us[0]), (y + shared[n]) / 2 if n in shared else y))
                us = us[1:]
        return self.marker.row(due, spots, lead.device)

    def _crossed(self, lead: DrawnLead) -> bool:
        blocks = [b for box in self.side.boxes for b in box.part.blocks if lead in b]
        return any(id(block) in self.side.crossed for block in blocks)
