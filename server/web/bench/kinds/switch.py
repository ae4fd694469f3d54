"""The arm switch: its readings asked for, and the range that they give."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Any, ClassVar

from server.drawing.radio.switch import switch_range
from server.trade.card import Judgement
from server.trade.card.kinds.switch import Switch, SwitchReadings
from server.trade.card.text import plain, tie
from server.trade.radio.arming import BOTTOM, TOP
from server.web.bench.found import Grid, Result, Shown
from server.web.bench.hidden_fields import Carried
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, register_view

Range = tuple[Decimal, Decimal]


class SwitchForm(Carried):
    """µs by position; `silent`: with the radio off the channel shows nothing."""

    rest: str = ""
    armed: str = ""
    middle: str = ""
    radio_off: str = ""
    silent: bool


@dataclass(frozen=True, kw_only=True)
class SwitchResult(Result):
    """The positions against the range."""

    drawing: str
    grid: Grid


@register_view
class SwitchView(KindView[Switch, SwitchReadings, SwitchForm]):
    name = "switch"
    form = SwitchForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=False,
        says_found=False,
        stays=False,
        attaches=False,
        refills=False,
        unseen=(),
    )

    def answer(self, spec: Switch, given: SwitchForm) -> Posted:
        middle = {"middle": given.middle} if given.middle else {}
        off = "none" if given.silent else given.radio_off
        return {"rest": given.rest, "armed": given.armed} | middle | {"radio_off": off}

    def field(self, path: list[str], given: SwitchForm) -> str:
        return path[0]

    def typed(self, answer: SwitchReadings) -> dict[str, Any]:
        read = {place: plain(us) for place, us in answer.by_place.items()}
        return read | {"silent": answer.radio_off is None}

    def ask(self, spec: Switch, here: Here) -> Asking:
        return Asking(spec)

    def found(
        self, spec: Switch, answer: SwitchReadings, judgement: Judgement, here: Here
    ) -> SwitchResult:
        arms = judgement.result.get("arms")
        span = (Decimal(arms["low"]), Decimal(arms["high"])) if arms else None
        rows = tuple(_position_row(name, us, span) for name, us in answer.by_place.items())
        return SwitchResult(
            worth=judgement,
            drawing=drawn(answer, span, ()),
            grid=Grid(("Position", "Reads", "From the range"), rows),
        )

    def hands_on(self, found: Result) -> Shown | None:
        """The range, at the step that sets it."""
        return Shown(drawing=found.drawing) if isinstance(found, SwitchResult) else None


def drawn(
    read: SwitchReadings, span: Range | None, others: tuple[tuple[str, Decimal, Decimal], ...]
) -> str:
    """The switch's positions with the arming range, and what else is on its channel."""
    return switch_range(
        read.rest, read.armed, read.middle, read.radio_off, span, "result", others=others
    )


def _position_row(name: str, us: Decimal, span: tuple[Decimal, Decimal] | None) -> tuple[str, ...]:
    said = (name.replace("_", " "), tie(f"{plain(us)} µs"))
    if span is None:
        return (*said, "no safe range")
    low, high = span
    if us < low:
        return (*said, tie(f"{plain(low - us)} µs under it"))
    if us > high:
        return (*said, tie(f"{plain(us - high)} µs over it"))
    ends = [f"{plain(us - low)} µs from the low end"] if low > BOTTOM else []
    ends += [f"{plain(high - us)} µs from the high end"] if high < TOP else []
    return (*said, tie(", ".join(["inside", *ends])))
