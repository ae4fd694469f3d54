"""Judging what the radio was read to send: the ends of the sticks, and the arm switch."""

from collections.abc import Collection
from dataclasses import replace
from decimal import ROUND_CEILING, Decimal
from typing import Any

from server.trade.card.answers import Answer, BadAnswer, mapping, microseconds, only, word
from server.trade.card.evidence import Channels, Switch
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.text import counted, plain
from server.trade.radio.arming import Armed
from server.trade.radio.ends import Ends, Setting, off_places, solve
from server.trade.solving import plain_number

_PLACES = ("low", "centre", "high")
_MOST = Decimal(5000)
_WHOLE = Decimal(1)

Readings = dict[str, Decimal]


def channels(spec: Channels, answer: Answer) -> Judgement:
    """Every channel's low, centre and high; one that reaches asks for no change."""
    read = read_channels(spec, answer)
    left = [channel for channel in spec.channels if channel not in read]
    if left:
        found = "; ".join(f"{c} {_reading(readings)}" for c, readings in read.items())
        recorded = f"{len(read)} of {counted(len(spec.channels), 'channel')} recorded."
        return more(recorded, f"Read {left[0]}.", found)
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


def read_channels(spec: Channels, answer: Answer) -> dict[str, Readings]:
    """Readings by channel, in the spec's order; a channel not read yet is left out.

    Raises BadAnswer at 'channels' or 'channels.<name>.<place>'.
    """
    if "channel" in answer:
        answer = {"channels": [answer]}
    only(answer, ("channels",))
    rows = answer.get("channels")
    if not isinstance(rows, list | tuple) or not rows:
        raise BadAnswer("channels", "Read every channel.")
    given: dict[str, Answer] = {}
    for row in rows:
        name = word(mapping(row, "channels").get("channel"), "channels", spec.channels)
        if name in given:
            raise BadAnswer(f"channels.{name}", f"The channel {name} is given twice.")
        only(row, ("channel", *_PLACES), f"channels.{name}.")
        given[name] = row
    return {
        name: {p: us(given[name].get(p), f"channels.{name}.{p}") for p in _PLACES}
        for name in spec.channels
        if name in given
    }


def us(value: object, field: str) -> Decimal:
    """A reading in whole µs, 0 to 5000. Raises BadAnswer."""
    read = microseconds(value, field)
    if not 0 <= read <= _MOST:
        raise BadAnswer(field, "A reading lies between 0 and 5000 µs.")
    return read


def _numbers(readings: Readings) -> dict[str, Any]:
    return {place: plain_number(reading) for place, reading in readings.items()}


def _reading(readings: Readings) -> str:
    return " / ".join(plain(readings[place]) for place in _PLACES) + " µs"


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


def _setting(ends: Ends, channel: str) -> Setting:
    return next(s for s in ends.channels if isinstance(s, Setting) and s.channel == channel)


def _asked(readings: Readings) -> list[str]:
    """The places to change: an end that reaches stays as it is, unless the centre has to move."""
    off = off_places(**readings)
    return list(_PLACES if "centre" in off else off)


def _change(setting: Setting, asked: Collection[str]) -> str:
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


def switch(spec: Switch, answer: Answer) -> Judgement:
    """The arm switch's readings; passes with the range to set, fails where no range is safe."""
    read = _read_switch(answer)
    ends = _solved(spec, read)
    found = ", ".join(
        f"{place.replace('_', ' ')} {plain(reading)} µs" for place, reading in read.items()
    )
    (answered,) = ends.switches
    says = " ".join(finding.says for finding in ends.findings)
    if not isinstance(answered, Armed):
        do = " ".join(dict.fromkeys(finding.do for finding in ends.findings))
        return failed(says, do, found, ends.as_json())
    arms = _settable(answered)
    range_ = f"Set arming to {arms.words}: {plain(arms.margin_us)} µs of room."
    set_to = {"low": plain(arms.low), "high": plain(arms.high), "words": arms.words}
    result = ends.as_json() | {"arms": set_to}
    return passed(f"{range_} {says}".strip(), f"{found}; arms at {arms.words}", result)


def armed_range(spec: Switch, answer: Answer | None) -> Armed | None:
    """The range that a recorded answer gives; None without one, or where none is safe."""
    if answer is None:
        return None
    (answered,) = _solved(spec, _read_switch(answer)).switches
    return _settable(answered) if isinstance(answered, Armed) else None


def _settable(armed: Armed) -> Armed:
    """The range in whole µs, as it is set: readings are whole, so the least margin keeps its 40."""
    half = Decimal("0.5") if armed.low % 1 or armed.high % 1 else Decimal(0)
    low, high = (end.quantize(_WHOLE, ROUND_CEILING) for end in (armed.low, armed.high))
    return replace(
        armed, low=low, high=high, margin_us=(armed.margin_us - half).to_integral_value()
    )


def _read_switch(answer: Answer) -> Readings:
    only(answer, ("rest", "armed", "middle", "radio_off"))
    read = {place: us(answer.get(place), place) for place in ("rest", "armed")}
    if answer.get("middle") not in (None, ""):
        read["middle"] = us(answer["middle"], "middle")
    if answer.get("radio_off") != "none":
        read["radio_off"] = us(answer.get("radio_off"), "radio_off")
    return read


def _solved(spec: Switch, read: Readings) -> Ends:
    return solve({"switches": [{"switch": spec.switch} | _numbers(read)]})
