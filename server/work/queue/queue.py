"""The queue: take, put back, hold, end a hold, hand on to somebody else."""

from sqlmodel import Session

from server.records.engine import writing
from server.records.tables import Staff, Ticket
from server.trade.power import Power
from server.work.bench.power import fall_to_cold
from server.work.bench.recording import recount
from server.work.errors import Locked, Missing, NotAllowed, Taken, Unfit
from server.work.permissions import may, require
from server.work.port_map.in_force import facts_in_force
from server.work.shop import Person, Shop
from server.work.ticket import shared

TAKEABLE = ("waiting", "bench", "to-sign")


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
        _on_the_bench(session, ticket)
        shared.note(session, ticket, by, at, "taken", f"Taken by {by.name}.")
        return ticket


def put_back(shop: Shop, by: Person, number: int) -> Ticket:
    """Give the ticket back to the queue; the craft is cold then."""
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if ticket.holder_id is None:
            return ticket
        _require_mine_or_lead(session, ticket, by)
        at = shop.now()
        fall_to_cold(session, ticket, by, at, "The craft went back to the queue.")
        _free(ticket)
        shared.note(session, ticket, by, at, "put back", f"Put back by {by.name}.")
        return ticket


def hold(shop: Shop, by: Person, number: int, *, reason: str) -> Ticket:
    """Stop the clock on a ticket, for a reason that the counter can tell the customer."""
    if not reason.strip():
        raise Unfit("reason", "Say what the ticket waits for.")
    require(by, "hold work")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        _require_mine_or_lead(session, ticket, by)
        if ticket.state not in TAKEABLE:
            raise Locked(f"Ticket {number:04d} cannot be held now.", "Open it to see its state.")
        at = shop.now()
        fall_to_cold(session, ticket, by, at, "The ticket was held.")
        ticket.state, ticket.hold_reason = "held", reason.strip()
        shared.note(session, ticket, by, at, "held", f"Held: {ticket.hold_reason}.")
        return ticket


def end_hold(shop: Shop, by: Person, number: int) -> Ticket:
    """Put a held ticket back where it was: on its holder's bench, or waiting.

    Whoever holds may end it, and so may the counter, who hears first that a part came.
    """
    require(by, "hold work")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if ticket.state != "held":
            return ticket
        ticket.state, ticket.hold_reason = "waiting", ""
        if ticket.holder_id:
            _on_the_bench(session, ticket)
        shared.note(session, ticket, by, shop.now(), "hold ended", f"Hold ended by {by.name}.")
        return ticket


def hand_on(shop: Shop, by: Person, number: int, *, to: int) -> Ticket:
    """Give the ticket to another technician, who finds it on their bench."""
    require(by, "work at the bench")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        _require_mine_or_lead(session, ticket, by)
        _require_unsigned(ticket)
        staff = session.get(Staff, to)
        if staff is None or not staff.active or staff.role == "counter":
            raise Missing("That person does not work at a bench.", "Choose a technician.")
        at = shop.now()
        fall_to_cold(session, ticket, by, at, "The craft was handed on.")
        ticket.holder_id, ticket.bench = staff.id, ""
        if ticket.state == "waiting":
            _on_the_bench(session, ticket)
        says = f"{by.name} handed it on to {staff.name}."
        shared.note(session, ticket, by, at, "handed on", says)
        return ticket


def _on_the_bench(session: Session, ticket: Ticket) -> None:
    """Back to the work as it stands: a card that is done only wants its signature."""
    ticket.state = "bench"
    facts = facts_in_force(session, ticket)
    if facts is not None:
        recount(session, ticket, facts)


def _require_unsigned(ticket: Ticket) -> None:
    if ticket.state == "ready":
        raise Locked(f"Ticket {ticket.number:04d} is signed.", "It waits for its customer.")


def _require_takeable(session: Session, ticket: Ticket, by: Person) -> None:
    shared.require_open(ticket)
    if ticket.holder_id not in (None, by.id):
        raise Taken(ticket.number, shared.holder_name(session, ticket))
    if ticket.state not in TAKEABLE:
        raise Locked(
            f"Ticket {ticket.number:04d} is {ticket.state}.", "Only work that is open can be taken."
        )


def _require_mine_or_lead(session: Session, ticket: Ticket, by: Person) -> None:
    shared.require_open(ticket)
    if ticket.holder_id in (None, by.id) or may(by, "move somebody's ticket"):
        return
    raise NotAllowed(
        f"Ticket {ticket.number:04d} is on {shared.holder_name(session, ticket)}’s bench.",
        "Ask them, or the lead.",
    )


def _free(ticket: Ticket) -> None:
    ticket.holder_id, ticket.bench = None, ""
    if ticket.state in ("bench", "to-sign"):
        ticket.state = "waiting"
    ticket.power = Power.COLD
