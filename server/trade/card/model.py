"""The bench card: stages in their order, each with its steps.

Values once derived never change; a changed sheet gives a new card.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from server.trade.card.spec import Spec
from server.trade.power import POWERED, Power

# Shown once at the end of each card, under the last step.
DEFERENCE = (
    "This card does not replace the shop's own rules, the maker's sheet of each part, or the law. "
    "Where they ask for more, or for something else, they come first."
)


class NoSuchStep(KeyError):
    """The card has no step of that key."""

    def __init__(self, key: str) -> None:
        self.key = key
        super().__init__(f"The card has no step '{key}'.")


@dataclass(frozen=True, slots=True)
class Hazard:
    """What can hurt somebody (WARNING, CAUTION) or damage a part (NOTICE); words by ANSI Z535.4."""

    word: str
    says: str


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do and prove.

    `states` are the power states in which it may be recorded. `basis` is the digest of
    `basis_parts`, the parts of the sheet behind the target in plain words. `after` are the steps
    that have to be passed first; `reads` those whose answers its judgement uses. `setting` names
    the row of SETTINGS for which a shop may enter its own words. `joints`: it proves solder joints,
    so that evidence from before a lead was moved never counts again, not even with the lead back.
    """

    key: str
    number: str
    stage: str
    title: str
    do: tuple[str, ...]
    target: str
    why: str
    source: str
    states: frozenset[Power]
    evidence: Spec
    hazard: Hazard | None
    basis: str
    basis_parts: Mapping[str, str] = field(hash=False)
    setting: str | None = None
    after: tuple[str, ...] = ()
    reads: tuple[str, ...] = ()
    joints: bool = False

    @property
    def needs_battery(self) -> bool:
        """Whether it can be done only with a battery connected, through a limiter or direct."""
        return self.states <= POWERED

    def as_json(self) -> dict[str, Any]:
        """Plain values only; states in the order of rising power."""
        return {
            "key": self.key,
            "number": self.number,
            "title": self.title,
            "do": list(self.do),
            "target": self.target,
            "why": self.why,
            "source": self.source,
            "states": [state.value for state in Power if state in self.states],
            "hazard": {"word": self.hazard.word, "says": self.hazard.says} if self.hazard else None,
            "evidence": self.evidence.as_json(),
            "setting": self.setting,
            "after": list(self.after),
            "reads": list(self.reads),
            "basis": self.basis,
            "basis_parts": dict(self.basis_parts),
        }


@dataclass(frozen=True, slots=True)
class Stage:
    """Steps that belong together. `short` fits the stage strip."""

    key: str
    number: int
    title: str
    short: str
    steps: tuple[Step, ...]

    def as_json(self) -> dict[str, Any]:
        """Plain values only."""
        return {
            "key": self.key,
            "number": self.number,
            "title": self.title,
            "short": self.short,
            "steps": [step.as_json() for step in self.steps],
        }


@dataclass(frozen=True, slots=True)
class Card:
    """All stages of one craft, in the order in which they are done."""

    stages: tuple[Stage, ...]

    def steps(self) -> Iterator[Step]:
        """Every step in the order of the card."""
        return (step for stage in self.stages for step in stage.steps)

    def step(self, key: str) -> Step:
        """The step of that key. Raises NoSuchStep."""
        for step in self.steps():
            if step.key == key:
                return step
        raise NoSuchStep(key)

    def as_json(self) -> dict[str, Any]:
        """Plain values only, as the command line prints it."""
        return {"stages": [stage.as_json() for stage in self.stages], "ends_with": DEFERENCE}
