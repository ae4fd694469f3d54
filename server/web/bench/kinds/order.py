"""The order of the outputs: a corner for each."""

from typing import Any, ClassVar

from server.trade.card import Judgement
from server.trade.card.kinds.order import Order, OutputOrder
from server.web.bench.found import Result
from server.web.bench.hidden_fields import Carried, Texts
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, register_view


class OrderForm(Carried):
    """A corner for each output."""

    table: Texts


@register_view
class OrderView(KindView[Order, OutputOrder, OrderForm]):
    name = "order"
    form = OrderForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=False,
        says_found=False,
        stays=False,
        attaches=False,
        refills=True,
        unseen=(),
    )

    def answer(self, spec: Order, given: OrderForm) -> Posted:
        return {"table": given.table}

    def field(self, path: list[str], given: OrderForm) -> str:
        return f"table[{path[1]}]" if len(path) > 1 else ""

    def typed(self, answer: OutputOrder) -> dict[str, Any]:
        return {"table": {str(output): corner for output, corner in answer.table.items()}}

    def ask(self, spec: Order, here: Here) -> Asking:
        return Asking(spec)

    def found(self, spec: Order, answer: OutputOrder, judgement: Judgement, here: Here) -> Result:
        return Result(worth=judgement)
