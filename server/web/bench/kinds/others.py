"""What else switches bring on: a row each, and whether it meets arming."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, ClassVar

from server.trade.card import Judgement
from server.trade.card.kinds.others import ARMING, Functions, Others
from server.trade.card.kinds.switch import SwitchReadings
from server.trade.card.text import plain, tie
from server.web.bench.found import NO_GRID, Grid, Result
from server.web.bench.hidden_fields import Carried, Texts
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, register_view
from server.web.bench.kinds.switch import drawn


class OthersForm(Carried):
    """What else a switch brings on, a row each by its number; `alone`: nothing does."""

    channel: str = ""
    does: Texts
    on: Texts
    low: Texts
    high: Texts
    alone: str = ""


@dataclass(frozen=True, kw_only=True)
class OthersResult(Result):
    """Each range; drawn where it shares the arming channel."""

    drawing: str = ""
    grid: Grid = NO_GRID


@register_view
class OthersView(KindView[Others, Functions, OthersForm]):
    name = "others"
    form = OthersForm
    layout: ClassVar[Layout] = Layout(
        wide=True,
        folds_how=False,
        says_found=False,
        stays=False,
        attaches=False,
        refills=True,
        unseen=(),
    )

    def answer(self, spec: Others, given: OthersForm) -> Posted:
        """The rows in which something stands."""
        if given.alone:
            return {"others": []}
        columns = _columns(given)
        rows = [{key: typed.get(n, "") for key, typed in columns.items()} for n in _numbers(given)]
        return {"channel": given.channel, "others": rows or None}

    def field(self, path: list[str], given: OthersForm) -> str:
        if path[0] != "others" or len(path) < 3:
            return "does[1]" if path[0] == "others" else path[0]
        return f"{'on' if path[2] == 'channel' else path[2]}[{_numbers(given)[int(path[1])]}]"

    def typed(self, answer: Functions) -> dict[str, Any]:
        rows = [(str(n), function) for n, function in enumerate(answer.others, 1)]
        if not rows:
            return {}
        return {
            "channel": str(answer.channel),
            "does": {n: function.does for n, function in rows},
            "on": {n: str(function.channel) for n, function in rows},
            "low": {n: plain(function.low) for n, function in rows},
            "high": {n: plain(function.high) for n, function in rows},
        }

    def ask(self, spec: Others, here: Here) -> Asking:
        return Asking(spec)

    def found(
        self, spec: Others, answer: Functions, judgement: Judgement, here: Here
    ) -> OthersResult:
        arming = judgement.result.get("arming")
        read = here.first((spec.switch,), SwitchReadings)
        if arming is None or read is None:
            return OthersResult(worth=judgement)
        near = tuple((f.does, f.low, f.high) for f in answer.others if f.channel == answer.channel)
        clashes = judgement.result["clashes"]
        rows = tuple(
            _row(other, other["does"] in clashes) for other in (arming, *judgement.result["others"])
        )
        return OthersResult(
            worth=judgement,
            drawing=drawn(read, (Decimal(arming["low"]), Decimal(arming["high"])), near),
            grid=Grid(("Comes on", "Channel", "Range", "With arming"), rows),
        )


def _columns(given: OthersForm) -> dict[str, dict[str, str]]:
    return {"does": given.does, "channel": given.on, "low": given.low, "high": given.high}


def _numbers(given: OthersForm) -> list[str]:
    """The numbers of the rows in which something stands: one between may be blank."""
    typed = _columns(given).values()
    return sorted({n for column in typed for n, text in column.items() if text})


def _row(other: Mapping[str, str], clash: bool) -> tuple[str, ...]:
    return (
        other["does"],
        other["channel"].removeprefix("channel "),
        tie(other["words"]),
        "yes" if clash else "no" if other["does"] != ARMING else "",
    )
