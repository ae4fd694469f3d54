"""The gate: may this be recorded, connected or signed now; if not, why, and what to do first.

Pure functions of what is known. The act refuses with the answer and the page draws the same one,
so that each sentence stands once, and here. Nobody else compares ages, connections or findings.
"""

from collections.abc import Iterable, Sequence, Set
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import NamedTuple, Protocol

from server.trade.card.text import shortened
from server.trade.finding import Bars, Finding
from server.trade.power import CONNECTED, POWERED, Power
from server.trade.ticket import ON_A_BENCH, State


class Opens(StrEnum):
    """Where a hand does what opens the gate."""

    NOWHERE = ""
    TAKING = "taking"
    HOLD = "hold"
    TICKET = "ticket"
    MAP = "map"
    STEP = "step"
    SOURCE = "source"  # the power page, for another source
    CRAFT = "craft"  # the power page, to see what is connected
    PROPELLERS = "propellers"  # the power page, to answer the propeller question


class StepRef(NamedTuple):
    """A step of the card: its key, and its number as it is printed."""

    key: str
    number: str


@dataclass(frozen=True, slots=True)
class Blocked:
    """Why something cannot be done now, what to do first, and where.

    `step` is the step to do first where it opens on one. `row` is the same in the few words that a
    row of a table has room for.
    """

    says: str
    do: str
    opens: Opens = Opens.NOWHERE
    step: StepRef | None = None
    row: str = ""


NO_MAP = Blocked("There is no port map yet.", "Enter and save the map first.", Opens.MAP)


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerLimits:
    """For how many minutes a power state holds, and a look at the propellers."""

    power: int
    props: int


@dataclass(frozen=True, slots=True)
class PowerNow:
    """What the record tells of the power at one moment.

    `state` is the last that was where it is not `known`, and cold where it `lapsed`: nobody changed
    it for longer than the shop allows. `ends` is when it will. `looked`: a look at the propellers
    holds, until `look_ends`.
    """

    state: Power
    known: bool = True
    lapsed: bool = False
    ends: datetime | None = None
    looked: bool = False
    look_ends: datetime | None = None


class OnRecord(Protocol):
    """What a ticket tells of its power: the row of an act, or the head of a page."""

    @property
    def power(self) -> str: ...
    @property
    def power_since(self) -> datetime | None: ...
    @property
    def props_seen_at(self) -> datetime | None: ...


def power_now(
    ticket: OnRecord, limits: PowerLimits, at: datetime, *, leapt: bool = False
) -> PowerNow:
    """The power at `at`. `leapt`: the clock was moved, and no age by it holds.

    A source that is connected since nobody knows when counts as connected and as not known. So does
    one whose connection, or whose look at the propellers, is still to come: the clock was put back.
    """
    state, since, seen = Power(ticket.power), ticket.power_since, ticket.props_seen_at
    if state is Power.COLD:
        return PowerNow(state)
    if leapt or since is None or since > at or (seen is not None and seen > at):
        return PowerNow(state, known=False)
    ends = since + timedelta(minutes=limits.power)
    if at > ends:
        return PowerNow(Power.COLD, lapsed=True)
    look_ends = seen + timedelta(minutes=limits.props) if seen else None
    looked = look_ends is not None and at <= look_ends
    return PowerNow(state, ends=ends, looked=looked, look_ends=look_ends if looked else None)


class Worked(Protocol):
    """What a ticket tells of the work on it."""

    @property
    def number(self) -> int: ...
    @property
    def state(self) -> str: ...
    @property
    def hold_reason(self) -> str: ...


@dataclass(frozen=True, slots=True)
class Situation:
    """All that the gate knows of a ticket.

    `findings` are None before the first map was saved; `first_power` is that step while it is still
    to be passed for the wiring as it is.
    """

    number: int
    state: str
    hold_reason: str
    power: PowerNow
    findings: tuple[Finding, ...] | None
    first_power: StepRef | None


@dataclass(frozen=True, slots=True)
class Task:
    """What somebody wants to record: a step, or a check of the fault finder.

    `states` are those in which it is done, `after` the steps that it waits for. `reads_current`: it
    is the first power itself, or reads that current.
    """

    named: str
    states: Set[Power]
    after: tuple[StepRef, ...] = ()
    reads_current: bool = False


