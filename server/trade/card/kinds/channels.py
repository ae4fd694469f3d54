"""What the board reads at the ends and the centre of each stick."""

from collections.abc import Collection, Hashable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any, ClassVar

from server.trade.card.answers import Answer, BadAnswer, each, microseconds, only, rows, word
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.kind import Blank, PartKind, Results, register
from server.trade.card.kinds.sticks import STICKS
from server.trade.card.spec import Spec
from server.trade.card.text import counted, plain
from server.trade.radio.ends import CENTRE, HIGH, LOW, EndSetting, RadioEnds, off_places, solve
from server.trade.solving import plain_number

PLACES = ("low", "centre", "high")
_WANTED = dict(zip(PLACES, (LOW, CENTRE, HIGH), strict=True))
_WHOLE = Decimal(1)

Readings = Mapping[str, Decimal]


@dataclass(frozen=True, slots=True)
class Channels(Spec):
    """`{"channel", "low", "centre", "high"}`, whole µs, one entry a channel, the latest of each
    counting; or all at once as `{"channels": [...]}`"""

    # `unsprung` channels have no rest position, so their centre is recorded and not judged.
    kind: ClassVar[str] = "channels"
    channels: tuple[str, ...] = STICKS
    unsprung: tuple[str, ...] = ("throttle",)


@dataclass(frozen=True, slots=True)
class ChannelReadings:
    """Readings in µs by channel and place."""

    read: Mapping[str, Readings]


@register
class ChannelsKind(PartKind[Channels, ChannelReadings]):
    name = "channels"
    spec = Channels

    def read(self, spec: Channels, given: Answer) -> ChannelReadings:
        by_name = _named(spec, given)
        taken = each(
            ((c, p), partial(microseconds, row.get(p), f"channels.{c}.{p}"))
            for c, row in by_name.items()
            for p in PLACES
        )
        return _in_order(spec, {c: {p: taken[c, p] for p in PLACES} for c in by_name})

    def write(self, answer: ChannelReadings) -> dict[str, Any]:
        written = [
            {"channel": c} | {place: plain(us) for place, us in readings.items()}
            for c, readings in answer.read.items()
        ]
        return written[0] if len(written) == 1 else {"channels": written}

    def judge(self, spec: Channels, answer: ChannelReadings, before: Results) -> Judgement:
        """Low, centre and high against 1000, 1500 and 2000 µs, room ends included."""
        left = [channel for channel in spec.channels if channel not in answer.read]
        if left:
            found = "; ".join(f"{c} {_reading(readings)}" for c, readings in answer.read.items())
            recorded = f"{len(answer.read)} of {counted(len(spec.channels), 'channel')} recorded."
            return more(recorded, f"Read {left[0]}.", found)
        return _judged(spec, answer.read)

    def parts(self, answer: ChannelReadings) -> frozenset[Hashable]:
        return frozenset(answer.read)

    def joined(
        self, spec: Channels, earlier: ChannelReadings, later: ChannelReadings
    ) -> ChannelReadings:
        return _in_order(spec, {**earlier.read, **later.read})

    def paper(self, spec: Channels) -> tuple[Blank, ...]:
        return tuple(Blank(f"{c}: low, centre, high", unit="µs") for c in spec.channels)

    def example(self, spec: Channels) -> tuple[ChannelReadings, ...]:
        return tuple(ChannelReadings({c: dict(_WANTED)}) for c in spec.channels)


def _in_order(spec: Channels, read: Mapping[str, Readings]) -> ChannelReadings:
    return ChannelReadings({c: read[c] for c in spec.channels if c in read})


def _named(spec: Channels, given: Answer) -> dict[str, Answer]:
    """The rows by channel. Raises BadAnswer at 'channels' or 'channels.<name>'."""
    if "channel" in given:
        given = {"channels": [given]}
    only(given, ("channels",))
    by_name: dict[str, Answer] = {}
    for row in rows(given.get("channels"), "channels", "Read every channel."):
        name = word(row.get("channel"), "channels", spec.channels)
        if name in by_name:
            raise BadAnswer(f"channels.{name}", f"The channel {name} is given twice.")
        only(row, ("channel", *PLACES), f"channels.{name}.")
        by_name[name] = row
    if not by_name:
        raise BadAnswer("channels", "Read every channel.")
    return by_name


def _judged(spec: Channels, read: Mapping[str, Readings]) -> Judgement:
    ends = solve(
        {"channels": [{"channel": c} | _numbers(readings) for c, readings in read.items()]}
    )
    faults = {c: _faults(spec, c, readings) for c, readings in read.items()}
    refused = {finding.subject: finding for finding in ends.findings}
    off = [c for c in read if faults[c] or c in refused]
    found = "; ".join(f"{c} {_reading(read[c])}" for c in (off or read))
    result = ends.as_json() | {
        "faults": {c: [place for place, _ in faults[c]] for c in off},
        "read": {c: {place: plain(us) for place, us in read[c].items()} for c in read},
        "asked": {c: _asked(read[c]) for c in off if c not in refused},
    }
    if not off:
        return passed("All channels reach their ends and their centre.", found, result)
    said = {c: ", ".join(fault for _, fault in faults[c]) for c in off}
    says = [refused[c].says if c in refused else f"{c}: {said[c]}." for c in off]
    do = [
        refused[c].do if c in refused else _change(_setting(ends, c), _asked(read[c])) for c in off
    ]
    return failed(" ".join(says), " ".join(dict.fromkeys(do)), found, result)


def _numbers(readings: Readings) -> dict[str, Any]:
    return {place: plain_number(reading) for place, reading in readings.items()}


def _reading(readings: Readings) -> str:
    return " / ".join(plain(readings[place]) for place in PLACES) + " µs"


def _faults(spec: Channels, channel: str, readings: Readings) -> list[tuple[str, str]]:
    """Each place that is off on one channel, and by how much over its limit."""
    return [
        (
            place,
            f"{place} {plain(readings[place])} µs is {plain(abs(by))} µs "
            f"{'over' if by > 0 else 'under'} the limit",
        )
        for place, by in off_places(**readings).items()
        if place != "centre" or channel not in spec.unsprung
    ]


def _setting(ends: RadioEnds, channel: str) -> EndSetting:
    return next(s for s in ends.channels if isinstance(s, EndSetting) and s.channel == channel)


def _asked(readings: Readings) -> list[str]:
    """The places to change: an end that reaches stays as it is, unless the centre has to move."""
    off = off_places(**readings)
    return list(PLACES if "centre" in off else off)


def _change(setting: EndSetting, asked: Collection[str]) -> str:
    """The change in the radio in words, per cent rounded to whole ones as a radio takes them."""
    trim = f" move the centre by {plain(setting.trim_us)} µs," if "centre" in asked else ""
    percent = {"low": setting.low_percent, "high": setting.high_percent}
    ends = " and ".join(
        f"the {end} end to {plain(share.quantize(_WHOLE))} %"
        for end, share in percent.items()
        if end in asked
    )
    turn = " then reverse it," if setting.reverse else ""
    return (
        f"In the radio, on {setting.channel}:{trim} set {ends} of the present throw,{turn} and "
        "read it again."
    )
