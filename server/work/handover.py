"""Giving a craft back: money taken, collected with its log, or returned as it is."""

from datetime import datetime

from sqlmodel import Session, select

from server.records.engine import writing
from server.records.tables import Payment, Ticket
from server.trade.power import Power
from server.work import tickets
from server.work.errors import Locked, Spent, Unfit
from server.work.permissions import require
from server.work.power import age_out
from server.work.shop import Person, Shop


def take_money(shop: Shop, by: Person, number: int, *, kind: str, amount_minor: int,
               act_key: str) -> Payment:  # fmt: skip
    """Write down money taken; `kind` is deposit or balance. The same key twice is one payment."""
    require(by, "take money")
    if amount_minor <= 0:
        raise Unfit("amount", "Write an amount above zero.")
    with writing(shop.engine) as session:
        ticket = tickets.locked(session, number)
        again = session.exec(select(Payment).where(Payment.act_key == act_key)).one_or_none()
        if again is None:
            return _paid(session, ticket, by, shop.now(), kind, amount_minor, act_key)
        if (again.ticket_id, again.kind, again.amount_minor) != (ticket.id, kind, amount_minor):
            raise Spent(f"{again.kind} of {again.amount_minor} minor units.")
        return again


def collect(shop: Shop, by: Person, number: int, *, collected_by: str, act_key: str,
            paid_minor: int = 0) -> Ticket:  # fmt: skip
    """Hand a signed craft over; the ticket is closed. Raises Locked unless it is ready."""
    require(by, "hand over")
    if not collected_by.strip():
        raise Unfit("collected_by", "Say who collects it.")
    with writing(shop.engine) as session:
        ticket = tickets.locked(session, number)
        if tickets.done_before(session, ticket, act_key, "collected"):
            return ticket
        if ticket.state != "ready":
            raise Locked(
                f"Ticket {number:04d} is not ready: its test log is not signed.",
                "Wait for the signature, or return the craft as it is.",
            )
        at = shop.now()
        if paid_minor:
            _paid(session, ticket, by, at, "balance", paid_minor, f"{act_key}-money")
        says = f"Handed over to {collected_by.strip()} by {by.name}."
        _close(session, ticket, by, at, "collected", collected_by, says, act_key)
        return ticket


def return_as_is(shop: Shop, by: Person, number: int, *, collected_by: str, reason: str,
                 act_key: str) -> Ticket:  # fmt: skip
    """Give a craft back without a signed log, with the reason; what is unsafe stays so."""
    require(by, "hand over")
    if not reason.strip():
        raise Unfit("reason", "Say why it goes back as it is.")
    if not collected_by.strip():
        raise Unfit("collected_by", "Say who collects it.")
    with writing(shop.engine) as session:
        ticket = tickets.locked(session, number)
        if tickets.done_before(session, ticket, act_key, "returned"):
            return ticket
        tickets.require_open(ticket)
        at = shop.now()
        age_out(session, ticket, at)
        if ticket.power != Power.COLD:
            raise Locked(f"The craft is on {ticket.power}.", "Unplug it at the bench first.")
        says = f"Returned as is to {collected_by.strip()} by {by.name}: {reason.strip()}"
        _close(session, ticket, by, at, "returned", collected_by, says, act_key)
        return ticket


def _paid(session: Session, ticket: Ticket, by: Person, at: datetime, kind: str,
          amount_minor: int, act_key: str) -> Payment:  # fmt: skip
    payment = Payment(ticket_id=ticket.id, kind=kind, amount_minor=amount_minor, at=at,
                      by_id=by.id, act_key=act_key)  # fmt: skip
    session.add(payment)
    tickets.note(session, ticket, by, at, "paid", f"{kind.capitalize()} taken by {by.name}.")
    return payment


def _close(session: Session, ticket: Ticket, by: Person, at: datetime, state: str,
           collected_by: str, says: str, act_key: str) -> None:  # fmt: skip
    ticket.state, ticket.holder_id, ticket.bench = state, None, ""
    ticket.collected_at, ticket.collected_by = at, collected_by.strip()
    tickets.note(session, ticket, by, at, state, says, act_key=act_key)
