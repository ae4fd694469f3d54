"""Judging sticks that are let go: noise, a middle that is off, and the deadband to set."""

from decimal import Decimal
from typing import Any

from server.trade.battery.first_power import Likely
from server.trade.card.answers import Answer, BadAnswer, mapping, only, word
from server.trade.card.evidence import Rest as RestSpec
from server.trade.card.judgement import Judgement, failed, passed
from server.trade.card.ranges import us
from server.trade.card.text import listed, plain
from server.trade.radio.sticks import CENTRE_US, Rest, watched

# In order of likelihood, the cheap looks first: common practice, no source.
NOISY = (
    Likely("A hand or the neck strap was on the stick.", "Lay the radio down and watch again."),
    Likely("The radio's sticks are not calibrated.", "Calibrate them in the radio, then watch."),
    Likely("The link drops frames.", "Bring radio and receiver 2 m apart, antennas clear."),
    Likely("The stick's sensor is worn or dirty.", "Watch the same stick on the radio's screen."),
)


def rest(spec: RestSpec, answer: Answer) -> Judgement:
    """Noise of 5 µs or less to either side, and a middle within 10 µs of 1500; ends included."""
    read = read_rest(spec, answer)
    found = ", ".join(f"{c} {plain(low)} to {plain(high)} µs" for c, (low, high) in read.items())
    seen = {channel: watched(*pair) for channel, pair in read.items()}
    noisy = [c for c in seen if not seen[c].quiet]
    off = [c for c in seen if c not in noisy and abs(_off(seen[c])) > spec.centre_within]
    result: dict[str, Any] = {
        "rest": [_as_json(channel, *read[channel], seen[channel]) for channel in read],
        "faults": [*noisy, *off],
        "causes": [cause.as_json() for cause in NOISY] if noisy else [],
    }
    if not noisy and not off:
        bands = listed(f"{c} {plain(seen[c].deadband_us)} µs" for c in seen)
        quiet = f"Quiet at rest. A deadband that covers it: {bands}. Set it and save."
        return passed(quiet, f"{found}; deadband {_bands(seen)}", result)
    says = [f"{c} moves by {plain(seen[c].spread_us)} µs on its own." for c in noisy]
    says += [f"{c} rests at {plain(seen[c].reads)} µs." for c in off]
    do = [f"Find what moves {listed(noisy)}, first things first."] if noisy else []
    do += [f"In the radio, move the centre of {c} by {plain(-_off(seen[c]))} µs." for c in off]
    return failed(" ".join(says), " ".join([*do, "Then watch all three again."]), found, result)


def read_rest(spec: RestSpec, answer: Answer) -> dict[str, tuple[Decimal, Decimal]]:
    """Lowest and highest by channel. Raises BadAnswer at 'channels' or 'channels.<name>.<end>'."""
    only(answer, ("channels",))
    rows = answer.get("channels")
    if not isinstance(rows, list | tuple):
        raise BadAnswer("channels", "Watch every channel.")
    read: dict[str, tuple[Decimal, Decimal]] = {}
    for row in rows:
        name = word(mapping(row, "channels").get("channel"), "channels", spec.channels)
        if name in read:
            raise BadAnswer(f"channels.{name}", f"The channel {name} is given twice.")
        only(row, ("channel", "low", "high"), f"channels.{name}.")
        low, high = (us(row.get(end), f"channels.{name}.{end}") for end in ("low", "high"))
        if low > high:
            raise BadAnswer(f"channels.{name}.high", "The highest lies under the lowest.")
        read[name] = low, high
    for name in spec.channels:
        if name not in read:
            raise BadAnswer(f"channels.{name}.low", "Watch this channel too.")
    return {name: read[name] for name in spec.channels}


def _off(seen: Rest) -> Decimal:
    return seen.reads - CENTRE_US


def _bands(seen: dict[str, Rest]) -> str:
    return " / ".join(plain(one.deadband_us) for one in seen.values()) + " µs"


def _as_json(channel: str, low: Decimal, high: Decimal, seen: Rest) -> dict[str, str]:
    return {
        "channel": channel,
        "low": plain(low),
        "high": plain(high),
        "middle": plain(seen.reads),
        "either_side": plain(seen.spread_us / 2),
        "deadband": plain(seen.deadband_us),
    }
