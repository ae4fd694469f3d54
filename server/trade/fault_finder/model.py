"""What the fault finder's table is made of: symptoms, causes, checks, and the table itself."""

from collections.abc import Mapping
from dataclasses import dataclass

from server.trade.card.model import Hazard
from server.trade.power import Power
from server.trade.solving import COMMON

OTHER = "other"  # the cause that stands for everything the table does not list
UNCLEAR = "unclear"  # the answer that says nothing: the check could not be told

COLD = frozenset({Power.COLD})
USB = frozenset({Power.USB})
SET = frozenset({Power.USB, Power.LIMITED})  # the limiter serves where a board does not wake on USB
LIMITED = frozenset({Power.LIMITED})
LIVE = frozenset({Power.LIMITED, Power.BATTERY})


@dataclass(frozen=True, slots=True)
class Symptom:
    """What is seen to be wrong. `weights`: of a hundred such tickets, how many have each cause.

    `words` are the counter's picked symptoms that suggest it; `only` is a condition of
    `conditions.py`, and the symptom is not offered where the sheet does not meet it.
    """

    code: str
    says: str
    weights: Mapping[str, int]
    words: tuple[str, ...] = ()
    only: str = ""
    source: str = COMMON


@dataclass(frozen=True, slots=True)
class Cause:
    """What may be wrong, and what puts it right. `only` as in `Symptom`."""

    code: str
    says: str
    fix: str
    only: str = ""
    source: str = COMMON


@dataclass(frozen=True, slots=True)
class Check:
    """One thing to look at, with what may be seen there.

    `outcomes` are the possible answers, by code, in the order of the buttons. `given` holds, for
    each cause that the check bears on, how often each outcome is seen when that is the cause;
    `usual` the same for every other cause. Each row is counted by its own sum, as a rule 100.
    `reads_current`: it reads the current through the limiter itself, and need not wait for first
    power to have passed. `of` names the symptoms that it is asked for where that is not all: a
    check that would only see the symptom again tells nothing.
    """

    code: str
    asks: str
    do: tuple[str, ...]
    states: frozenset[Power]
    outcomes: Mapping[str, str]
    usual: tuple[int, ...]
    given: Mapping[str, tuple[int, ...]]
    hazard: Hazard | None = None
    of: tuple[str, ...] = ()
    reads_current: bool = False
    source: str = COMMON

    def chance(self, outcome: str, cause: str) -> float:
        """How often `outcome` is seen when `cause` is at work, 0 to 1. Raises KeyError."""
        if outcome == UNCLEAR:
            return 1.0
        row = self.given.get(cause, self.usual)
        return dict(zip(self.outcomes, row, strict=True))[outcome] / sum(row)


@dataclass(frozen=True)
class FaultTable:
    """Symptoms, causes and checks by code; their order is the order of the lists on a page."""

    symptoms: Mapping[str, Symptom]
    causes: Mapping[str, Cause]
    checks: Mapping[str, Check]
