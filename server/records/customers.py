"""Queries about customers and their crafts, for whoever books one in."""

from collections.abc import Iterable
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import BindParameter, Connection, bindparam, func, or_, select

from server.records.columns import core
from server.records.find import RUNS, like_runs, part
from server.records.labels import Rows, labelled
from server.records.tables import BoardRecord, Booking, Build, CraftRecord, Customer, Ticket

_ticket, _craft, _customer = core(Ticket), core(CraftRecord), core(Customer)
_build, _board, _booking = core(Build), core(BoardRecord), core(Booking)
MOST = 20


class CustomerRow(NamedTuple):
    """Somebody who was here before."""

    id: int
    name: str
    phone: str
    email: str


class FoundCustomer(NamedTuple):
    """Somebody who may be meant."""

    id: int
    name: str
    phone: str


class CraftRow(NamedTuple):
    """A craft with its last visit and the board of its last map, where it has them."""

    customer_id: int
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


_part: BindParameter[str] = bindparam("part")
_SEARCH = Rows(
    FoundCustomer,
    select(*labelled(FoundCustomer, _customer))
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
                    *(_customer.c.phone_key.like(bindparam(run)) for run in RUNS),
                    _customer.c.id.in_(
                        select(_ticket.c.customer_id).where(_ticket.c.number == bindparam("number"))
                    ),
                )
            )
        ),
    )
    .order_by(_customer.c.name_key, _customer.c.id)
    .limit(MOST),
)
_ONE = Rows(
    CustomerRow,
    select(*labelled(CustomerRow, _customer)).where(
        _customer.c.id == bindparam("customer"), _customer.c.erased_at.is_(None)
    ),
)
_last = (
    select(_ticket.c.craft_id, func.max(_ticket.c.number).label("number"))
    .where(_ticket.c.customer_id.in_(bindparam("customers", expanding=True)))
    .group_by(_ticket.c.craft_id)
    .subquery()
)
_CRAFTS = Rows(
    CraftRow,
    select(
        *labelled(
            CraftRow,
            _craft,
            number=_ticket.c.number,
            booked_at=_ticket.c.booked_at,
            ticket_id=_ticket.c.id,
            revision=_build.c.revision,
            board_maker=_board.c.maker,
            board_model=_board.c.model,
        )
    )
    .outerjoin(_last, _last.c.craft_id == _craft.c.id)
    .outerjoin(_ticket, _ticket.c.number == _last.c.number)
    .outerjoin(
        _build,
        (_build.c.ticket_id == _ticket.c.id) & (_build.c.revision == _ticket.c.revision),
    )
    .outerjoin(_board, _board.c.id == _build.c.board_id)
    .where(_craft.c.customer_id.in_(bindparam("customers", expanding=True)))
    .order_by(_craft.c.name_key, _craft.c.id),
)
_BOOKING = Rows(
    BookingRow,
    select(*labelled(BookingRow, _booking, number=_ticket.c.number))
    .outerjoin(_ticket, _ticket.c.id == _booking.c.ticket_id)
    .where(_booking.c.id == bindparam("booking")),
)


def search(connection: Connection, text: str, runs: Iterable[str] = ()) -> list[FoundCustomer]:
    """Customers by part of their name, a craft's name or mark, or by a ticket's number.

    `runs` are runs of digits (`work.phones.searched`): their telephone holds one of them.
    """
    digits = text.strip().removeprefix("#")
    number = int(digits) if digits.isdecimal() and len(digits) < 10 else 0
    given = {"part": part(text.strip()), "number": number, **like_runs(runs)}
    return _SEARCH.all(connection, given)


def one(connection: Connection, customer_id: int) -> CustomerRow | None:
    """A customer; None when there is none, or they were erased."""
    return _ONE.first(connection, {"customer": customer_id})


def crafts(connection: Connection, *customers: int) -> list[CraftRow]:
    """These customers' crafts by name, each with its last visit and build."""
    given = {"customers": customers}
    return _CRAFTS.all(connection, given)


def booking(connection: Connection, booking_id: int) -> BookingRow | None:
    """A booking; None when there is none."""
    return _BOOKING.first(connection, {"booking": booking_id})
