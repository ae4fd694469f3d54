"""Queries about tickets: the queue's lines, and the head of one ticket."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select, text

from server.records.columns import core
from server.records.tables import (
    Board,
    Build,
    Craft,
    Customer,
    Staff,
    Ticket,
    TicketSymptom,
)
from server.records.tables.tickets import OPEN_SQL

_ticket, _craft, _customer = core(Ticket), core(Craft), core(Customer)
_build, _board, _symptom = core(Build), core(Board), core(TicketSymptom)
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


_QUEUE = (
    select(
        _ticket.c.id,
        _ticket.c.number,
        _ticket.c.state,
        _craft.c.name,
        _customer.c.name,
        _board.c.model,
        _ticket.c.holder_id,
        _holder.c.name,
        _ticket.c.bench,
        _ticket.c.hold_reason,
        _ticket.c.promised_at,
        _ticket.c.changed_at,
        _ticket.c.power,
        _ticket.c.steps_done,
        _ticket.c.steps_again,
        _ticket.c.steps_total,
    )
    .join(_craft, _craft.c.id == _ticket.c.craft_id)
    .join(_customer, _customer.c.id == _ticket.c.customer_id)
    .outerjoin(_holder, _holder.c.id == _ticket.c.holder_id)
    .outerjoin(_build, _IN_FORCE)
    .outerjoin(_board, _board.c.id == _build.c.board_id)
    .where(_OPEN)
    .order_by(_ticket.c.promised_at, _ticket.c.number)
)
_OPEN_SYMPTOMS = (
    select(_symptom.c.ticket_id, _symptom.c.code)
    .join(_ticket, _ticket.c.id == _symptom.c.ticket_id)
    .where(_OPEN)
)
_HEAD = (
    select(
        _ticket.c.id,
        _ticket.c.number,
        _ticket.c.state,
        _craft.c.id,
        _craft.c.name,
        _craft.c.mark,
        _customer.c.id,
        _customer.c.name,
        _customer.c.phone,
        _ticket.c.own_words,
        _ticket.c.condition,
        _ticket.c.battery_look,
        _ticket.c.status_code,
        _ticket.c.booked_at,
        _ticket.c.promised_at,
        _ticket.c.hold_reason,
        _ticket.c.collected_at,
        _ticket.c.collected_by,
        _ticket.c.holder_id,
        _holder.c.name,
        _ticket.c.bench,
        _ticket.c.power,
        _ticket.c.power_since,
        _power_by.c.name,
        _ticket.c.props_seen_at,
        _props_by.c.name,
        _ticket.c.revision,
        _build.c.id,
        _build.c.sheet,
        _build.c.created_at,
        _board.c.maker,
        _board.c.model,
        _board.c.mcu,
        _ticket.c.steps_done,
        _ticket.c.steps_again,
        _ticket.c.steps_total,
        _ticket.c.family,
    )
    .join(_craft, _craft.c.id == _ticket.c.craft_id)
    .join(_customer, _customer.c.id == _ticket.c.customer_id)
    .outerjoin(_holder, _holder.c.id == _ticket.c.holder_id)
    .outerjoin(_power_by, _power_by.c.id == _ticket.c.power_by_id)
    .outerjoin(_props_by, _props_by.c.id == _ticket.c.props_seen_by_id)
    .outerjoin(_build, _IN_FORCE)
    .outerjoin(_board, _board.c.id == _build.c.board_id)
    .where(_ticket.c.number == bindparam("number"))
)
_SYMPTOMS = select(_symptom.c.code).where(_symptom.c.ticket_id == bindparam("ticket"))


def queue(connection: Connection) -> list[QueueRow]:
    """Every open ticket, the earliest promise first, those without one first of all."""
    return [QueueRow._make(row) for row in connection.execute(_QUEUE)]


def open_symptoms(connection: Connection) -> dict[int, list[str]]:
    """The picked symptoms of every open ticket, by its id."""
    found: dict[int, list[str]] = {}
    for ticket_id, code in connection.execute(_OPEN_SYMPTOMS):
        found.setdefault(ticket_id, []).append(code)
    return found


def head(connection: Connection, number: int) -> TicketHead | None:
    """One ticket with its craft, customer, map in force and power state; None if unknown."""
    row = connection.execute(_HEAD, {"number": number}).first()
    return TicketHead._make(row) if row else None


def symptoms(connection: Connection, ticket_id: int) -> list[str]:
    """The picked symptoms of one ticket."""
    return list(connection.execute(_SYMPTOMS, {"ticket": ticket_id}).scalars())
