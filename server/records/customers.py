"""Queries about customers and their crafts, for whoever books one in."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import BindParameter, Connection, bindparam, func, or_, select

from server.records.columns import core
from server.records.find import part
from server.records.tables import Board, Booking, Build, Craft, Customer, Ticket

_ticket, _craft, _customer = core(Ticket), core(Craft), core(Customer)
_build, _board, _booking = core(Build), core(Board), core(Booking)
MOST = 60  # rows, a craft each
FEWEST_DIGITS = 4


class CustomerRow(NamedTuple):
    """Somebody who was here before."""

    id: int
    name: str
    phone: str
    email: str


class FoundCustomer(NamedTuple):
    """Somebody who may be meant, with the names of their crafts."""

    id: int
    name: str
    phone: str
    crafts: tuple[str, ...]


class CraftRow(NamedTuple):
    """A craft with its last visit and the board of its last map, where it has them."""

    id: int
    name: str
    mark: str
    number: int | None
    booked_at: datetime | None
    ticket_id: int | None
    revision: int | None
    board_maker: str | None
    board_model: str | None


class BookingRow(NamedTuple):
    """What was told so far; `number` is the ticket's, once it is one."""

    id: int
    answers: str
    number: int | None


_digits: BindParameter[str] = bindparam("digits")
_part: BindParameter[str] = bindparam("part")
_SEARCH = (
    select(_customer.c.id, _customer.c.name, _customer.c.phone, _craft.c.name)
    .outerjoin(_craft, _craft.c.customer_id == _customer.c.id)
    .where(
        _customer.c.erased_at.is_(None),
        _customer.c.id.in_(
            select(_customer.c.id)
            .outerjoin(_craft, _craft.c.customer_id == _customer.c.id)
            .where(
                or_(
                    _customer.c.name_key.like(_part, escape="\\"),
                    _craft.c.name_key.like(_part, escape="\\"),
                    func.lower(_craft.c.mark).like(_part, escape="\\"),
                    (_digits != "") & _customer.c.phone_key.like(_digits),
                    _customer.c.id.in_(
                        select(_ticket.c.customer_id).where(_ticket.c.number == bindparam("number"))
                    ),
                )
            )
        ),
    )
    .order_by(_customer.c.name_key, _customer.c.id, _craft.c.name_key)
    .limit(MOST)
)
_ONE = select(_customer.c.id, _customer.c.name, _customer.c.phone, _customer.c.email).where(
    _customer.c.id == bindparam("customer"), _customer.c.erased_at.is_(None)
)
_last = (
    select(_ticket.c.craft_id, func.max(_ticket.c.number).label("number"))
    .where(_ticket.c.customer_id == bindparam("customer"))
    .group_by(_ticket.c.craft_id)
    .subquery()
)
_CRAFTS = (
    select(
        _craft.c.id, _craft.c.name, _craft.c.mark, _ticket.c.number, _ticket.c.booked_at,
        _ticket.c.id, _build.c.revision, _board.c.maker, _board.c.model,
    )
    .outerjoin(_last, _last.c.craft_id == _craft.c.id)
    .outerjoin(_ticket, _ticket.c.number == _last.c.number)
    .outerjoin(
        _build, (_build.c.ticket_id == _ticket.c.id) & (_build.c.revision == _ticket.c.revision)
    )
    .outerjoin(_board, _board.c.id == _build.c.board_id)
    .where(_craft.c.customer_id == bindparam("customer"))
    .order_by(_craft.c.name_key, _craft.c.id)
)  # fmt: skip
_BOOKING = (
    select(_booking.c.id, _booking.c.answers, _ticket.c.number)
    .outerjoin(_ticket, _ticket.c.id == _booking.c.ticket_id)
    .where(_booking.c.id == bindparam("booking"))
)


def search(connection: Connection, text: str) -> list[FoundCustomer]:
    """Customers by part of their name, telephone, a craft's name or mark, or a ticket's number."""
    digits = "".join(filter(str.isdigit, text))[-9:]
    phone = f"%{digits}%" if len(digits) >= FEWEST_DIGITS else ""
    number = int(text) if text.isdecimal() and len(text) < 10 else 0
    given = {"part": part(text.strip()), "digits": phone, "number": number}
    found: dict[int, FoundCustomer] = {}
    for id_, name, known_phone, craft in connection.execute(_SEARCH, given):
        before = found.get(id_)
        crafts = (*(before.crafts if before else ()), *((craft,) if craft else ()))
        found[id_] = FoundCustomer(id_, name, known_phone, crafts)
    return list(found.values())


def one(connection: Connection, customer_id: int) -> CustomerRow | None:
    """A customer; None when there is none, or they were erased."""
    row = connection.execute(_ONE, {"customer": customer_id}).first()
    return CustomerRow._make(row) if row else None


def crafts(connection: Connection, customer_id: int) -> list[CraftRow]:
    """A customer's crafts by name, each with its last visit and build."""
    given = {"customer": customer_id}
    return [CraftRow._make(row) for row in connection.execute(_CRAFTS, given)]


def booking(connection: Connection, booking_id: int) -> BookingRow | None:
    """A booking; None when there is none."""
    row = connection.execute(_BOOKING, {"booking": booking_id}).first()
    return BookingRow._make(row) if row else None
