"""Which corner the firmware in use expects on each output."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any, ClassVar

from server.trade.card.answers import Answer, BadAnswer, each, mapping, only, word
from server.trade.card.judgement import Judgement, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.spec import Spec
from server.trade.card.text import listed
from server.trade.motors.corners import CORNERS

# Our own example of an output order; no firmware numbers its outputs so.
EXAMPLE = ("FL", "RR", "RL", "FR")


@dataclass(frozen=True, slots=True)
class Order(Spec):
    """`{"table": {"1": "FL", ...}}`, each output and each corner once"""

    kind: ClassVar[str] = "order"
    outputs: tuple[int, ...] = (1, 2, 3, 4)
    corners: tuple[str, ...] = CORNERS


@dataclass(frozen=True, slots=True)
class OutputOrder:
    """The corner of each output, in the order of the outputs."""

    table: Mapping[int, str]


@register
class OrderKind(WholeKind[Order, OutputOrder]):
    name = "order"
    spec = Order

    def read(self, spec: Order, given: Answer) -> OutputOrder:
        only(given, ("table",))
        texts = mapping(given.get("table"), "table")
        only(texts, [str(output) for output in spec.outputs], "table.")
        table = each(
            (n, partial(word, texts.get(str(n)), f"table.{n}", CORNERS)) for n in spec.outputs
        )
        for output, corner in table.items():
            twice = [other for other, same in table.items() if same == corner]
            if len(twice) > 1 and output == twice[-1]:
                named = listed(map(str, twice))
                raise BadAnswer(f"table.{output}", f"{corner} is named on outputs {named}.")
        return OutputOrder(table)

    def write(self, answer: OutputOrder) -> dict[str, Any]:
        return {"table": {str(output): corner for output, corner in answer.table.items()}}

    def judge(self, spec: Order, answer: OutputOrder, before: Results) -> Judgement:
        found = ", ".join(f"{output} {corner}" for output, corner in answer.table.items())
        return passed(f"The firmware in use expects {found}.", found, self.write(answer))

    def paper(self, spec: Order) -> tuple[Blank, ...]:
        return tuple(Blank(f"output {n}: corner") for n in spec.outputs)

    def example(self, spec: Order) -> tuple[OutputOrder, ...]:
        return (OutputOrder(dict(zip(spec.outputs, EXAMPLE, strict=True))),)
