"""Estimate and bill: lines reckoned at the shop's rate, and the customer's yes to them."""

import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from pydantic import BaseModel
from sqlalchemy import Connection
from sqlmodel import Session, select

from server.records import counter as kept
from server.records.counter import AgreementRow, EstimateRow
from server.records.engine import writing
from server.records.people import ShopRow
from server.records.tables import Agreement, Estimate, EstimateLine, Profile, Ticket
from server.trade.bill import Bill, bill
from server.trade.choices import HOW_AGREED, TOLD_THE_SHOP, HowAgreed
from server.trade.events import Event
from server.work.errors import Missing, Stale, Unfit
from server.work.money import money
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket import shared

CHANGED = "The estimate was changed meanwhile."


class EstimateItem(BaseModel):
    """One line of an estimate; the price of one in minor units."""

    says: str
    quantity: int
    unit_minor: int
    kind: str = "labour"


@dataclass(frozen=True)
class ApprovalStatus:
    """Whether the customer agreed to the estimate as it is now.

    `agreed` is their yes to these very lines; `lapsed` the last one to others.
    """

    basis: str
    agreed: AgreementRow | None = None
    lapsed: AgreementRow | None = None


def basis_of(what: Bill) -> str:
    """The digest of what a customer agrees to: lines in their order, tax, total and currency."""
    told = [[ln.kind, ln.says, ln.quantity, ln.unit_minor] for ln in what.lines]
    whole = [told, what.tax_bp, what.total_minor, what.currency]
    return hashlib.sha256(json.dumps(whole).encode()).hexdigest()


def standing_of(what: Bill, said: Sequence[AgreementRow]) -> ApprovalStatus:
    """Where an estimate stands, with all that was said to it, oldest first."""
    basis = basis_of(what)
    last = said[-1] if said else None
    holds = last is not None and last.basis == basis
    return ApprovalStatus(basis, last if holds else None, None if holds else last)


def bill_of(connection: Connection, ticket_id: int, profile: ShopRow) -> Bill:
    """A ticket's bill. One without an estimate is reckoned by the shop's settings."""
    by = kept.estimate(connection, ticket_id) or EstimateRow(
        profile.currency, profile.tax_bp, profile.rounding
    )
    paid = kept.payments(connection, ticket_id)
    return bill(
        kept.lines(connection, ticket_id),
        by.tax_bp,
        sum(p.amount_minor for p in paid),
        rounding=by.rounding,
        currency=by.currency,
        deposit_minor=sum(p.amount_minor for p in paid if p.kind == "deposit"),
    )


def write_lines(
    shop: Shop, by: Person, number: int, *, lines: Sequence[EstimateItem], basis: str
) -> Ticket:
    """Put these lines in the place of those with the digest `basis`, at the shop's rate of today.

    Other lines than before are to be agreed to anew. Raises Stale where `basis` is another.
    """
    require(by, "write an estimate")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        shared.require_open(ticket)
        before = _bill(session, ticket)
        if basis_of(before) != basis:
            raise Stale(CHANGED, "Look at the lines as they are now, and change those.")
        after = put_lines(session, ticket, lines, shop.now())
        if basis_of(after) != basis:
            told = {"now": _said(session, after), "before": _said(session, before)}
            shared.note(session, ticket, by, shop.now(), Event.ESTIMATE, **told)
        return ticket


def put_lines(
    session: Session, ticket: Ticket, lines: Sequence[EstimateItem], at: datetime
) -> Bill:
    """Write the lines into the ticket, with what they are reckoned with. For acts."""
    profile = session.exec(select(Profile)).one()
    found = session.get(Estimate, ticket.id)
    if found is None:
        found = Estimate(
            ticket_id=ticket.id,
            currency=profile.currency,
            tax_bp=0,
            rounding=profile.rounding,
            changed_at=at,
        )
    found.tax_bp, found.rounding, found.changed_at = profile.tax_bp, profile.rounding, at
    session.add(found)
    for old in session.exec(select(EstimateLine).where(EstimateLine.ticket_id == ticket.id)):
        session.delete(old)
    session.flush()
    session.add_all(
        EstimateLine(ticket_id=ticket.id, position=i, **line.model_dump())
        for i, line in enumerate(lines)
    )
    session.flush()
    return _bill(session, ticket)


