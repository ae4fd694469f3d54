"""From which channel moves with which stick to what radio or board has to change.

Letters of an order, first channel first: A for roll, E for pitch, T for throttle, R for yaw, after
aileron, elevator, throttle, rudder (common practice, no source).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from server.trade.finding import Finding, Severity
from server.trade.radio.sticks import crossed_sticks
from server.trade.solving import found

LETTERS = {"A": "roll", "E": "pitch", "T": "throttle", "R": "yaw"}
USUAL = ("AETR", "TAER")  # the orders most met; common practice, no source


@dataclass(frozen=True, slots=True)
class Moved:
    """What was seen on one stick: the channel, or None for none; 'several' for a mix.

    `rose` is whether it rose with the stick forward, right or up.
    """

    channel: str | None
    rose: bool = True


SEVERAL = "several"


@dataclass(frozen=True, slots=True)
class Sorted:
    """What to change. `exchange`: each crossed stick with the channel that it moves now.

    `orders`: for each usual order on the board now, the one to set; empty where a stick moves
    nothing, several, or the same as another. `reverse`: sticks to reverse in the radio.
    """

    exchange: Mapping[str, str]
    reverse: tuple[str, ...]
    dead: tuple[str, ...]
    mixed: tuple[str, ...]
    orders: Mapping[str, str]
    findings: tuple[Finding, ...]


def sort_out(moved: Mapping[str, Moved]) -> Sorted:
    """The answer for all four sticks, each with what moved when it alone was pushed."""
    single = {s: m.channel for s, m in moved.items() if m.channel and m.channel != SEVERAL}
    exchange, crossed = crossed_sticks(single)
    reverse = tuple(s for s in single if not moved[s].rose)
    dead = tuple(s for s, m in moved.items() if m.channel is None)
    mixed = tuple(s for s, m in moved.items() if m.channel == SEVERAL)
    whole = exchange and sorted(single.values()) == sorted(moved)
    orders = {old: new_order(old, single) for old in USUAL} if whole else {}
    findings = (
        *(_dead(stick) for stick in dead),
        *(_mixed(stick) for stick in mixed),
        *crossed,
        *(_reversed(stick) for stick in reverse),
    )
    return Sorted(exchange, reverse, dead, mixed, orders, findings)


def new_order(old: str, moved: Mapping[str, str]) -> str:
    """The order to set on a board that has `old`, so that each stick moves its own channel.

    Where the board takes a place for a channel, the stick that moves that channel is what the radio
    sends there. Raises ValueError where two sticks move one channel.
    """
    mover = {channel: stick for stick, channel in moved.items()}
    if len(mover) < len(LETTERS):
        raise ValueError("Each stick has to move a channel that no other moves.")
    letter = {name: sign for sign, name in LETTERS.items()}
    return "".join(letter[mover[LETTERS[sign]]] for sign in old)


def _stop(code: str, stick: str, says: str, do: str) -> Finding:
    return found(code, Severity.STOP, stick, says, do)


def _dead(stick: str) -> Finding:
    return _stop(
        "stick-dead",
        stick,
        f"The {stick} stick moves no channel.",
        f"See in the radio that the {stick} stick is given a channel, and which.",
    )


def _mixed(stick: str) -> Finding:
    return _stop(
        "stick-mixed",
        stick,
        f"The {stick} stick moves several channels.",
        f"Take every mix off the {stick} stick in the radio; it flies a fixed wing, not a quad.",
    )


def _reversed(stick: str) -> Finding:
    return _stop(
        "channel-reversed",
        stick,
        f"The {stick} stick makes its channel fall.",
        f"Reverse {stick} in the radio, not on the board.",
    )
