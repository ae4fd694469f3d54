"""The ends and centre of each stick: read one by one or all at once, and what the radio needs."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from server.drawing.radio.stick_ends import stick_ends
from server.trade.card import Judgement
from server.trade.card.kinds.channels import PLACES, ChannelReadings, Channels
from server.trade.card.text import plain, tie
from server.web.bench.found import NO_GRID, Grid, Result
from server.web.bench.hidden_fields import Carried, Texts
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, Turn, register_view
from server.web.bench.parts_asked import ALL, Stepping, stepping_of
from server.web.site.forms import Form

# What a hand does at each of a channel's three places.
ENDS = {
    "roll": ("Stick left", "Let go", "Stick right"),
    "pitch": ("Stick back", "Let go", "Stick forward"),
    "yaw": ("Stick left", "Let go", "Stick right"),
    "throttle": ("Stick down", "Half way", "Stick up"),
}
RADIO = (
    "Change only what is listed: in the radio move the centre, set each end in per cent of the "
    "present throw, reverse where it says so. The channel then reads 1000 / 1500 / 2000 µs: read "
    "it again."
)


class ChannelsForm(Carried):
    """µs by channel, for each place of the stick; `channel` is the one that is read, or 'all'."""

    channel: str = ""
    low: Texts
    centre: Texts
    high: Texts


@dataclass(frozen=True)
class ChannelsAsk:
    """The channels, which one is asked for, and what a hand does at its places."""

    channels: tuple[str, ...]
    unsprung: tuple[str, ...]
    stepping: Stepping
    ends: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class ChannelsResult(Result):
    """Every channel drawn, and what to set in the radio."""

    drawing: str = ""
    grid: Grid = NO_GRID
    points: tuple[str, ...] = ()


@register_view
class ChannelsView(KindView[Channels, ChannelReadings, ChannelsForm]):
    name = "channels"
    form = ChannelsForm
    layout: ClassVar[Layout] = Layout(
        wide=True,
        folds_how=False,
        says_found=False,
        stays=False,
        attaches=False,
        refills=False,
        unseen=(),
    )

    def answer(self, spec: Channels, given: ChannelsForm) -> Posted:
        places = {"low": given.low, "centre": given.centre, "high": given.high}
        asked = (given.channel,) if given.channel in spec.channels else spec.channels
        rows = [{"channel": c} | {p: places[p].get(c, "") for p in PLACES} for c in asked]
        return rows[0] if len(rows) == 1 else {"channels": rows}

    def field(self, path: list[str], given: ChannelsForm) -> str:
        return f"{path[2]}[{path[1]}]" if len(path) > 2 else ""

    def typed(self, answer: ChannelReadings) -> dict[str, Any]:
        places = {p: {c: plain(us[p]) for c, us in answer.read.items()} for p in PLACES}
        return {"channel": next(iter(answer.read)) if len(answer.read) == 1 else ALL} | places

    def ask(self, spec: Channels, here: Here) -> Asking:
        readings = here.standing.answer or ChannelReadings({})
        stepping = stepping_of(here, spec.channels, dict.fromkeys(readings.read, "read"))
        part = stepping.part
        title = "" if part in ("", ALL) else f"Read {part}: both ends and between"
        data = ChannelsAsk(spec.channels, spec.unsprung, stepping, ENDS.get(part, ()))
        return Asking(data, title, hides_result=here.standing.mark == "more")

    def found(
        self, spec: Channels, answer: ChannelReadings, judgement: Judgement, here: Here
    ) -> ChannelsResult:
        if judgement.state == "more":
            return ChannelsResult(worth=judgement)
        read, faults = judgement.result["read"], judgement.result["faults"]
        three = {c: (us["low"], us["centre"], us["high"]) for c, us in read.items()}
        off = {c: [p in faults.get(c, ()) for p in PLACES] for c in read}
        drawing = stick_ends(three, off, "result")
        if judgement.passed:
            return ChannelsResult(worth=judgement, drawing=drawing)
        result = judgement.result
        rows = tuple(
            _channel_row(row, read[row["channel"]], result["asked"].get(row["channel"], ()))
            for row in result["channels"]
        )
        return ChannelsResult(
            worth=replace(judgement, do=RADIO),
            drawing=drawing,
            grid=Grid(("Channel", "Reads, µs", "Set in the radio"), rows),
            points=tuple(f"{f['subject']}: {f['do']}" for f in result["findings"]),
        )

    def turn(self, form: Form[Any]) -> Turn:
        """The channel that was sent."""
        return Turn(part=form.text("channel"))


def _channel_row(
    row: Mapping[str, Any], read: Mapping[str, str], asked: Collection[str]
) -> tuple[str, ...]:
    reads = " / ".join(read[place] for place in PLACES)
    if "refused" in row:
        return (row["channel"], reads, row["refused"])
    if not asked:
        return (row["channel"], reads, "leave it")
    change = [tie(f"centre {row['trim_us']:+g} µs")] if "centre" in asked else []
    for end in ("low", "high"):
        if end in asked and row[f"{end}_percent"] != 100:
            change.append(f"{end} end {_percent(row[f'{end}_percent'])}")
    change += ["reverse"] if row["reverse"] else []
    return (row["channel"], reads, ", ".join(change))


def _percent(exact: float) -> str:
    """As a radio takes it, in whole per cent, and to two places where that is not the same."""
    whole = f"{exact:.0f} %"
    return tie(whole if exact == round(exact) else f"{whole} ({exact:g})")