def agree(
    shop: Shop,
    by: Person,
    number: int,
    *,
    basis: str,
    how: str,
    who: str,
    up_to_minor: int,
    act_key: str,
) -> Ticket:
    """Write down that `who` agreed to the lines with the digest `basis`, up to an amount.

    Raises Stale where the lines are others, Unfit for an amount below their total.
    """
    require(by, "write an estimate")
    if how not in TOLD_THE_SHOP:
        raise Unfit("how", "Say how they agreed.")
    if not who.strip():
        raise Unfit("who", "Say who agreed.")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        shared.require_open(ticket)
        what = _same(session, ticket, basis)
        if up_to_minor < what.total_minor:
            raise Unfit("up_to", f"That is less than the {_said(session, what)} of the estimate.")
        put_agreement(
            session,
            shop,
            ticket,
            what,
            by=by,
            how=how,
            who=who.strip(),
            up_to_minor=up_to_minor,
            act_key=act_key,
        )
        return ticket


def agree_on_their_page(shop: Shop, code: str, *, basis: str, act_key: str) -> Ticket:
    """The customer's own yes, by the code of their slip. Raises Missing, Locked, Stale."""
    with writing(shop.engine) as session:
        ticket = session.exec(
            select(Ticket).where(Ticket.status_code == code).with_for_update()
        ).one_or_none()
        if ticket is None or ticket.status_withdrawn_at is not None:
            raise Missing("No ticket has this address.", "Look at the claim slip, or ring us.")
        shared.require_open(ticket)
        what = _same(session, ticket, basis)
        if not what.lines:
            raise Stale(CHANGED, "There is nothing to agree to now.")
        put_agreement(
            session,
            shop,
            ticket,
            what,
            by=None,
            how=HowAgreed.STATUS_PAGE,
            who="the customer",
            up_to_minor=what.total_minor,
            act_key=act_key,
        )
        return ticket


def put_agreement(
    session: Session,
    shop: Shop,
    ticket: Ticket,
    what: Bill,
    *,
    by: Person | None,
    how: str,
    who: str,
    up_to_minor: int,
    act_key: str,
) -> None:
    """Add a yes to what the ticket's lines are now; said twice it is one. For acts."""
    basis, at = basis_of(what), shop.now()
    newest = select(Agreement).where(Agreement.ticket_id == ticket.id)
    last = session.exec(newest.order_by(Agreement.id.desc()).limit(1)).first()  # type: ignore[attr-defined]  # a column
    if last is not None and (last.basis, last.up_to_minor) == (basis, up_to_minor):
        return
    session.add(
        Agreement(
            ticket_id=ticket.id,
            basis=basis,
            lines=json.dumps([_told(what, n) for n in what.lines]),
            up_to_minor=up_to_minor,
            currency=what.currency,
            how=how,
            who=who,
            at=at,
            by_id=by.id if by else None,
            act_key=act_key,
        )
    )
    up_to = _said(session, what, up_to_minor)
    shared.note(session, ticket, by, at, Event.AGREED, how=HOW_AGREED[how], up_to=up_to)


def _told(what: Bill, line: object) -> dict[str, object]:
    return {name: getattr(line, name) for name in ("kind", "says", "quantity", "unit_minor")} | {
        "tax_bp": what.tax_bp
    }


def _same(session: Session, ticket: Ticket, basis: str) -> Bill:
    what = _bill(session, ticket)
    if basis_of(what) != basis:
        raise Stale(CHANGED, "Look at it as it is now.")
    return what


def _bill(session: Session, ticket: Ticket) -> Bill:
    profile = session.exec(select(Profile)).one()
    row = ShopRow(*(getattr(profile, name) for name in ShopRow._fields))
    return bill_of(session.connection(), ticket.id, row)


def _said(session: Session, what: Bill, minor: int | None = None) -> str:
    country = session.exec(select(Profile.country)).one()
    return money(what.total_minor if minor is None else minor, what.currency, country)
