"""Looks at a radio beside its ends: jitter at rest, crossed sticks, ranges that overlap."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from itertools import combinations
from statistics import median

from server.trade.finding import Finding, Severity
from server.trade.solving import NoAnswer, found

LEAST_READINGS = 10
CENTRE_US = Decimal(1500)
QUIET_US = Decimal(5)  # common practice, no source: within ±5 µs of the centre at rest


@dataclass(frozen=True, slots=True)
class StickAtRest:
    """A stick left alone: its middle reading, the spread of all, and a deadband that covers it.

    In µs. The deadband is to either side of the middle reading, whole µs, with 1 µs over.
    """

    reads: Decimal
    spread_us: Decimal
    deadband_us: Decimal
    quiet: bool


def at_rest(readings: Sequence[Decimal]) -> StickAtRest:
    """How much a channel moves while nobody touches it. Raises NoAnswer under 10 readings."""
    if len(readings) < LEAST_READINGS:
        raise NoAnswer("readings", f"{LEAST_READINGS} readings or more are needed.")
    reads = median(readings)
    furthest = max(abs(reading - reads) for reading in readings)
    deadband = furthest.to_integral_value(ROUND_CEILING) + 1
    return StickAtRest(reads, max(readings) - min(readings), deadband, furthest <= QUIET_US)


def watched(lowest: Decimal, highest: Decimal, centre: Decimal = CENTRE_US) -> StickAtRest:
    """The same from the lowest and the highest reading seen while nobody touched the stick, in µs.

    The deadband is about `centre`, which is what a board counts it from, so it covers a middle that
    is off too. `quiet` looks at the noise alone. Raises NoAnswer where the two are the wrong way
    round.
    """
    if lowest > highest:
        raise NoAnswer("highest", "The highest reading lies under the lowest.")
    furthest = max(abs(lowest - centre), abs(highest - centre))
    deadband = furthest.to_integral_value(ROUND_CEILING) + 1
    spread = highest - lowest
    return StickAtRest((lowest + highest) / 2, spread, deadband, spread <= 2 * QUIET_US)


def crossed_sticks(moved: Mapping[str, str]) -> tuple[dict[str, str], tuple[Finding, ...]]:
    """Which channels are to change places, from the channel that moved with each stick.

    `moved` is stick to channel, as {"roll": "yaw", "yaw": "roll"}. The answer is the same without
    the sticks that are right, with one finding at stop where any is left.
    """
    wrong = {stick: channel for stick, channel in moved.items() if stick != channel}
    if not wrong:
        return {}, ()
    says = "; ".join(f"the {stick} stick moves {channel}" for stick, channel in wrong.items())
    return wrong, (
        found(
            "channels-crossed",
            Severity.STOP,
            ", ".join(wrong),
            f"The channel order is not the firmware's: {says}.",
            "Set the channel order so that each stick moves its own channel, one at a time.",
        ),
    )


@dataclass(frozen=True, slots=True)
class Span:
    """What a range of a channel switches on: ends in µs, both inside."""

    does: str
    channel: str
    low: Decimal
    high: Decimal


def overlaps(arming: str, spans: Sequence[Span]) -> tuple[Finding, ...]:
    """Functions that come on together with `arming` on one channel, as findings at stop."""
    return tuple(
        found(
            "ranges-overlap",
            Severity.STOP,
            other.does,
            f"{other.does} comes on with {arming}: both hold {_shared(one, other)} on "
            f"{one.channel}.",
            f"Give {other.does} another channel, or a range that {arming} does not touch.",
        )
        for one, other in _pairs(arming, spans)
    )


def together(arming: str, spans: Sequence[Span]) -> tuple[str, ...]:
    """Functions other than `arming` that come on with one another, in words; often meant so."""
    others = [span for span in spans if span.does != arming]
    return tuple(
        f"{one.does} and {other.does} come on together from {_shared(one, other)} on {one.channel}."
        for one, other in combinations(others, 2)
        if _meet(one, other)
    )


def _meet(one: Span, other: Span) -> bool:
    return one.channel == other.channel and one.low <= other.high and other.low <= one.high


def _pairs(arming: str, spans: Sequence[Span]) -> Iterator[tuple[Span, Span]]:
    for pair in combinations(spans, 2):
        one, other = sorted(pair, key=lambda span: span.does != arming)
        if one.does == arming != other.does and _meet(one, other):
            yield one, other


def _shared(one: Span, other: Span) -> str:
    return f"{max(one.low, other.low)} to {min(one.high, other.high)} µs"
