"""What the radio is to change so that sticks read 1000, 1500 and 2000 µs, and safe arm switches.

1000/1500/2000 µs for low, centre and high are common practice, no source. All sums are exact.
"""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field

from server.trade.finding import Finding, Severity
from server.trade.radio.arming import Armed, RefusedReading, SwitchLook, solve_switch
from server.trade.solving import Exact, Name, NoAnswer, SolverInput, found, plain_number, told

LOW, CENTRE, HIGH = Decimal(1000), Decimal(1500), Decimal(2000)
# A channel reaches when both ends are there or a little beyond, and its centre is near. A little
# past the ends does no harm, and a radio's model often serves other craft. Common practice, no
# source.
SHORT_US, BEYOND_US, OFF_CENTRE_US = Decimal(10), Decimal(60), Decimal(10)
LOW_REACHED = (LOW - BEYOND_US, LOW + SHORT_US)
HIGH_REACHED = (HIGH - SHORT_US, HIGH + BEYOND_US)
CENTRED = (CENTRE - OFF_CENTRE_US, CENTRE + OFF_CENTRE_US)
CENT = Decimal("0.01")
LEAST_THROW = Decimal(1)  # a side that moves by less does not move

# No pulse is longer; a reading above it is a slip of the pen. Zero stands for no signal.
Reading = Annotated[Exact, Field(ge=0, le=5000)]


class ChannelLook(SolverInput):
    """What one channel reads at low stick, centred and at high stick, in µs."""

    channel: Name
    low: Reading
    centre: Reading
    high: Reading


class Radio(SolverInput):
    """The channels and switches of one radio as they read now."""

    channels: Annotated[tuple[ChannelLook, ...], Field(max_length=64)] = ()
    switches: Annotated[tuple[SwitchLook, ...], Field(max_length=64)] = ()


@dataclass(frozen=True, slots=True)
class EndSetting:
    """The change to one channel: per cent of the present throw on each side, and the trim in µs.

    The trim comes first and moves all three readings; then the ends, seen from the stick's side;
    then, where `reverse`, the direction about the centre. `reads` is what comes of it, in µs.
    `reaches`: the channel does as it is, and nobody is to be asked for the change.
    """

    channel: str
    low_percent: Decimal
    high_percent: Decimal
    trim_us: Decimal
    reverse: bool
    reads: tuple[Decimal, Decimal, Decimal]
    reaches: bool

    def as_json(self) -> dict[str, Any]:
        """The change as the command line prints it."""
        return {
            "channel": self.channel,
            "low_percent": plain_number(self.low_percent),
            "high_percent": plain_number(self.high_percent),
            "trim_us": plain_number(self.trim_us),
            "reverse": self.reverse,
            "reads": [plain_number(reading) for reading in self.reads],
            "reaches": self.reaches,
        }


@dataclass(frozen=True, slots=True)
class RadioEnds:
    """The answer for a whole radio."""

    channels: tuple[EndSetting | RefusedReading, ...]
    switches: tuple[Armed | RefusedReading, ...]
    findings: tuple[Finding, ...]

    def as_json(self) -> dict[str, Any]:
        """The answer as the command line prints it."""
        return {
            "channels": [channel.as_json() for channel in self.channels],
            "switches": [switch.as_json() for switch in self.switches],
            "findings": [finding.as_json() for finding in self.findings],
        }


def solve(document: object) -> RadioEnds:
    """The changes to all channels, and the ranges of all switches.

    `document` is {"channels": [{"channel", "low", "centre", "high"}], "switches": [{"switch",
    "rest", "armed", "middle"?, "radio_off"?}]} in µs. Raises NoAnswer for another shape and for a
    name given twice.
    """
    radio = told(Radio, document)
    _named_once("channels", [channel.channel for channel in radio.channels])
    _named_once("switches", [switch.switch for switch in radio.switches])
    ends = [solve_channel(channel) for channel in radio.channels]
    ranges = [solve_switch(switch) for switch in radio.switches]
    findings = [found for _, found in ends if found]
    findings += [found for _, some in ranges for found in some]
    return RadioEnds(
        tuple(end for end, _ in ends), tuple(one for one, _ in ranges), tuple(findings)
    )


def _named_once(where: str, names: list[str]) -> None:
    for index, name in enumerate(names):
        if name in names[:index]:
            raise NoAnswer(f"{where}[{index}]", f"'{name}' is given twice.")


def solve_channel(channel: ChannelLook) -> tuple[EndSetting | RefusedReading, Finding | None]:
    """The change to one channel, or why there is none with its finding at stop."""
    if why := _unusable(channel):
        return RefusedReading("channel", channel.channel, why), _channel_unusable(channel, why)
    low_throw, high_throw = channel.centre - channel.low, channel.high - channel.centre
    low, high = _percent(low_throw), _percent(high_throw)
    reads = (
        CENTRE - _whole(abs(low_throw) * low / 100),
        CENTRE,
        CENTRE + _whole(abs(high_throw) * high / 100),
    )
    trim = CENTRE - channel.centre
    reaches = not off_places(channel.low, channel.centre, channel.high)
    return EndSetting(channel.channel, low, high, trim, low_throw < 0, reads, reaches), None


def off_places(low: Decimal, centre: Decimal, high: Decimal) -> dict[str, Decimal]:
    """The places that do not reach, 'low', 'centre' and 'high', and by how many µs.

    Under zero where the reading is too low. Limits count as reached. A reversed channel is off at
    both ends.
    """
    places = {"low": (low, LOW_REACHED), "centre": (centre, CENTRED), "high": (high, HIGH_REACHED)}
    off = {place: _outside(reading, *limits) for place, (reading, limits) in places.items()}
    return {place: by for place, by in off.items() if by}


def _outside(reading: Decimal, least: Decimal, most: Decimal) -> Decimal:
    return min(reading - least, Decimal(0)) + max(reading - most, Decimal(0))


def _unusable(channel: ChannelLook) -> str | None:
    if 0 in (channel.low, channel.centre, channel.high):
        return "there is no signal"
    low, high = channel.centre - channel.low, channel.high - channel.centre
    still = [side for side, throw in (("low", low), ("high", high)) if abs(throw) < LEAST_THROW]
    if still:
        return f"it has no throw on its {' and '.join(still)} side"
    if (low < 0) != (high < 0):
        return "its centre lies outside its ends"
    return None


def _channel_unusable(channel: ChannelLook, why: str) -> Finding:
    return found(
        "channel-unusable",
        Severity.STOP,
        channel.channel,
        f"{channel.channel} cannot be set: {why}.",
        "Check the link, the stick and the mixes of the radio, then read the channel again.",
    )


def _percent(throw: Decimal) -> Decimal:
    return ((HIGH - CENTRE) * 100 / abs(throw)).quantize(CENT)


def _whole(reading: Decimal) -> Decimal:
    # The per cent is cut at two places, which moves an end by less than 0.1 µs.
    return reading.quantize(Decimal(1))
