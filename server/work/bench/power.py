"""Power on the bench: no battery before somebody saw, for this very connection, no propeller."""

from collections.abc import Set
from datetime import datetime, timedelta

from sqlmodel import Session, select

from server.records import people
from server.records.engine import writing
from server.records.tables import Ticket, TicketEvent
from server.trade.events import Event
from server.trade.power import (
    CONNECTED,
    MOVES,
    POWERED,
    Act,
    Power,
    WrongMove,
    before_its_time,
    current_first,
    move,
    states_now,
)
from server.trade.ticket import ON_A_BENCH
from server.work.bench import not_known
from server.work.bench.soldered import entries_now
from server.work.bench.step_status import first_power, standings
from server.work.errors import Locked, Spent, Stale
from server.work.permissions import require
from server.work.port_map.facts import Facts
from server.work.port_map.in_force import facts_in_force
from server.work.shop import Person, Shop
from server.work.ticket import shared


def change(
    shop: Shop,
    by: Person,
    number: int,
    *,
    act: Act,
    propellers: int | None = None,
    act_key: str | None = None,
) -> Ticket:
    """Plug or unplug. A battery wants the number of propellers seen on the craft just now.

    Raises Locked when a safeguard stands in the way; an answer other than 0 is written into the
    history all the same.
    """
    require(by, "work at the bench")
    not_known.end_after_a_leap(shop)
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if _done_before(session, ticket, act, act_key):
            return ticket
        _require_on_a_bench(ticket, act)
        at = shop.now()
        age_out(shop, session, ticket, at)
        to = _moved(ticket, act)
        refusal = _refusal(session, ticket, to, propellers)
        if refusal is None:
            _connect(session, ticket, by, at, to, propellers, act_key)
        else:
            _note_refusal(session, ticket, by, at, to, propellers, act_key)
    if refusal is not None:
        raise refusal
    return ticket


def look_again(
    shop: Shop, by: Person, number: int, *, propellers: int, act_key: str | None = None
) -> Ticket:
    """Answer the propeller question anew for the battery that is connected.

    Raises Locked where propellers are on, which ends the connection, and Stale where there is none.
    """
    require(by, "work at the bench")
    not_known.end_after_a_leap(shop)
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if shared.done_before(session, ticket, act_key, Event.PROPS):
            return ticket
        at = shop.now()
        age_out(shop, session, ticket, at)
        refusal = _still_on(propellers) or _no_battery(ticket)
        if refusal is None:
            _seen(session, ticket, by, at, propellers, act_key)
        elif propellers:
            fall_to_cold(session, ticket, by, at, "Propellers are on the craft.")
            _note_refusal(session, ticket, by, at, Power(ticket.power), propellers, act_key)
    if refusal is not None:
        raise refusal
    return ticket


def fall_to_cold(
    session: Session, ticket: Ticket, by: Person | None, at: datetime, why: str
) -> None:
    """End the connection on the record, and with it the look at the propellers."""
    if ticket.power != Power.COLD:
        before, ticket.power = ticket.power, str(Power.COLD)
        told = {"before": before, "to": Power.COLD, "why": why}
        shared.note(session, ticket, by, at, Event.POWER, **told)
    ticket.power_since = ticket.props_seen_at = None
    ticket.power_by_id = ticket.props_seen_by_id = None


def age_out(shop: Shop, session: Session, ticket: Ticket, at: datetime) -> None:
    """Let a state that is older than the shop allows fall back to cold.

    Where the clock was moved no age holds, and the state is not known.
    """
    if shop.watch.leapt:
        not_known.forget(session, ticket, at, not_known.LEAPT)
    elif not not_known.is_known(ticket, at):
        not_known.forget(session, ticket, at, not_known.PUT_BACK)
    minutes = people.minutes(session.connection()).power
    if ticket.power_since and at - ticket.power_since > timedelta(minutes=minutes):
        fall_to_cold(session, ticket, None, at, f"Nobody changed it for {minutes} min.")


