"""The radio switched off: what each channel did, and what the board reported."""

from dataclasses import dataclass
from typing import Any, ClassVar

from server.trade.card import Judgement
from server.trade.card.kinds.loss import Loss, LossSeen, says, wrong
from server.web.bench.found import Grid, Result
from server.web.bench.hidden_fields import Carried, Texts
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, register_view


class LossForm(Carried):
    """What each channel did, and as a button what the board reported."""

    did: Texts
    report: str = ""


@dataclass(frozen=True, kw_only=True)
class LossResult(Result):
    """What each channel did, and whether it may."""

    grid: Grid


@register_view
class LossView(KindView[Loss, LossSeen, LossForm]):
    name = "loss"
    form = LossForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=False,
        says_found=True,
        stays=False,
        attaches=False,
        refills=False,
        unseen=(),
    )

    def answer(self, spec: Loss, given: LossForm) -> Posted:
        return {"report": given.report, "channels": given.did}

    def field(self, path: list[str], given: LossForm) -> str:
        return f"did[{path[1]}]" if path[0] == "channels" and len(path) > 1 else ""

    def typed(self, answer: LossSeen) -> dict[str, Any]:
        return {"report": answer.report, "did": dict(answer.channels)}

    def ask(self, spec: Loss, here: Here) -> Asking:
        return Asking(spec)

    def found(self, spec: Loss, answer: LossSeen, judgement: Judgement, here: Here) -> LossResult:
        rows = tuple(
            (channel, says(channel, what), "no" if wrong(what) else "yes")
            for channel, what in answer.channels.items()
        )
        return LossResult(
            worth=judgement, grid=Grid(("Channel", "With the radio off", "May it?"), rows)
        )
