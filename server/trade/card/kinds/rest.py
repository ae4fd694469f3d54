"""Sticks that are let go: noise, a middle that is off, and the deadband to set."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any, ClassVar

from server.trade.battery.first_power import CurrentCause
from server.trade.card.answers import Answer, BadAnswer, each, microseconds, only, rows, word
from server.trade.card.judgement import Judgement, failed, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.spec import Spec
from server.trade.card.text import listed, plain
from server.trade.radio.ends import OFF_CENTRE_US
from server.trade.radio.sticks import CENTRE_US, StickAtRest, watched

ENDS = ("low", "high")
# In order of likelihood, the cheap looks first: common practice, no source.
NOISY = (
    CurrentCause(
        "A hand or the neck strap was on the stick.", "Lay the radio down and watch again."
    ),
    CurrentCause(
        "The radio's sticks are not calibrated.", "Calibrate them in the radio, then watch."
    ),
    CurrentCause("The link drops frames.", "Bring radio and receiver 2 m apart, antennas clear."),
    CurrentCause(
        "The stick's sensor is worn or dirty.", "Watch the same stick on the radio's screen."
    ),
)


@dataclass(frozen=True, slots=True)
class LetGo(Spec):
    """`{"channels": [{"channel", "low", "high"}, ...]}`, the lowest and the highest of each with no
    hand on a stick, whole µs"""

    kind: ClassVar[str] = "rest"
    channels: tuple[str, ...] = ("roll", "pitch", "yaw")
    centre_within: Decimal = OFF_CENTRE_US


@dataclass(frozen=True, slots=True)
class RestReadings:
    """Lowest and highest in µs by channel."""

    read: Mapping[str, tuple[Decimal, Decimal]]


@register
class RestKind(WholeKind[LetGo, RestReadings]):
    name = "rest"
    spec = LetGo

    def read(self, spec: LetGo, given: Answer) -> RestReadings:
        by_name = _named(spec, given)
        return RestReadings(
            each((name, partial(_pair, by_name.get(name), name)) for name in spec.channels)
        )

    def write(self, answer: RestReadings) -> dict[str, Any]:
        return {
            "channels": [
                {"channel": name, "low": plain(low), "high": plain(high)}
                for name, (low, high) in answer.read.items()
            ]
        }

    def judge(self, spec: LetGo, answer: RestReadings, before: Results) -> Judgement:
        """Noise of 5 µs or less to either side, a middle within 10 µs of 1500; ends included."""
        read = answer.read
        found = ", ".join(
            f"{c} {plain(low)} to {plain(high)} µs" for c, (low, high) in read.items()
        )
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

    def paper(self, spec: LetGo) -> tuple[Blank, ...]:
        return tuple(Blank(f"{c}: lowest, highest", unit="µs") for c in spec.channels)

    def example(self, spec: LetGo) -> tuple[RestReadings, ...]:
        quiet = CENTRE_US - 2, CENTRE_US + 1
        return (RestReadings(dict.fromkeys(spec.channels, quiet)),)


def _named(spec: LetGo, given: Answer) -> dict[str, Answer]:
    """The rows by channel, in the spec's order. Raises BadAnswer."""
    only(given, ("channels",))
    by_name: dict[str, Answer] = {}
    for row in rows(given.get("channels"), "channels", "Watch every channel."):
        name = word(row.get("channel"), "channels", spec.channels)
        if name in by_name:
            raise BadAnswer(f"channels.{name}", f"The channel {name} is given twice.")
        only(row, ("channel", *ENDS), f"channels.{name}.")
        by_name[name] = row
    return {name: by_name[name] for name in spec.channels if name in by_name}


def _pair(row: Answer | None, name: str) -> tuple[Decimal, Decimal]:
    at = f"channels.{name}"
    if row is None:
        raise BadAnswer(f"{at}.low", "Watch this channel too.")
    read = each((end, partial(microseconds, row.get(end), f"{at}.{end}")) for end in ENDS)
    if read["low"] > read["high"]:
        raise BadAnswer(f"{at}.high", "The highest lies under the lowest.")
    return read["low"], read["high"]


def _off(seen: StickAtRest) -> Decimal:
    return seen.reads - CENTRE_US


def _bands(seen: dict[str, StickAtRest]) -> str:
    return " / ".join(plain(one.deadband_us) for one in seen.values()) + " µs"


def _as_json(channel: str, low: Decimal, high: Decimal, seen: StickAtRest) -> dict[str, str]:
    return {
        "channel": channel,
        "low": plain(low),
        "high": plain(high),
        "middle": plain(seen.reads),
        "either_side": plain(seen.spread_us / 2),
        "deadband": plain(seen.deadband_us),
    }
