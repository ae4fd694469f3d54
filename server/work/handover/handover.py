"""Giving a craft back: money taken, collected with its log, or returned unrepaired."""

from dataclasses import dataclass, replace
from datetime import datetime

from sqlmodel import Session, select

from server.drawing import hand
from server.records import people
from server.records.engine import writing
from server.records.tables import Payment, Receipt, Ticket
from server.records.tables.leaving import SHOWN
from server.trade.events import Event
from server.trade.gate import connected
from server.trade.ticket import TicketAct
from server.work.bench.power import age_out
from server.work.bench.situation import obey
from server.work.errors import Missing, Spent, Unfit
from server.work.money import money
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket import shared
from server.work.ticket.account import Account, account_of


def take_money(
    shop: Shop, by: Person, number: int, *, kind: str, amount_minor: int, act_key: str
) -> Payment:
    """Write down money taken; `kind` is deposit or balance. The same key twice is one payment."""
    require(by, "take money")
    if amount_minor <= 0:
        raise Unfit("amount", "Write an amount above zero.")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        again = session.exec(select(Payment).where(Payment.act_key == act_key)).one_or_none()
        if again is None:
            return _paid(session, ticket, by, shop.now(), kind, amount_minor, act_key)
        if (again.ticket_id, again.kind, again.amount_minor) != (ticket.id, kind, amount_minor):
            raise Spent(f"{again.kind} of {again.amount_minor} minor units.")
        return again


@dataclass(frozen=True)
class HandedTo:
    """Who takes the craft home, and how the shop knows that they may.

    `shown` is 'slip' (they have the claim slip), 'known' (it is the customer, known by sight) or
    'word' (the customer told us). `signature` are strokes as drawing.hand reads them; empty: they
    sign the printed sheet. `owed_note` says why a balance is left open.
    """

    name: str
    shown: str
    signature: str = ""
    kept_back: str = ""
    owed_note: str = ""
    paid_minor: int = 0


def collect(shop: Shop, by: Person, number: int, *, to: HandedTo, act_key: str) -> Ticket:
    """Hand a signed craft over; the ticket is closed.

    Raises Locked unless it is ready, Unfit for somebody who may not collect it, for a signature
    that is none, and for a balance that is neither settled nor noted.
    """
    require(by, "hand over")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if shared.done_before(session, ticket, act_key, Event.COLLECTED):
            return ticket
        shared.require_possible(ticket, TicketAct.COLLECT)
        _give(session, shop, ticket, by, TicketAct.COLLECT, Event.COLLECTED, to, act_key)
        return ticket


def return_as_is(
    shop: Shop, by: Person, number: int, *, to: HandedTo, reason: str, act_key: str
) -> Ticket:
    """Give a craft back without a signed log, with the reason; what is unsafe stays so.

    Raises as `collect` does, and Locked while anything is connected to the craft.
    """
    require(by, "hand over")
    if not reason.strip():
        raise Unfit("reason", "Say why it is returned unrepaired.")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if shared.done_before(session, ticket, act_key, Event.RETURNED):
            return ticket
        shared.require_open(ticket)
        obey(connected(age_out(shop, session, ticket, shop.now()), "Unplug it at the bench first."))
        why = reason.strip()
        _give(session, shop, ticket, by, TicketAct.RETURN, Event.RETURNED, to, act_key, reason=why)
        return ticket


def _give(
    session: Session,
    shop: Shop,
    ticket: Ticket,
    by: Person,
    act: TicketAct,
    event: Event,
    to: HandedTo,
    act_key: str,
    **told: str,
) -> None:
    profile = people.shop(session.connection())
    if profile is None:
        raise Missing("The shop is not set up.")
    account = account_of(session.connection(), ticket.number, profile)
    at, to = shop.now(), replace(to, name=to.name.strip())
    drawn = _signed(to.signature)
    _require_may_collect(account, to)
    _require_settled(account, to, profile.country)
    if to.paid_minor:
        _paid(session, ticket, by, at, "balance", to.paid_minor, f"{act_key}-money")
    session.add(
        Receipt(
            ticket_id=ticket.id,
            shown=to.shown,
            signed="tablet" if drawn else "paper",
            signature=hand.told(drawn),
            kept_back=to.kept_back.strip(),
            owed_note=to.owed_note.strip(),
            at=at,
            by_id=by.id,
        )
    )
    shared.move(ticket, act)
    ticket.holder_id, ticket.bench = None, ""
    ticket.collected_at, ticket.collected_by = at, to.name
    shared.note(session, ticket, by, at, event, act_key=act_key, to=to.name, **told)


def _signed(signature: str) -> tuple[hand.Stroke, ...]:
    try:
        drawn = hand.strokes(signature)
    except ValueError as wrong:
        raise Unfit("signature", str(wrong), "Clear it and sign again.") from wrong
    if drawn and hand.length(drawn) < hand.LEAST_LENGTH:
        raise Unfit("signature", "This is a slip of the finger, no signature.", "Sign again.")
    return drawn


def _require_may_collect(account: Account, to: HandedTo) -> None:
    """The claim slip, the customer themselves, or the customer's word. Raises Unfit."""
    if not to.name:
        raise Unfit("collected_by", "Say who collects it.")
    if to.shown not in SHOWN:
        raise Unfit("shown", "Say how you know that they may.")
    if to.shown == "known" and to.name.casefold() != account.head.customer.casefold():
        raise Unfit(
            "shown",
            f"{to.name} is not the customer, {account.head.customer}.",
            "Ask for the claim slip, or ring the customer.",
        )


def _require_settled(account: Account, to: HandedTo, country: str) -> None:
    """Nothing is owed either way after this, or it is noted why. Raises Unfit."""
    owed = account.bill.owed_minor - to.paid_minor
    if owed and not to.owed_note.strip():
        left = money(abs(owed), account.bill.currency, country)
        says = f"{left} {'is still to pay' if owed > 0 else 'is to give back'}."
        raise Unfit("owed_note", says, "Settle it now, or write why it is left open.")


def _paid(
    session: Session,
    ticket: Ticket,
    by: Person,
    at: datetime,
    kind: str,
    amount_minor: int,
    act_key: str,
) -> Payment:
    payment = Payment(
        ticket_id=ticket.id,
        kind=kind,
        amount_minor=amount_minor,
        at=at,
        by_id=by.id,
        act_key=act_key,
    )
    session.add(payment)
    shared.note(session, ticket, by, at, Event.PAID, kind=kind.capitalize())
    return payment
