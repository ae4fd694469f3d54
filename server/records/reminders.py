"""Queries about open tickets that somebody should be told of, and the shop's own messages."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, func, select, text

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import CraftRecord, Customer, ShopMessage, Ticket, TicketEvent
from server.records.tables.tickets import OPEN_SQL
from server.trade.events import Event

_ticket, _craft, _customer = core(Ticket), core(CraftRecord), core(Customer)
_event, _message = core(TicketEvent), core(ShopMessage)
_OPEN = text(f"ticket.{OPEN_SQL}")
KINDS = (Event.HELD, Event.SIGNED, Event.TOLD)


class OpenRow(NamedTuple):
    """An open ticket with whom it belongs to."""

    id: int
    number: int
    state: str
    craft: str
    customer: str
    phone: str
    hold_reason: str
    promised_at: datetime | None
    steps_done: int
    steps_total: int


_ROWS = Rows(
    OpenRow,
    select(
        *labelled(
            OpenRow,
            _ticket,
            craft=_craft.c.name,
            customer=_customer.c.name,
            phone=_customer.c.phone,
        )
    )
    .join(_craft, _craft.c.id == _ticket.c.craft_id)
    .join(_customer, _customer.c.id == _ticket.c.customer_id)
    .where(_OPEN)
    .order_by(_ticket.c.promised_at, _ticket.c.number),
)
_LAST = (
    select(_event.c.ticket_id, _event.c.kind, func.max(_event.c.at))
    .join(_ticket, _ticket.c.id == _event.c.ticket_id)
    .where(_OPEN, _event.c.kind.in_(KINDS))
    .group_by(_event.c.ticket_id, _event.c.kind)
)
_MESSAGES = select(_message.c.kind, _message.c.words)


def open_tickets(connection: Connection) -> list[OpenRow]:
    """Every open ticket, the earliest promise first."""
    return _ROWS.all(connection)


def last_events(connection: Connection) -> dict[tuple[int, str], datetime]:
    """When each open ticket was last held, signed, and told of to its customer."""
    return {(row[0], row[1]): row[2] for row in connection.execute(_LAST)}


def messages(connection: Connection) -> dict[str, str]:
    """The shop's own words by kind; none for a kind that it left as it is."""
    return dict(tuple(row) for row in connection.execute(_MESSAGES))