def look_holds(seen_at: datetime | None, minutes: int, at: datetime) -> bool:
    """Whether a look at the propellers is young enough to allow a powered act."""
    if seen_at is None or before_its_time(at, seen_at):
        return False
    return at - seen_at <= timedelta(minutes=minutes)


def barred(to: Power, facts: Facts | None, first_power_passed: bool) -> Locked | None:
    """What keeps this source from being connected, propellers aside; None when nothing does."""
    if to not in POWERED:
        return None
    if facts is None:
        return Locked("There is no port map yet.", "Enter and save the map first.")
    if facts.stops:
        count = len(facts.stops)
        findings = "1 finding" if count == 1 else f"{count} findings"
        return Locked(
            f"The map has {findings} at stop: {facts.stops[0].says}",
            "Clear it on the map; no battery is connected before.",
        )
    if to is Power.BATTERY and not first_power_passed:
        return Locked(
            "The first power through the current limiter has not passed.",
            "Do that step first, on limited.",
        )
    return None


def require_state(
    session: Session, ticket: Ticket, states: Set[Power], named: str, at: datetime, first: str = ""
) -> int | None:
    """The look at the propellers that allows what `named` is, done in one of these states.

    `first` is the first-power step that comes before it on a battery, as in `trade.power`. None
    without a battery. Raises Locked in another state, before first power, without a live look.
    """
    not_known.require_known(ticket, at)
    power = Power(ticket.power)
    blocked = current_first(states, power, first)
    if blocked is not None:
        raise Locked(blocked.says, blocked.do)
    if power not in states:
        open_now = states_now(states, first)
        wanted = " or ".join(f"{s} ({CONNECTED[s]})" for s in Power if s in open_now)
        raise Locked(f"{named} is not done on {power}.", f"Change the power to {wanted}.")
    return require_live_look(session, ticket, at)


def first_power_due(session: Session, ticket: Ticket) -> str:
    """The number of the first-power step while it is still to be passed; empty without a map."""
    facts = facts_in_force(session, ticket)
    if facts is None:
        return ""
    connection = session.connection()
    steps = standings(facts.card, entries_now(connection, ticket.id, facts.card, ticket.revision))
    due = first_power(steps)
    return due.step.number if due else ""


def require_live_look(session: Session, ticket: Ticket, at: datetime) -> int | None:
    """The event of the look at the propellers that allows a powered act; None without a battery.

    Raises Locked where there is none for this connection, or where it is too old.
    """
    if Power(ticket.power) not in POWERED:
        return None
    minutes = people.minutes(session.connection()).props
    if not look_holds(ticket.props_seen_at, minutes, at):
        raise Locked(
            "Nobody has looked at the propellers for this connection, or not lately.",
            "Look at the craft and say how many propellers are on it.",
        )
    return session.exec(
        select(TicketEvent.id)
        .where(TicketEvent.ticket_id == ticket.id, TicketEvent.kind == Event.PROPS)
        .order_by(TicketEvent.id.desc())  # type: ignore[attr-defined]  # a column, not an int
        .limit(1)
    ).one()


def _done_before(session: Session, ticket: Ticket, act: Act, act_key: str | None) -> bool:
    kind = Event.UNPLUGGED if act is Act.UNPLUG else Event.POWER
    event = shared.done_before(session, ticket, act_key, kind)
    if event is not None and kind is Event.POWER and event.power != MOVES[Power.COLD][act]:
        raise Spent(event.says)
    return event is not None


def _require_on_a_bench(ticket: Ticket, act: Act) -> None:
    """A craft that nobody works on is not connected to anything; unplugged it always may be."""
    shared.require_open(ticket)
    if act is not Act.UNPLUG and ticket.state not in ON_A_BENCH:
        raise Locked(
            f"Ticket {ticket.number:04d} is not on a bench.", "Take it first, then connect."
        )


