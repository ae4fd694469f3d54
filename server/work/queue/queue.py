"""The queue: take, put back, hold, end a hold, pass on to somebody else, cancel."""

from sqlmodel import Session, select

from server.records.engine import writing
from server.records.tables import Payment, Staff, Ticket
from server.trade.events import Event
from server.trade.power import Power
from server.trade.roles import Role
from server.trade.ticket import State, TicketAct, allowed
from server.work.bench.power import fall_to_cold
from server.work.bench.recording import recount
from server.work.errors import Locked, Missing, NotAllowed, Taken, Unfit
from server.work.permissions import may, require
from server.work.port_map.in_force import facts_in_force
from server.work.shop import Person, Shop
from server.work.ticket import shared


def take(shop: Shop, by: Person, number: int) -> Ticket:
    """Put a free ticket on `by`'s bench. Taking one's own again only moves it to this bench.

    Raises Missing, NotAllowed, Taken, Locked.
    """
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        _require_takeable(session, ticket, by)
        if ticket.holder_id == by.id and ticket.bench == by.bench:
            return ticket
        at = shop.now()
        # Another bench is another connection: the look at the propellers does not travel.
        fall_to_cold(session, ticket, by, at, "The craft came to another bench.")
        ticket.holder_id, ticket.bench = by.id, by.bench
        _on_the_bench(session, ticket, TicketAct.TAKE)
        shared.note(session, ticket, by, at, Event.TAKEN)
        return ticket


def put_back(shop: Shop, by: Person, number: int) -> Ticket:
    """Give the ticket back to the queue; the craft is cold then."""
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if ticket.holder_id is None:
            return ticket
        _require_mine_or_supervisor(session, ticket, by)
        at = shop.now()
        fall_to_cold(session, ticket, by, at, "The craft went back to the queue.")
        _free(ticket)
        shared.note(session, ticket, by, at, Event.PUT_BACK)
        return ticket


def hold(shop: Shop, by: Person, number: int, *, reason: str) -> Ticket:
    """Stop the clock on a ticket, for a reason that the counter can tell the customer."""
    if not reason.strip():
        raise Unfit("reason", "Say what the ticket waits for.")
    require(by, "hold work")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        _require_mine_or_supervisor(session, ticket, by)
        shared.require_possible(ticket, TicketAct.HOLD)
        at = shop.now()
        fall_to_cold(session, ticket, by, at, "The ticket was put on hold.")
        ticket.hold_reason = reason.strip()
        shared.move(ticket, TicketAct.HOLD)
        shared.note(session, ticket, by, at, Event.HELD, reason=ticket.hold_reason)
        return ticket


def end_hold(shop: Shop, by: Person, number: int) -> Ticket:
    """Put a ticket on hold back where it was: on its holder's bench, or waiting.

    Whoever holds may end it, and so may the counter, who hears first that a part came.
    """
    require(by, "hold work")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if not allowed(TicketAct.END_HOLD, ticket.state):
            return ticket
        shared.move(ticket, TicketAct.END_HOLD)
        ticket.hold_reason = ""
        if ticket.holder_id:
            _on_the_bench(session, ticket, TicketAct.TAKE)
        shared.note(session, ticket, by, shop.now(), Event.HOLD_ENDED)
        return ticket


def hand_on(shop: Shop, by: Person, number: int, *, to: int) -> Ticket:
    """Give the ticket to another technician, who finds it on their bench."""
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        _require_mine_or_supervisor(session, ticket, by)
        shared.require_possible(ticket, TicketAct.PASS_ON)
        staff = session.get(Staff, to)
        if staff is None or not staff.active or staff.role == Role.COUNTER:
            raise Missing("That person does not work at a bench.", "Choose a technician.")
        at = shop.now()
        fall_to_cold(session, ticket, by, at, "The craft was passed on.")
        ticket.holder_id, ticket.bench = staff.id, ""
        _on_the_bench(session, ticket, TicketAct.PASS_ON)
        shared.note(session, ticket, by, at, Event.PASSED_ON, to=staff.name)
        return ticket


def cancel(shop: Shop, by: Person, number: int, *, reason: str) -> Ticket:
    """Close a ticket on which nobody works, because nothing is to be done on it.

    Twice is once. Raises Unfit without a reason, and Locked where somebody has the ticket,
    something is connected or money was taken: that craft goes back by way of the counter.
    """
    require(by, "cancel a ticket")
    if not reason.strip():
        raise Unfit("reason", "Say why it is cancelled.")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if ticket.state == State.CANCELLED:
            return ticket
        shared.require_possible(ticket, TicketAct.CANCEL)
        _require_untouched(session, ticket)
        ticket.hold_reason = ""
        shared.move(ticket, TicketAct.CANCEL)
        shared.note(session, ticket, by, shop.now(), Event.CANCELLED, reason=reason.strip())
        return ticket


def _require_untouched(session: Session, ticket: Ticket) -> None:
    if ticket.holder_id is not None:
        name = shared.holder_name(session, ticket)
        raise Locked(f"Ticket {ticket.number:04d} is on {name}’s bench.", "Put it back first.")
    if ticket.power != Power.COLD:
        raise Locked(f"The craft is on {ticket.power}.", "Unplug it at the bench first.")
    if session.exec(select(Payment.id).where(Payment.ticket_id == ticket.id)).first() is not None:
        raise Locked(
            f"Money was taken for ticket {ticket.number:04d}.",
            "Return the quad unrepaired, and settle the money there.",
        )


def _on_the_bench(session: Session, ticket: Ticket, act: TicketAct) -> None:
    """Back to the work as it stands: a card that is done only wants its signature."""
    shared.move(ticket, act)
    facts = facts_in_force(session, ticket)
    if facts is not None:
        recount(session, ticket, facts)


def _require_takeable(session: Session, ticket: Ticket, by: Person) -> None:
    shared.require_open(ticket)
    if ticket.holder_id not in (None, by.id):
        raise Taken(ticket.number, shared.holder_name(session, ticket))
    shared.require_possible(ticket, TicketAct.TAKE)


def _require_mine_or_supervisor(session: Session, ticket: Ticket, by: Person) -> None:
    shared.require_open(ticket)
    if ticket.holder_id in (None, by.id) or may(by, "move somebody's ticket"):
        return
    raise NotAllowed(
        f"Ticket {ticket.number:04d} is on {shared.holder_name(session, ticket)}’s bench.",
        "Ask them, or the supervisor.",
    )


def _free(ticket: Ticket) -> None:
    shared.move(ticket, TicketAct.PUT_BACK)
    ticket.holder_id, ticket.bench = None, ""
    ticket.power = Power.COLD
