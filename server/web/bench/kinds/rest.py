"""Sticks at rest: lowest and highest of each, with noise and deadband drawn."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, ClassVar

from server.drawing.radio.at_rest import at_rest
from server.trade.card import Judgement
from server.trade.card.kinds.rest import LetGo, RestReadings
from server.trade.card.text import plain, tie
from server.web.bench.found import Causes, Grid, Result, causes_of
from server.web.bench.hidden_fields import Carried, Texts
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, register_view


class RestForm(Carried):
    """Lowest and highest µs by channel."""

    low: Texts
    high: Texts


@dataclass(frozen=True, kw_only=True)
class RestResult(Result):
    """Each channel's noise and deadband on one axis, and as a table."""

    drawing: str
    grid: Grid
    causes: tuple[Causes, ...]


@register_view
class RestView(KindView[LetGo, RestReadings, RestForm]):
    name = "rest"
    form = RestForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=False,
        says_found=True,
        stays=False,
        attaches=False,
        refills=False,
        unseen=(),
    )

    def answer(self, spec: LetGo, given: RestForm) -> Posted:
        rows = (
            {"channel": name, "low": given.low.get(name, ""), "high": given.high.get(name, "")}
            for name in spec.channels
        )
        return {"channels": list(rows)}

    def field(self, path: list[str], given: RestForm) -> str:
        return f"{path[2]}[{path[1]}]" if len(path) > 2 else ""

    def typed(self, answer: RestReadings) -> dict[str, Any]:
        low = {name: plain(pair[0]) for name, pair in answer.read.items()}
        return {"low": low, "high": {name: plain(pair[1]) for name, pair in answer.read.items()}}

    def ask(self, spec: LetGo, here: Here) -> Asking:
        return Asking(spec)

    def found(
        self, spec: LetGo, answer: RestReadings, judgement: Judgement, here: Here
    ) -> RestResult:
        seen, off = judgement.result["rest"], judgement.result["faults"]
        spans = [
            (
                r["channel"],
                *answer.read[r["channel"]],
                Decimal(r["deadband"]),
                r["channel"] in off,
            )
            for r in seen
        ]
        columns = ("middle", "either_side", "deadband")
        rows = tuple((r["channel"], *(tie(f"{r[key]} µs") for key in columns)) for r in seen)
        return RestResult(
            worth=judgement,
            drawing=at_rest(spans, "result"),
            grid=Grid(("Channel", "Middle", "Either side", "Deadband"), rows),
            causes=causes_of(judgement.result),
        )
