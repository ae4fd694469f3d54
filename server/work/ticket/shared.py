"""Helpers that the acts on a ticket share. They take the session; acts never call acts."""

from datetime import datetime

from sqlalchemy import bindparam
from sqlmodel import Session, select

from server.records.tables import Staff, Ticket, TicketEvent
from server.records.tickets import TicketHead
from server.trade.events import Event, sentence
from server.trade.ticket import CLOSED, NotNow, TicketAct, after
from server.work.errors import Locked, Missing, Spent
from server.work.shop import Person

# Made once: to build a select costs as much as to run it, and every act runs these.
_LOCKED = select(Ticket).where(Ticket.number == bindparam("number")).with_for_update()
_DONE = select(TicketEvent).where(TicketEvent.act_key == bindparam("act_key"))


def locked(session: Session, number: int) -> Ticket:
    """The ticket, locked until the act ends. Raises Missing."""
    ticket = session.exec(_LOCKED, params={"number": number}).one_or_none()
    if ticket is None:
        raise Missing(f"There is no ticket {number:04d}.", "Look in the queue, or search the name.")
    return ticket


def holder_name(session: Session, ticket: Ticket) -> str:
    """Who has the ticket; empty when nobody has."""
    staff = session.get(Staff, ticket.holder_id) if ticket.holder_id else None
    return staff.name if staff else ""


def require_open(ticket: Ticket | TicketHead) -> None:
    """Raise Locked for a ticket that has left the shop."""
    if ticket.state in CLOSED:
        raise Locked(
            f"Ticket {ticket.number:04d} is closed.", "Book the craft in again for new work."
        )


def move(ticket: Ticket, act: TicketAct) -> None:
    """Bring the ticket into the state after `act`. Raises Locked where it is not possible now."""
    require_possible(ticket, act)
    ticket.state = after(act, ticket.state)


def require_possible(ticket: Ticket | TicketHead, act: TicketAct) -> None:
    """Raise Locked, with what is possible, where the act is not in the ticket's state."""
    try:
        after(act, ticket.state)
    except NotNow as no:
        raise Locked(f"Ticket {ticket.number:04d} {no.says}", no.do) from no


def done_before(
    session: Session, ticket: Ticket, act_key: str | None, *kinds: Event
) -> TicketEvent | None:
    """The event that this very form made when it was sent before, of one of these kinds.

    Raises Spent where the key stands for another act.
    """
    if not act_key:
        return None
    event = session.exec(_DONE, params={"act_key": act_key}).one_or_none()
    if event is not None and (event.ticket_id != ticket.id or event.kind not in kinds):
        raise Spent(event.says)
    return event


def note(
    session: Session,
    ticket: Ticket,
    by: Person | None,
    at: datetime,
    event: Event,
    *,
    act_key: str | None = None,
    **told: object,
) -> TicketEvent:
    """Write what happened into the ticket's history, with the power state it happened in.

    `told` are the words that the event's sentence asks for, the name of `by` aside.
    """
    line = TicketEvent(
        ticket_id=ticket.id,
        at=at,
        by_id=by.id if by else None,
        kind=event,
        says=sentence(event, **({"by": by.name} if by else {}), **told),
        power=ticket.power,
        act_key=act_key,
    )
    session.add(line)
    ticket.changed_at = at
    session.flush()
    return line
