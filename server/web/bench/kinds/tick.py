"""A tick: the button is the answer."""

from typing import Any, ClassVar, TypeVar

from server.trade.card import Judgement
from server.trade.card.kinds.tick import Done, Tick
from server.web.bench.found import Result
from server.web.bench.hidden_fields import Carried
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, register_view

T = TypeVar("T", bound=Tick)


class TickForm(Carried):
    """Nothing but the button."""


class ButtonView(KindView[T, Done, TickForm]):
    """One button says that it is done."""

    form = TickForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=False,
        says_found=True,
        stays=False,
        attaches=False,
        refills=False,
        unseen=(),
    )

    def answer(self, spec: T, given: TickForm) -> Posted:
        return {"done": True}

    def field(self, path: list[str], given: TickForm) -> str:
        return ""

    def typed(self, answer: Done) -> dict[str, Any]:
        return {}

    def ask(self, spec: T, here: Here) -> Asking:
        return Asking(spec)

    def found(self, spec: T, answer: Done, judgement: Judgement, here: Here) -> Result:
        return Result(worth=judgement)


@register_view
class TickView(ButtonView[Tick]):
    name = "tick"
