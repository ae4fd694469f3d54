"""A choice: one button an option."""

from typing import Any, ClassVar

from server.trade.card import Judgement
from server.trade.card.kinds.choice import Choice, Chosen
from server.web.bench.found import Result
from server.web.bench.hidden_fields import Carried
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, register_view


class ChoiceForm(Carried):
    """One button an option."""

    choice: str = ""


@register_view
class ChoiceView(KindView[Choice, Chosen, ChoiceForm]):
    name = "choice"
    form = ChoiceForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=False,
        says_found=True,
        stays=False,
        attaches=False,
        refills=False,
        unseen=(),
    )

    def answer(self, spec: Choice, given: ChoiceForm) -> Posted:
        return {"choice": given.choice}

    def field(self, path: list[str], given: ChoiceForm) -> str:
        return ""

    def typed(self, answer: Chosen) -> dict[str, Any]:
        return {"choice": answer.value}

    def ask(self, spec: Choice, here: Here) -> Asking:
        return Asking(spec)

    def found(self, spec: Choice, answer: Chosen, judgement: Judgement, here: Here) -> Result:
        return Result(worth=judgement)
