"""A choice: what was seen, of the options."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from server.trade.card.answers import Answer, only, word
from server.trade.card.judgement import Judgement, failed, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.spec import Option, Spec


@dataclass(frozen=True, slots=True)
class Choice(Spec):
    """`{"choice": value}`, what was seen, never 'OK?'"""

    kind: ClassVar[str] = "choice"
    asks: str = ""
    options: tuple[Option, ...] = ()


@dataclass(frozen=True, slots=True)
class Chosen:
    """The value of an option."""

    value: str


@register
class ChoiceKind(WholeKind[Choice, Chosen]):
    name = "choice"
    spec = Choice

    def read(self, spec: Choice, given: Answer) -> Chosen:
        only(given, ("choice",))
        return Chosen(word(given.get("choice"), "choice", [o.value for o in spec.options]))

    def write(self, answer: Chosen) -> dict[str, Any]:
        return {"choice": answer.value}

    def judge(self, spec: Choice, answer: Chosen, before: Results) -> Judgement:
        return judged(spec.options, answer.value)

    def paper(self, spec: Choice) -> tuple[Blank, ...]:
        return tuple(Blank(option.label, "box") for option in spec.options)

    def example(self, spec: Choice) -> tuple[Chosen, ...]:
        return (Chosen(next(option.value for option in spec.options if option.passes)),)


def judged(
    options: tuple[Option, ...], value: str, result: Mapping[str, Any] | None = None
) -> Judgement:
    """What the option of that value is worth."""
    option = next(each for each in options if each.value == value)
    found = option.label[:1].lower() + option.label[1:]
    if option.passes:
        return passed(option.says or f"Seen: {found}.", found, result)
    return failed(option.says or f"Seen: {found}.", option.do, found, result)