def _moved(ticket: Ticket, act: Act) -> Power:
    try:
        return move(Power(ticket.power), act)
    except WrongMove as wrong:
        if act is Act.UNPLUG or MOVES[Power(ticket.power)].get(Act.UNPLUG) is None:
            raise Stale(f"The craft is {ticket.power} already.", "Look at the strip.") from wrong
        raise Locked(
            f"The craft is on {ticket.power}.", "Unplug that first, then connect the other."
        ) from wrong


def _refusal(session: Session, ticket: Ticket, to: Power, propellers: int | None) -> Locked | None:
    if to not in POWERED:
        return None
    facts = facts_in_force(session, ticket)
    return barred(to, facts, not first_power_due(session, ticket)) or _propellers_refusal(
        propellers
    )


def _propellers_refusal(propellers: int | None) -> Locked | None:
    if propellers is None:
        return Locked(
            "Nobody has looked at the propellers for this connection.",
            "Look at the craft and say how many propellers are on it.",
        )
    if propellers != 0:
        are = "propeller is" if propellers == 1 else "propellers are"
        return Locked(
            f"{propellers} {are} on the craft. No battery is connected.",
            "Take all four off, put them away, and look again.",
        )
    return None


def _still_on(propellers: int) -> Locked | None:
    """The answer at a connected battery: here the battery has to come off first."""
    if propellers == 0:
        return None
    are = "propeller is" if propellers == 1 else "propellers are"
    return Locked(
        f"{propellers} {are} on the craft, and a battery is connected.",
        "Unplug the battery now. Take all four off, put them away, then connect again.",
    )


def _no_battery(ticket: Ticket) -> Stale | None:
    if Power(ticket.power) in POWERED:
        return None
    return Stale(f"No battery is connected: the craft is {ticket.power}.", "Look at the strip.")


def _connect(
    session: Session,
    ticket: Ticket,
    by: Person,
    at: datetime,
    to: Power,
    propellers: int | None,
    act_key: str | None,
) -> None:
    if to is Power.COLD:
        fall_to_cold(session, ticket, by, at, f"Unplugged by {by.name}.")
        if act_key:
            shared.note(session, ticket, by, at, Event.UNPLUGGED, act_key=act_key)
        return
    before, ticket.power = ticket.power, str(to)
    ticket.power_since, ticket.power_by_id = at, by.id
    ticket.props_seen_at = ticket.props_seen_by_id = None
    why = f"{CONNECTED[to][0].upper()}{CONNECTED[to][1:]}."
    told = {"before": before, "to": to, "why": why}
    shared.note(session, ticket, by, at, Event.POWER, act_key=act_key, **told)
    if propellers is not None:
        _seen(session, ticket, by, at, propellers, None)


def _seen(
    session: Session, ticket: Ticket, by: Person, at: datetime, propellers: int, act_key: str | None
) -> None:
    ticket.props_seen_at, ticket.props_seen_by_id = at, by.id
    if ticket.power_since is None:  # not known till now: who looks sees the battery too
        ticket.power_since, ticket.power_by_id = at, by.id
    shared.note(session, ticket, by, at, Event.PROPS, act_key=act_key, count=propellers)


def _note_refusal(
    session: Session,
    ticket: Ticket,
    by: Person,
    at: datetime,
    to: Power,
    propellers: int | None,
    act_key: str | None,
) -> None:
    # The key stays free for the act itself: a refused form that is sent again with another answer
    # is asked anew. The same refusal sent twice by a bad network is still one line.
    refused = f"{act_key}:refused" if act_key else None
    if shared.done_before(session, ticket, refused, Event.POWER_REFUSED):
        return
    seen = "not looked at" if propellers is None else f"{propellers} propellers on the craft"
    told = {"to": str(to).capitalize(), "seen": seen}
    shared.note(session, ticket, by, at, Event.POWER_REFUSED, act_key=refused, **told)
