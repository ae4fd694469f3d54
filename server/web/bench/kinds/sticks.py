"""The sticks, pushed one by one: a tap each, and what radio or board has to change."""

from dataclasses import dataclass
from typing import Any, ClassVar

from server.drawing.radio.crossed import crossed
from server.trade.card import Judgement
from server.trade.card.kinds.sticks import NOTHING, PUSH, Pushed, Sticks
from server.trade.radio.channel_order import SEVERAL, Moved
from server.web.bench.found import NO_GRID, Grid, Result
from server.web.bench.hidden_fields import Carried
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, Turn, register_view
from server.web.bench.parts_asked import ALL, Stepping, stepping_of
from server.web.site.forms import Form


class SticksForm(Carried):
    """One tap: 'yaw fell' where one channel moved, else what was seen."""

    stick: str = ""
    tap: str = ""


@dataclass(frozen=True)
class SticksAsk:
    """The sticks, and which one is asked for."""

    sticks: tuple[str, ...]
    stepping: Stepping


@dataclass(frozen=True, kw_only=True)
class SticksResult(Result):
    """What moves what, and where it belongs."""

    drawing: str = ""
    grid: Grid = NO_GRID
    points: tuple[str, ...] = ()


@register_view
class SticksView(KindView[Sticks, Pushed, SticksForm]):
    name = "sticks"
    form = SticksForm
    layout: ClassVar[Layout] = Layout(
        wide=True,
        folds_how=False,
        says_found=False,
        stays=False,
        attaches=False,
        refills=False,
        unseen=(),
    )

    def answer(self, spec: Sticks, given: SticksForm) -> Posted:
        moved, _, way = given.tap.partition(" ")
        return {"stick": given.stick, "moved": moved} | ({"way": way} if way else {})

    def field(self, path: list[str], given: SticksForm) -> str:
        return ""

    def typed(self, answer: Pushed) -> dict[str, Any]:
        stick, moved = next(iter(answer.moved.items()))
        return {"stick": stick, "tap": _tapped(moved)}

    def ask(self, spec: Sticks, here: Here) -> Asking:
        pushed = here.standing.answer or Pushed({})
        read = {stick: _tapped(moved) for stick, moved in pushed.moved.items()}
        stepping = stepping_of(here, spec.sticks, read)
        part = stepping.part
        title = "" if part in ("", ALL) else f"Push the {part} stick {PUSH[part]}. What moves?"
        hides = here.standing.mark == "more"
        return Asking(SticksAsk(spec.sticks, stepping), title, hides_result=hides)

    def found(self, spec: Sticks, answer: Pushed, judgement: Judgement, here: Here) -> SticksResult:
        if judgement.state == "more":
            return SticksResult(worth=judgement)
        moved = {stick: (each.channel, each.rose) for stick, each in answer.moved.items()}
        drawing = crossed(moved, "result")
        if judgement.passed:
            return SticksResult(worth=judgement, drawing=drawing)
        rows = tuple(_row(stick, each) for stick, each in answer.moved.items())
        orders = judgement.result["orders"].items()
        return SticksResult(
            worth=judgement,
            drawing=drawing,
            grid=Grid(("Stick", "Moves", "Wanted"), rows),
            points=tuple(
                f"Where the board’s channel order is {old} now, set {new}." for old, new in orders
            ),
        )

    def turn(self, form: Form[Any]) -> Turn:
        """The stick that was sent."""
        return Turn(part=form.text("stick"))


def _tapped(moved: Moved) -> str:
    if moved.channel is None or moved.channel == SEVERAL:
        return moved.channel or NOTHING
    return f"{moved.channel} {'rose' if moved.rose else 'fell'}"


def _row(stick: str, moved: Moved) -> tuple[str, ...]:
    wanted = f"{stick}, rising"
    if moved.channel is None or moved.channel == SEVERAL:
        return (stick, moved.channel or NOTHING, wanted)
    return (stick, f"{moved.channel}, {'rising' if moved.rose else 'falling'}", wanted)
