"""A tick: the hand did what the step says."""

from dataclasses import dataclass
from typing import Any, ClassVar

from server.trade.card.answers import Answer, BadAnswer, only
from server.trade.card.judgement import Judgement, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.spec import Spec


@dataclass(frozen=True, slots=True)
class Tick(Spec):
    """`{"done": true}`"""

    kind: ClassVar[str] = "tick"
    says: str = "done"


@dataclass(frozen=True, slots=True)
class Done:
    """It was done; there is nothing else to say."""


@register
class TickKind(WholeKind[Tick, Done]):
    name = "tick"
    spec = Tick

    def read(self, spec: Tick, given: Answer) -> Done:
        only(given, ("done",))
        if given.get("done") is not True:
            raise BadAnswer("done", "Tick it when it is done.")
        return Done()

    def write(self, answer: Done) -> dict[str, Any]:
        return {"done": True}

    def judge(self, spec: Tick, answer: Done, before: Results) -> Judgement:
        return passed(f"Recorded: {spec.says}.", spec.says)

    def paper(self, spec: Tick) -> tuple[Blank, ...]:
        return (Blank("done", "box"),)

    def example(self, spec: Tick) -> tuple[Done, ...]:
        return (Done(),)
