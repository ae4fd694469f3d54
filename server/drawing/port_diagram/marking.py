"""Which finding marks have been drawn, so that every finding gets one and none is crowded out."""

from collections.abc import Iterable, Sequence

from server.drawing.ink import Ink
from server.drawing.port_diagram.attach import Places
from server.drawing.port_diagram.geometry import Side
from server.drawing.port_diagram.model import DrawnLead, Run
from server.drawing.symbols import Point, mark
from server.trade.finding import Finding, Severity


class Marker:
    """Draws marks by finding number and remembers them; keeps for later what had no room."""

    def __init__(self, ink: Ink, places: Places, findings: Sequence[Finding]) -> None:
        self.ink, self.places, self.findings = ink, places, findings
        self.drawn: set[int] = set()
        self.spare: dict[str, list[int]] = {}

    def draw(self, number: int, at: Point) -> str:
        """One mark, remembered."""
        self.drawn.add(number)
        return mark(self.ink, at, self.findings[number - 1].severity, number)

    def row(self, numbers: Sequence[int], spots: Sequence[Point], owner: str) -> str:
        """As many marks as there are spots; the rest is kept for the owner's title strip."""
        self.spare.setdefault(owner, []).extend(numbers[len(spots) :])
        return "".join(map(self.draw, numbers, spots))

    def crowded(self, side: Side, lead: DrawnLead) -> bool:
        """Whether a lead, or its mate in a pair, has more than one mark on its wire."""
        blocks = (block for box in side.boxes for block in box.part.blocks)
        mates = next(block for block in blocks if lead in block)
        return len(self.on_runs(run for mate in mates for run in mate.runs)) > 1

    def note_rows(self, side: Side) -> None:
        """Tell a side which of its leads' ends will carry marks."""
        for box in side.boxes:
            for lead in box.part.leads:
                loose = self.places.at("lead", lead.device, lead.name)
                if loose or self.on_runs(lead.runs):
                    side.marked.append(box.rows[lead.name])

    def stops(self, numbers: Iterable[int]) -> bool:
        """Whether any of these findings is a stop."""
        return any(self.findings[n - 1].severity is Severity.STOP for n in numbers)

    def tone(self, numbers: Iterable[int]) -> str:
        """Signal for what stops the job, ink for the rest."""
        return "signal" if self.stops(numbers) else "ink"

    def on_runs(self, runs: Iterable[Run]) -> tuple[int, ...]:
        """Numbers on any of these wires, each once."""
        return tuple(dict.fromkeys(n for run in runs for n in self.places.on_run(run)))

    def owed(self, owner: str, *key: str) -> list[int]:
        """Numbers for an owner's title: its own, and those that had no room on its wires."""
        wanted = dict.fromkeys([*self.places.at(*key), *self.spare.get(owner, ())])
        own = self.places.at(*key)
        return [n for n in wanted if n in own or n not in self.drawn]

    def left(self) -> list[int]:
        """Findings not drawn anywhere yet."""
        return [n for n in range(1, len(self.findings) + 1) if n not in self.drawn]
