"""Queries about tickets: the queue's lines, and the head of one ticket."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select, text

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import (
    BoardRecord,
    Build,
    CraftRecord,
    Customer,
    Staff,
    Ticket,
    TicketSymptom,
)
from server.records.tables.tickets import OPEN_SQL

_ticket, _craft, _customer = core(Ticket), core(CraftRecord), core(Customer)
_build, _board, _symptom = core(Build), core(BoardRecord), core(TicketSymptom)
_holder = core(Staff).alias("holder")
_power_by, _props_by = core(Staff).alias("power_by"), core(Staff).alias("props_by")

# Written out, so that the planner sees the partial index over open tickets.
_OPEN = text(f"ticket.{OPEN_SQL}")
_IN_FORCE = (_build.c.ticket_id == _ticket.c.id) & (_build.c.revision == _ticket.c.revision)


class QueueRow(NamedTuple):
    """One open ticket as the queue lists it."""

    id: int
    number: int
    state: str
    craft: str
    customer: str
    board: str | None
    holder_id: int | None
    holder: str | None
    bench: str
    hold_reason: str
    promised_at: datetime | None
    changed_at: datetime
    power: str
    steps_done: int
    steps_again: int
    steps_total: int


class TicketHead(NamedTuple):
    """What every page about one ticket shows or needs."""

    id: int
    number: int
    state: str
    craft_id: int
    craft: str
    mark: str
    customer_id: int
    customer: str
    phone: str
    own_words: str
    condition: str
    battery_look: str
    status_code: str
    booked_at: datetime
    promised_at: datetime | None
    hold_reason: str
    collected_at: datetime | None
    collected_by: str
    holder_id: int | None
    holder: str | None
    bench: str
    power: str
    power_since: datetime | None
    power_by: str | None
    props_seen_at: datetime | None
    props_by: str | None
    revision: int
    build_id: int | None
    sheet: str | None
    saved_at: datetime | None
    board_maker: str | None
    board_model: str | None
    mcu: str | None
    steps_done: int
    steps_again: int
    steps_total: int
    family: str


_QUEUE = Rows(
    QueueRow,
    select(
        *labelled(
            QueueRow,
            _ticket,
            craft=_craft.c.name,
            customer=_customer.c.name,
            board=_board.c.model,
            holder=_holder.c.name,
        )
    )
    .join(_craft, _craft.c.id == _ticket.c.craft_id)
    .join(_customer, _customer.c.id == _ticket.c.customer_id)
    .outerjoin(_holder, _holder.c.id == _ticket.c.holder_id)
    .outerjoin(_build, _IN_FORCE)
    .outerjoin(_board, _board.c.id == _build.c.board_id)
    .where(_OPEN)
    .order_by(_ticket.c.promised_at, _ticket.c.number),
)
_OPEN_SYMPTOMS = (
    select(_symptom.c.ticket_id, _symptom.c.code)
    .join(_ticket, _ticket.c.id == _symptom.c.ticket_id)
    .where(_OPEN)
)
_HEAD = Rows(
    TicketHead,
    select(
        *labelled(
            TicketHead,
            _ticket,
            craft_id=_craft.c.id,
            craft=_craft.c.name,
            mark=_craft.c.mark,
            customer_id=_customer.c.id,
            customer=_customer.c.name,
            phone=_customer.c.phone,
            holder=_holder.c.name,
            power_by=_power_by.c.name,
            props_by=_props_by.c.name,
            build_id=_build.c.id,
            sheet=_build.c.sheet,
            saved_at=_build.c.created_at,
            board_maker=_board.c.maker,
            board_model=_board.c.model,
            mcu=_board.c.mcu,
        )
    )
    .join(_craft, _craft.c.id == _ticket.c.craft_id)
    .join(_customer, _customer.c.id == _ticket.c.customer_id)
    .outerjoin(_holder, _holder.c.id == _ticket.c.holder_id)
    .outerjoin(_power_by, _power_by.c.id == _ticket.c.power_by_id)
    .outerjoin(_props_by, _props_by.c.id == _ticket.c.props_seen_by_id)
    .outerjoin(_build, _IN_FORCE)
    .outerjoin(_board, _board.c.id == _build.c.board_id)
    .where(_ticket.c.number == bindparam("number")),
)
_SYMPTOMS = select(_symptom.c.code).where(_symptom.c.ticket_id == bindparam("ticket"))


def queue(connection: Connection) -> list[QueueRow]:
    """Every open ticket, the earliest promise first, those without one first of all."""
    return _QUEUE.all(connection)


def open_symptoms(connection: Connection) -> dict[int, list[str]]:
    """The picked symptoms of every open ticket, by its id."""
    found: dict[int, list[str]] = {}
    for ticket_id, code in connection.execute(_OPEN_SYMPTOMS):
        found.setdefault(ticket_id, []).append(code)
    return found


def head(connection: Connection, number: int) -> TicketHead | None:
    """One ticket with its craft, customer, map in force and power state; None if unknown."""
    return _HEAD.first(connection, {"number": number})


def symptoms(connection: Connection, ticket_id: int) -> list[str]:
    """The picked symptoms of one ticket."""
    return list(connection.execute(_SYMPTOMS, {"ticket": ticket_id}).scalars())
