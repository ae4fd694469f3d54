"""Queries about what the counter wrote on a ticket: items, estimate, payments."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.tables import EstimateLine, HandedItem, Payment, Staff, Ticket

_item, _line, _payment = core(HandedItem), core(EstimateLine), core(Payment)
_staff, _ticket = core(Staff), core(Ticket)


class LineRow(NamedTuple):
    """One line of an estimate, before tax."""

    says: str
    quantity: int
    unit_minor: int


class PaymentRow(NamedTuple):
    """Money that was taken."""

    kind: str
    amount_minor: int
    at: datetime
    by_name: str


_ITEMS = select(_item.c.item, _item.c.count).where(_item.c.ticket_id == bindparam("ticket"))
_LINES = (
    select(_line.c.says, _line.c.quantity, _line.c.unit_minor)
    .where(_line.c.ticket_id == bindparam("ticket"))
    .order_by(_line.c.position)
)
_PAYMENTS = (
    select(_payment.c.kind, _payment.c.amount_minor, _payment.c.at, _staff.c.name)
    .join(_staff, _staff.c.id == _payment.c.by_id)
    .where(_payment.c.ticket_id == bindparam("ticket"))
    .order_by(_payment.c.id)
)
_TERMS_AGREED = select(_ticket.c.terms_agreed_at).where(_ticket.c.id == bindparam("ticket"))


def items(connection: Connection, ticket_id: int) -> dict[str, int]:
    """How many of each thing came over the counter."""
    return dict(tuple(row) for row in connection.execute(_ITEMS, {"ticket": ticket_id}))


def lines(connection: Connection, ticket_id: int) -> list[LineRow]:
    """The estimate, line by line."""
    return [LineRow._make(row) for row in connection.execute(_LINES, {"ticket": ticket_id})]


def payments(connection: Connection, ticket_id: int) -> list[PaymentRow]:
    """What was paid, the first payment first."""
    return [PaymentRow._make(row) for row in connection.execute(_PAYMENTS, {"ticket": ticket_id})]


def terms_agreed_at(connection: Connection, ticket_id: int) -> datetime | None:
    """When the customer agreed to the shop's terms; None when they did not."""
    at: datetime | None = connection.execute(_TERMS_AGREED, {"ticket": ticket_id}).scalar()
    return at