def may_record(task: Task, now: Situation) -> Blocked | None:
    """What keeps `task` from being recorded; None when nothing does."""
    return (
        may_work(now)
        or waits_for(task)
        or _not_known(now.power)
        or _barred_on(now)
        or current_first(task, now)
        or wrong_power(task, now)
        or _unlooked(now.power)
    )


def may_connect(to: Power, now: Situation) -> Blocked | None:
    """What keeps `to` from being connected, propellers aside; None when nothing does."""
    return may_work(now) or (mapped(now) if to in POWERED else None) or _closed_to(to, now)


def _closed_to(to: Power, now: Situation) -> Blocked | None:
    if barring := barring_source(to, now.findings or ()):
        only = "nothing is connected before, not even the USB lead."
        before = only if to not in POWERED else "no battery is connected before."
        return _at_stop(barring, f"{barring[0].do} Clear it on the map; {before}")
    if to is Power.BATTERY and now.first_power is not None:
        return Blocked(
            "The first power through the current limiter has not passed.",
            "Do that step first, on limited.",
            Opens.STEP,
            now.first_power,
        )
    return None


def propellers_on(count: int | None) -> Blocked | None:
    """What the answer to the propeller question keeps a battery from; None where none is on."""
    if count is None:
        return Blocked(
            "Nobody has looked at the propellers for this connection.",
            "Look at the craft and say how many propellers are on it.",
        )
    if count:
        return Blocked(
            f"{count} {_propellers(count)} on the craft. No battery is connected.",
            "Take all four off, put them away, and look again.",
        )
    return None


def propellers_still_on(count: int) -> Blocked | None:
    """The same at a connected battery: here the battery has to come off first."""
    if not count:
        return None
    return Blocked(
        f"{count} {_propellers(count)} on the craft, and a battery is connected.",
        "Unplug the battery now. Take all four off, put them away, then connect again.",
    )


def may_sign(now: Situation, in_the_way: Sequence[str]) -> Blocked | None:
    """What keeps the log from being signed; `in_the_way` is said of steps, findings and people."""
    return (
        may_work(now)
        or mapped(now)
        or _left_to_do(in_the_way)
        or connected(now.power, "Unplug it, then sign.")
    )


def is_complete(done: int, total: int, findings: Iterable[Finding]) -> bool:
    """Whether a card is ready to sign: every step done, and no finding that bars it."""
    return done == total and not barring_signature(findings)


def may_work(now: Worked) -> Blocked | None:
    """What keeps anybody from working on the ticket."""
    if now.state in ON_A_BENCH:
        return None
    off = f"Ticket {now.number:04d} is not on a bench"
    if now.state == State.WAITING:
        return Blocked(f"{off}.", "Take it first.", Opens.TAKING)
    if now.state == State.ON_HOLD:
        return Blocked(f"{off}: it waits for {now.hold_reason}.", "End the hold first.", Opens.HOLD)
    if now.state == State.READY:
        return Blocked(
            f"{off}: its log is signed.",
            "Nothing more is recorded on this card.",
            Opens.TICKET,
        )
    return Blocked(f"{off}: it is closed.", "Book the craft in again for new work.", Opens.TICKET)


def mapped(now: Situation) -> Blocked | None:
    """The card is made from the port map."""
    return NO_MAP if now.findings is None else None


def waits_for(task: Task) -> Blocked | None:
    """The steps that come before."""
    if not task.after:
        return None
    numbers, first = shortened([step.number for step in task.after]), task.after[0]
    return Blocked(
        f"{task.named} comes after {numbers}.",
        f"Do {first.number} first.",
        Opens.STEP,
        first,
        f"Opens after {numbers}.",
    )


def current_first(task: Task, now: Situation) -> Blocked | None:
    """What a battery on new wiring keeps from being recorded, until its current was read."""
    states, on, first = task.states, now.power.state, now.first_power
    if first is None or task.reads_current or not states & POWERED:
        return None
    if on not in POWERED and not states <= POWERED:
        return None
    says = "First power has not passed for this wiring: nothing else is recorded on a battery."
    do = f"Do step {first.number} first: read the current through the limiter."
    return Blocked(says, do, Opens.STEP, first, f"{says} {do}")


def states_now(task: Task, first_power: StepRef | None) -> frozenset[Power]:
    """The states in which the task may be recorded as the wiring is now."""
    kept_back = first_power is not None and not task.reads_current
    return frozenset(task.states - POWERED if kept_back else task.states)


