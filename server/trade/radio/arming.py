"""A range for an arm switch that holds the armed reading and nothing else, or why there is none."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field

from server.trade.finding import Finding, Severity
from server.trade.solving import COMMON, Exact, Name, Told, plain_number

# Ends of travel that ranges are left open to, and the least distance kept. Common practice, no
# source: readings jitter by a few µs, and receivers differ by ten or twenty.
BOTTOM, TOP = Decimal(900), Decimal(2100)
MARGIN = Decimal(25)

Reading = Annotated[Exact, Field(ge=0, le=5000)]


class Switch(Told):
    """What a switch reads in µs: at rest, armed, in the middle if it has one, radio off."""

    switch: Name
    rest: Reading
    armed: Reading
    middle: Reading | None = None
    radio_off: Reading | None = None

    def others(self) -> dict[str, Decimal]:
        """The readings at which the craft must not be armed, by name."""
        named = {"rest": self.rest, "middle": self.middle, "radio off": self.radio_off}
        return {name: reading for name, reading in named.items() if reading is not None}


@dataclass(frozen=True, slots=True)
class Armed:
    """An arming range in µs, ends included, and the least distance that its ends keep."""

    switch: str
    low: Decimal
    high: Decimal
    margin_us: Decimal

    def as_json(self) -> dict[str, Any]:
        """The range as the command line prints it."""
        ends = {"low": plain_number(self.low), "high": plain_number(self.high)}
        return {"switch": self.switch, "range": ends, "margin_us": plain_number(self.margin_us)}


@dataclass(frozen=True, slots=True)
class Refused:
    """Why a channel or a switch has no answer; `kind` is 'channel' or 'switch'."""

    kind: str
    name: str
    why: str

    def as_json(self) -> dict[str, Any]:
        """The refusal as the command line prints it."""
        return {self.kind: self.name, "refused": self.why}


def solve_switch(switch: Switch) -> tuple[Armed | Refused, tuple[Finding, ...]]:
    """The widest arming range, or why there is none, with the findings."""
    open_end = () if switch.radio_off is not None else (_radio_off_unknown(switch),)
    if why := _unsafe(switch):
        refused = Refused("switch", switch.switch, why)
        return refused, (_range_unsafe(switch, why), *open_end)
    return _range(switch), open_end


def _unsafe(switch: Switch) -> str | None:
    armed = switch.armed
    if 0 in (switch.rest, armed):
        return "there is no signal"
    for name, reading in switch.others().items():
        if reading == armed:
            return f"it reads armed at {name} too, {_us(armed)}"
        if abs(reading - armed) < 2 * MARGIN:
            return (
                f"armed, {_us(armed)}, and {name}, {_us(reading)}, are {_us(abs(reading - armed))} "
                f"apart; {_us(2 * MARGIN)} are needed for {_us(MARGIN)} on either side of the end"
            )
    if not BOTTOM + MARGIN <= armed <= TOP - MARGIN:
        return f"armed, {_us(armed)}, is within {_us(MARGIN)} of the end of travel or over it"
    return None


def _range(switch: Switch) -> Armed:
    armed, others = switch.armed, switch.others().values()
    # An end half-way to the nearest reading keeps the widest margin to both.
    low = max((_half_way(armed, o) for o in others if o < armed), default=BOTTOM)
    high = min((_half_way(armed, o) for o in others if o > armed), default=TOP)
    low, high = max(low, BOTTOM), min(high, TOP)
    apart = [abs(end - reading) for reading in others for end in (low, high)]
    closed = [abs(armed - end) for end in (low, high) if end not in (BOTTOM, TOP)]
    return Armed(switch.switch, low, high, min(apart + closed))


def _half_way(one: Decimal, other: Decimal) -> Decimal:
    return (one + other) / 2


def _us(reading: Decimal) -> str:
    return f"{plain_number(reading)} µs"


def _range_unsafe(switch: Switch, why: str) -> Finding:
    return Finding(
        code="arm-range-unsafe",
        severity=Severity.STOP,
        subject=switch.switch,
        says=f"No arming range is safe on {switch.switch}: {why}.",
        do="Give arming a two-position switch of its own with full throw, set the link so that it "
        "reads as at rest when the radio is off, and read it again.",
        source=COMMON,
    )


def _radio_off_unknown(switch: Switch) -> Finding:
    return Finding(
        code="radio-off-unknown",
        severity=Severity.CAUTION,
        subject=switch.switch,
        says=f"What {switch.switch} reads with the radio off is not known.",
        do="With the propellers off, turn the radio off and read the channel.",
        source=COMMON,
    )
