"""Power on the bench: no battery before somebody saw, for this very connection, no propeller."""

from datetime import datetime

from sqlmodel import Session, select

from server.records.engine import writing
from server.records.tables import Ticket, TicketEvent
from server.trade.events import Event
from server.trade.gate import (
    Blocked,
    PowerNow,
    Situation,
    may_connect,
    may_work,
    power_now,
    propellers_on,
    propellers_still_on,
)
from server.trade.power import CONNECTED, MOVES, POWERED, Act, Power, WrongMove, move
from server.work.bench import not_known
from server.work.bench.situation import limits_of, obey, situation
from server.work.bench.soldered import entries_now
from server.work.bench.step_status import standings
from server.work.errors import Locked, Spent, Stale
from server.work.permissions import require
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
        _require_workable(ticket, act)
        at = shop.now()
        power = age_out(shop, session, ticket, at)
        to = _moved(ticket, act)
        blocked = _blocked(session, ticket, power, to, propellers)
        if blocked is None:
            _connect(session, ticket, by, at, to, propellers, act_key)
        else:
            _note_refusal(session, ticket, by, at, to, propellers, act_key)
    obey(blocked)
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
        blocked = propellers_still_on(propellers)
        if blocked is not None:
            fall_to_cold(session, ticket, by, at, "Propellers are on the craft.")
            _note_refusal(session, ticket, by, at, Power(ticket.power), propellers, act_key)
        else:
            _require_battery(ticket)
            _seen(session, ticket, by, at, propellers, act_key)
    obey(blocked)
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


def age_out(shop: Shop, session: Session, ticket: Ticket, at: datetime) -> PowerNow:
    """The power as it holds now. On the record, a state that is older than the shop allows falls
    back to cold, and one that no age holds of is not known any more."""
    leapt = shop.watch.leapt
    limits = limits_of(session.connection())
    now = power_now(ticket, limits, at, leapt=leapt)
    if not now.known:
        not_known.forget(session, ticket, at, not_known.LEAPT if leapt else not_known.PUT_BACK)
    elif now.lapsed:
        fall_to_cold(session, ticket, None, at, f"Nobody changed it for {limits.power} min.")
    return now


def look_event(session: Session, ticket: Ticket) -> int | None:
    """The look at the propellers that a powered act stands under; None without a battery."""
    if Power(ticket.power) not in POWERED:
        return None
    return session.exec(
        select(TicketEvent.id)
        .where(TicketEvent.ticket_id == ticket.id, TicketEvent.kind == Event.PROPS)
        .order_by(TicketEvent.id.desc())  # type: ignore[attr-defined]  # a column, not an int
        .limit(1)
    ).one()


def situation_of(session: Session, ticket: Ticket, power: PowerNow) -> Situation:
    """What the gate knows of a ticket, its map and its card looked up."""
    facts = facts_in_force(session, ticket)
    if facts is None:
        return situation(ticket, power, None, ())
    connection = session.connection()
    entries = entries_now(connection, ticket.id, facts.card, ticket.revision)
    return situation(ticket, power, facts, standings(facts.card, entries))


def _done_before(session: Session, ticket: Ticket, act: Act, act_key: str | None) -> bool:
    kind = Event.UNPLUGGED if act is Act.UNPLUG else Event.POWER
    event = shared.done_before(session, ticket, act_key, kind)
    if event is not None and kind is Event.POWER and event.power != MOVES[Power.COLD][act]:
        raise Spent(event.says)
    return event is not None


def _moved(ticket: Ticket, act: Act) -> Power:
    try:
        return move(Power(ticket.power), act)
    except WrongMove as wrong:
        if act is Act.UNPLUG or MOVES[Power(ticket.power)].get(Act.UNPLUG) is None:
            raise Stale(f"The craft is {ticket.power} already.", "Look at the strip.") from wrong
        raise Locked(
            f"The craft is on {ticket.power}.", "Unplug that first, then connect the other."
        ) from wrong


def _require_workable(ticket: Ticket, act: Act) -> None:
    """A craft that nobody works on is not connected to anything; unplugged it always may be."""
    shared.require_open(ticket)
    if act is not Act.UNPLUG:
        obey(may_work(ticket))


def _blocked(
    session: Session, ticket: Ticket, power: PowerNow, to: Power, propellers: int | None
) -> Blocked | None:
    if to is Power.COLD:
        return None
    blocked = may_connect(to, situation_of(session, ticket, power))
    return blocked or (propellers_on(propellers) if to in POWERED else None)


def _require_battery(ticket: Ticket) -> None:
    if Power(ticket.power) not in POWERED:
        raise Stale(f"No battery is connected: the craft is {ticket.power}.", "Look at the strip.")


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
