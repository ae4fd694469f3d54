"""The four power states of a craft on the bench, and the moves between them.

Everything that affects the power state lives in this table: the guard in the acts, the buttons on
the page and the test over all pairs read it.
"""

from datetime import timedelta
from enum import StrEnum


class Power(StrEnum):
    """What is connected to the craft. Propellers are off in all of them."""

    COLD = "cold"
    USB = "usb"
    LIMITED = "limited"
    BATTERY = "battery"


class Act(StrEnum):
    """What a hand does to a power lead."""

    PLUG_USB = "plug-usb"
    PLUG_LIMITER = "plug-limiter"
    PLUG_BATTERY = "plug-battery"
    UNPLUG = "unplug"


# From one source of power to another only through cold: two leads are never live at once, and every
# connection of a battery passes the propeller question anew. Common practice, no source.
MOVES: dict[Power, dict[Act, Power]] = {
    Power.COLD: {
        Act.PLUG_USB: Power.USB,
        Act.PLUG_LIMITER: Power.LIMITED,
        Act.PLUG_BATTERY: Power.BATTERY,
    },
    Power.USB: {Act.UNPLUG: Power.COLD},
    Power.LIMITED: {Act.UNPLUG: Power.COLD},
    Power.BATTERY: {Act.UNPLUG: Power.COLD},
}

# A battery, through a limiter or not, can turn a motor and burn a board.
POWERED = frozenset({Power.LIMITED, Power.BATTERY})

BARS = {Power.COLD: 0, Power.USB: 1, Power.LIMITED: 2, Power.BATTERY: 3}

CONNECTED = {
    Power.COLD: "nothing connected",
    Power.USB: "USB lead only",
    Power.LIMITED: "battery through the current limiter",
    Power.BATTERY: "battery direct, motors can start",
}


# Clocks are put right by seconds all the time; more than this makes no age trustworthy. Common
# practice, no source.
LEAP = timedelta(minutes=1)


def leapt(apart: timedelta) -> bool:
    """Whether a clock that went `apart` from a steady one has been put forward or back."""
    return abs(apart) > LEAP


class WrongMove(ValueError):
    """The act is not possible in this state; `possible` are the acts that are."""

    def __init__(self, state: Power, act: Act) -> None:
        self.state, self.act = state, act
        self.possible = tuple(MOVES[state])
        super().__init__(f"In {state} one can only: {', '.join(self.possible)}.")


def move(state: Power, act: Act) -> Power:
    """The state after `act`. Raises WrongMove and changes nothing when it is not possible."""
    if act not in MOVES[state]:
        raise WrongMove(state, act)
    return MOVES[state][act]
