"""The bench card on paper: what was recorded is printed, what was not is an empty box or line."""

from dataclasses import dataclass
from typing import ClassVar

from server.printing.sheets.base import Printed
from server.printing.sheets.parts import Panel, SheetHead
from server.trade.card import Blank


@dataclass(frozen=True)
class BenchStep:
    """`found` and `by` are printed where the step was recorded; otherwise `blanks` are.

    `asks_props` puts the question of the propellers, with its lines, above the step: it is to be
    set for the first step of every connection of a battery.
    """

    number: str
    title: str
    do: tuple[str, ...]
    target: str
    source: str
    power: str
    blanks: tuple[Blank, ...] = ()
    found: str = ""
    by: str = ""
    hazard: Panel | None = None
    asks_props: bool = False


@dataclass(frozen=True)
class BenchStage:
    """A stage with its steps, in the order of the card."""

    number: str
    title: str
    steps: tuple[BenchStep, ...]


@dataclass(frozen=True, kw_only=True)
class BenchCardSheet(Printed):
    """`stops` stand at the head: while there is one, no battery is connected."""

    template: ClassVar[str] = "bench_card_sheet"
    shop: SheetHead
    ticket: str
    craft: str
    board: str
    revision: str
    promised: str
    technician: str
    ticket_url: str
    printed_on: str
    stages: tuple[BenchStage, ...]
    stops: tuple[str, ...] = ()

    def title(self) -> str:
        return f"Bench card {self.ticket}, {self.craft}"

    def code(self) -> str:
        return self.ticket_url
