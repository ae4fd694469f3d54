"""Queries about what the counter wrote on a ticket: items, estimate, agreements, payments."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import (
    Agreement,
    AttachmentRecord,
    Estimate,
    EstimateLine,
    HandedItem,
    Payment,
    Staff,
    Terms,
    Ticket,
    TicketTerms,
)
from server.trade.choices import HOW_AGREED

_item, _line, _payment = core(HandedItem), core(EstimateLine), core(Payment)
_staff, _ticket, _estimate = core(Staff), core(Ticket), core(Estimate)
_agreement, _terms, _ticket_terms = core(Agreement), core(Terms), core(TicketTerms)
_file = core(AttachmentRecord)


class LineRow(NamedTuple):
    """One line of an estimate, before tax."""

    says: str
    quantity: int
    unit_minor: int
    kind: str


class EstimateRow(NamedTuple):
    """What a ticket's lines are reckoned with."""

    currency: str
    tax_bp: int
    rounding: str


class AgreementRow(NamedTuple):
    """A customer's yes; `by_name` is None where they gave it on their own page."""

    basis: str
    up_to_minor: int
    currency: str
    how: str
    who: str
    at: datetime
    by_name: str | None

    @property
    def how_words(self) -> str:
        """How they agreed: 'by telephone'."""
        return HOW_AGREED[self.how]


class TermsRow(NamedTuple):
    """One version of the shop's terms."""

    id: int
    words: str
    written_at: datetime


class PhotoRow(NamedTuple):
    """A photo or a file that is kept with a ticket."""

    digest: str
    name: str
    media_type: str
    size: int
    at: datetime
    by_name: str


class PaymentRow(NamedTuple):
    """Money that was taken."""

    kind: str
    amount_minor: int
    at: datetime
    by_name: str


_ITEMS = select(_item.c.item, _item.c.count).where(_item.c.ticket_id == bindparam("ticket"))
_LINES = Rows(
    LineRow,
    select(*labelled(LineRow, _line))
    .where(_line.c.ticket_id == bindparam("ticket"))
    .order_by(_line.c.position),
)
_PAYMENTS = Rows(
    PaymentRow,
    select(*labelled(PaymentRow, _payment, by_name=_staff.c.name))
    .join(_staff, _staff.c.id == _payment.c.by_id)
    .where(_payment.c.ticket_id == bindparam("ticket"))
    .order_by(_payment.c.id),
)
_ESTIMATE = Rows(
    EstimateRow,
    select(*labelled(EstimateRow, _estimate)).where(_estimate.c.ticket_id == bindparam("ticket")),
)
_AGREEMENTS = Rows(
    AgreementRow,
    select(*labelled(AgreementRow, _agreement, by_name=_staff.c.name))
    .outerjoin(_staff, _staff.c.id == _agreement.c.by_id)
    .where(_agreement.c.ticket_id == bindparam("ticket"))
    .order_by(_agreement.c.id),
)
_TERMS = select(*labelled(TermsRow, _terms))
_NEWEST_TERMS = Rows(TermsRow, _TERMS.order_by(_terms.c.id.desc()).limit(1))
_TERMS_OF = Rows(
    TermsRow,
    _TERMS.join(_ticket_terms, _ticket_terms.c.terms_id == _terms.c.id).where(
        _ticket_terms.c.ticket_id == bindparam("ticket")
    ),
)
_KEPT = Rows(
    PhotoRow,
    select(*labelled(PhotoRow, _file, by_name=_staff.c.name))
    .join(_staff, _staff.c.id == _file.c.by_id)
    .where(_file.c.ticket_id == bindparam("ticket"), _file.c.kind == bindparam("kind"))
    .order_by(_file.c.id),
)
_WITHDRAWN = select(_ticket.c.status_withdrawn_at).where(_ticket.c.id == bindparam("ticket"))
_TERMS_AGREED = select(_ticket.c.terms_agreed_at).where(_ticket.c.id == bindparam("ticket"))


def items(connection: Connection, ticket_id: int) -> dict[str, int]:
    """How many of each thing came over the counter."""
    return dict(tuple(row) for row in connection.execute(_ITEMS, {"ticket": ticket_id}))


def lines(connection: Connection, ticket_id: int) -> list[LineRow]:
    """The estimate, line by line."""
    return _LINES.all(connection, {"ticket": ticket_id})


def payments(connection: Connection, ticket_id: int) -> list[PaymentRow]:
    """What was paid, the first payment first."""
    return _PAYMENTS.all(connection, {"ticket": ticket_id})


def terms_agreed_at(connection: Connection, ticket_id: int) -> datetime | None:
    """When the customer agreed to the shop's terms; None when they did not."""
    at: datetime | None = connection.execute(_TERMS_AGREED, {"ticket": ticket_id}).scalar()
    return at


def estimate(connection: Connection, ticket_id: int) -> EstimateRow | None:
    """What the lines are reckoned with; None for a ticket that never had any."""
    return _ESTIMATE.first(connection, {"ticket": ticket_id})


def agreements(connection: Connection, ticket_id: int) -> list[AgreementRow]:
    """What the customer said yes to, the first time first."""
    return _AGREEMENTS.all(connection, {"ticket": ticket_id})


def newest_terms(connection: Connection) -> TermsRow | None:
    """The terms as they are now; None where the shop never had any."""
    return _NEWEST_TERMS.first(connection)


def terms_of(connection: Connection, ticket_id: int) -> TermsRow | None:
    """The terms that the customer of a ticket agreed to; None where they agreed to none."""
    return _TERMS_OF.first(connection, {"ticket": ticket_id})


def kept(connection: Connection, ticket_id: int, kind: str) -> list[PhotoRow]:
    """The photos ('photo') or files ('settings') of a ticket, the first one first."""
    return _KEPT.all(connection, {"ticket": ticket_id, "kind": kind})


def page_withdrawn_at(connection: Connection, ticket_id: int) -> datetime | None:
    """When the customer's page was closed; None while it is open."""
    at: datetime | None = connection.execute(_WITHDRAWN, {"ticket": ticket_id}).scalar()
    return at