def wrong_power(task: Task, now: Situation) -> Blocked | None:
    """Another source than the one that is connected."""
    if now.power.state in task.states:
        return None
    wanted = [s for s in Power if s in states_now(task, now.first_power)]
    named = " or ".join(f"{s} ({CONNECTED[s]})" for s in wanted)
    sources = " or ".join(CONNECTED[s] for s in wanted)
    return Blocked(
        f"{task.named} is not done on {now.power.state}.",
        f"Change the power to {named}.",
        Opens.SOURCE,
        row=f"Opens with the {sources} and no propeller on the craft.",
    )


def connected(power: PowerNow, do: str) -> Blocked | None:
    """What is, or may be, still connected, for what is done on a cold craft: then `do`."""
    if power.state is Power.COLD:
        return None
    says = f"The craft is on {power.state}." if power.known else _not_known_says(power)
    return Blocked(says, do, Opens.CRAFT)


def barring_signature(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings that the signature waits for."""
    return tuple(f for f in findings if f.bars is not Bars.NOTHING)


def barring_source(to: Power, findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings that keep a source from being connected."""
    bars = {Bars.POWER, Bars.BATTERY} if to in POWERED else {Bars.POWER}
    return tuple(f for f in findings if f.bars in bars) if to is not Power.COLD else ()


def connection_of(ticket: OnRecord) -> str:
    """The state, this very connection, and the look it stands under, as a form carries them."""
    if ticket.power == Power.COLD:
        return str(Power.COLD)
    return " ".join((ticket.power, _stamp(ticket.power_since), _stamp(ticket.props_seen_at)))


def same_connection(under: str, ticket: OnRecord) -> Blocked | None:
    """What changed since a form was made `under` a connection; empty where nobody says."""
    now = connection_of(ticket)
    return Blocked(_changed(under, now), AGAIN) if under and under != now else None


def same_cold(ticket: OnRecord) -> Blocked | None:
    """The same where power came since the form was made: a cold craft carries no connection that
    could be compared."""
    if ticket.power != Power.COLD:
        return None
    return Blocked("Power was connected after this was made, and taken off again.", AGAIN)


AGAIN = "Nothing is recorded. Look at the craft, then do it again."


def _changed(under: str, now: str) -> str:
    was, *before = under.split(" ")
    is_now, *here = now.split(" ")
    if was != is_now:
        return f"This was made on {was}, and the craft is on {is_now} now."
    if here[:1] == ["-"]:
        return f"It is not known any more what is connected to the craft; it was {is_now}."
    if before[:1] != here[:1]:
        return "The craft was unplugged and connected again after this was made."
    return "The propellers were looked at anew after this was made."


def _stamp(moment: datetime | None) -> str:
    return moment.isoformat() if moment else "-"


def _barred_on(now: Situation) -> Blocked | None:
    """Findings that bar what is connected: the rules may have changed under the connection."""
    barring = barring_source(now.power.state, now.findings or ())
    return _at_stop(barring, "Unplug it, then clear that on the map.") if barring else None


def _at_stop(barring: Sequence[Finding], do: str) -> Blocked:
    findings = "1 finding" if len(barring) == 1 else f"{len(barring)} findings"
    return Blocked(f"The map has {findings} at stop: {barring[0].says}", do, Opens.MAP)


def _left_to_do(in_the_way: Sequence[str]) -> Blocked | None:
    if not in_the_way:
        return None
    says = f"{len(in_the_way)} in the way of signing: {in_the_way[0]}"
    return Blocked(says, "Clear it, then sign.")


def _not_known(power: PowerNow) -> Blocked | None:
    if power.known:
        return None
    do = "Look at the craft. Unplug what is connected, then connect it again."
    return Blocked(_not_known_says(power), do, Opens.CRAFT)


def _not_known_says(power: PowerNow) -> str:
    return f"It is not known what is connected to the craft; it was {power.state}."


def _unlooked(power: PowerNow) -> Blocked | None:
    if power.state not in POWERED or power.looked:
        return None
    return Blocked(
        "Nobody has looked at the propellers for this connection, or not lately.",
        "Look at the craft and say how many propellers are on it.",
        Opens.PROPELLERS,
    )


def _propellers(count: int) -> str:
    return "propeller is" if count == 1 else "propellers are"
