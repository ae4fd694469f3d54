"""Shapes of what the macros in templates/site/_parts.html draw. Plain words, already in the
shop's own times and units: a desk's view makes them from what the acts and queries give."""

from dataclasses import dataclass
from typing import Literal

StepState = Literal["todo", "more", "done", "out", "stale", "locked", "unsent"]


@dataclass(frozen=True)
class TitleCell:
    """One box of the title block."""

    label: str
    says: str
    note: str = ""


@dataclass(frozen=True)
class TitleBlock:
    """The drawing's title block under the strip. The first cell is the craft."""

    ticket: int
    cells: tuple[TitleCell, ...]


@dataclass(frozen=True)
class StageCell:
    """One hole of the punched edge: a stage and the states of its steps."""

    number: int
    name: str
    href: str
    states: tuple[StepState, ...]
    current: bool = False


@dataclass(frozen=True)
class StepRow:
    """One step in the card's table. `revision` is the map revision that made it stale, `href` the
    step's own page."""

    key: str
    number: str
    state: StepState
    do: str
    why: str = ""
    target: str = ""
    target_note: str = ""
    found: str = ""
    found_note: str = ""
    initials: str = ""
    at: str = ""
    revision: int | None = None
    href: str = ""


@dataclass(frozen=True)
class Way:
    """One thing in the way of signing: a link, beside the mark of a step or of a finding."""

    says: str
    href: str
    step: StepState | None = None
    revision: int | None = None
    severity: Literal["stop", "caution"] | None = None
    finding: int = 0


@dataclass(frozen=True)
class QueueLine:
    """One line of the queue. `act` is its one button: a page, or with `posts` an act."""

    number: int
    href: str
    craft: str
    owner: str
    trouble: str
    state: str
    state_says: str
    due: str
    due_says: str
    act: str
    act_href: str
    posts: bool = False
    late: bool = False
