"""A range for an arm switch that holds the armed reading and nothing else, or why there is none."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Any

from pydantic import Field

from server.trade.finding import Finding, Severity
from server.trade.solving import Exact, Name, SolverInput, found, plain_number

# Ends of travel that ranges are left open to, and the least distance kept: several times the noise
# of a switch channel at rest. Common practice, no source.
BOTTOM, TOP = Decimal(800), Decimal(2200)
MARGIN = Decimal(40)
# A switch that arms at its low end arms where many receivers put a channel without a radio. Common
# practice, no source.
NEAR_RADIO_OFF, LOW_END = Decimal(150), Decimal(1200)

Reading = Annotated[Exact, Field(ge=0, le=5000)]


class SwitchLook(SolverInput):
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
    """An arming range in µs, ends included, and the least distance that its ends keep.

    An end at 800 or 2200 µs is left open. `others` are the readings at which nothing may arm.
    """

    switch: str
    low: Decimal
    high: Decimal
    margin_us: Decimal
    others: tuple[Decimal, ...] = ()

    @property
    def words(self) -> str:
        """The range as pages and paper give it."""
        return span_words(self.low, self.high, self.others)

    def as_json(self) -> dict[str, Any]:
        """The range as the command line prints it."""
        ends = {"low": plain_number(self.low), "high": plain_number(self.high)}
        return {"switch": self.switch, "range": ends, "margin_us": plain_number(self.margin_us)}


@dataclass(frozen=True, slots=True)
class RefusedReading:
    """Why a channel or a switch has no answer; `kind` is 'channel' or 'switch'."""

    kind: str
    name: str
    why: str

    def as_json(self) -> dict[str, Any]:
        """The refusal as the command line prints it."""
        return {self.kind: self.name, "refused": self.why}


def solve_switch(switch: SwitchLook) -> tuple[Armed | RefusedReading, tuple[Finding, ...]]:
    """The widest arming range, or why there is none, with the findings."""
    cautions = tuple(_cautions(switch))
    if why := _unsafe(switch):
        refused = RefusedReading("switch", switch.switch, why)
        return refused, (_range_unsafe(switch, why), *cautions)
    return _range(switch), cautions


def _cautions(switch: SwitchLook) -> Iterator[Finding]:
    if switch.radio_off is None:
        yield _radio_off_unknown(switch)
    if _at_low_end(switch):
        yield _arms_at_low_end(switch)


def _at_low_end(switch: SwitchLook) -> bool:
    if switch.armed >= switch.rest or not switch.armed:
        return False
    if switch.radio_off is None:
        return switch.armed < LOW_END
    return abs(switch.armed - switch.radio_off) <= NEAR_RADIO_OFF


def _unsafe(switch: SwitchLook) -> str | None:
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


def _range(switch: SwitchLook) -> Armed:
    armed, others = switch.armed, tuple(switch.others().values())
    # An end half-way to the nearest reading keeps the widest margin to both.
    low = max((_half_way(armed, o) for o in others if o < armed), default=BOTTOM)
    high = min((_half_way(armed, o) for o in others if o > armed), default=TOP)
    low, high = max(low, BOTTOM), min(high, TOP)
    apart = [abs(end - reading) for reading in others for end in (low, high)]
    closed = [abs(armed - end) for end in (low, high) if end not in (BOTTOM, TOP)]
    return Armed(switch.switch, low, high, min(apart + closed), others)


def _half_way(one: Decimal, other: Decimal) -> Decimal:
    return (one + other) / 2


def _us(reading: Decimal) -> str:
    return f"{plain_number(reading)} µs"


def _range_unsafe(switch: SwitchLook, why: str) -> Finding:
    return found(
        "arm-range-unsafe",
        Severity.STOP,
        switch.switch,
        f"No arming range is safe on {switch.switch}: {why}.",
        "Give arming a two-position switch of its own with full throw, set the receiver so that "
        "the channel reads as at rest when the radio is off, and read it again.",
    )


def _radio_off_unknown(switch: SwitchLook) -> Finding:
    return found(
        "radio-off-unknown",
        Severity.CAUTION,
        switch.switch,
        f"What {switch.switch} reads with the radio off is not known.",
        "With the propellers off, turn the radio off and read the channel.",
    )


def _arms_at_low_end(switch: SwitchLook) -> Finding:
    near = (
        f"within {_us(NEAR_RADIO_OFF)} of its reading with the radio off"
        if switch.radio_off is not None
        else "at its low end, where many receivers put a channel without a radio"
    )
    return found(
        "arm-at-low-end",
        Severity.CAUTION,
        switch.switch,
        f"{switch.switch} arms at {_us(switch.armed)}, under its reading at rest, and {near}.",
        f"Reverse the channel of {switch.switch} in the radio so that it arms at its high end, and "
        "read it again.",
    )


def span_words(
    low: Decimal | float, high: Decimal | float, others: Iterable[Decimal | float] = ()
) -> str:
    """A range as pages and paper give it: '1750 µs and up', '1250 µs and down', '1300 to 1700 µs'.

    An end at 800 or 2200 µs is left open, unless one of the `others`, readings at which nothing may
    arm, lies beyond it.
    """
    beyond = list(others)
    first, last = (plain_number(Decimal(str(end))) for end in (low, high))
    if high >= TOP and all(reading <= high for reading in beyond):
        return f"{first} µs and up"
    if low <= BOTTOM and all(reading >= low for reading in beyond):
        return f"{last} µs and down"
    return f"{first} to {last} µs"
