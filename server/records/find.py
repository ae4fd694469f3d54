"""The find box: tickets by number, crafts and customers by part of a name or a telephone."""

from collections.abc import Iterable
from typing import NamedTuple

from sqlalchemy import BindParameter, Connection, bindparam, func, or_, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import BoardRecord, CraftRecord, Customer, Ticket

_ticket, _craft, _customer, _board = (
    core(Ticket),
    core(CraftRecord),
    core(Customer),
    core(BoardRecord),
)
MOST = 20
_NOBODY = "-"  # no run of digits is like that
RUNS = ("run", "bare", "whole")


class FoundTicket(NamedTuple):
    """A ticket of a craft or customer that matched."""

    number: int
    state: str
    craft: str
    customer: str


class FoundBoard(NamedTuple):
    """A board whose name matched."""

    id: int
    maker: str
    model: str
    mcu: str


_NUMBER = select(_ticket.c.number).where(_ticket.c.number == bindparam("number"))
_CODE = select(_ticket.c.number).where(_ticket.c.status_code == bindparam("code"))
_OPEN_CODE = _CODE.where(_ticket.c.status_withdrawn_at.is_(None))
_part: BindParameter[str] = bindparam("part")
_TICKETS = Rows(
    FoundTicket,
    select(*labelled(FoundTicket, _ticket, craft=_craft.c.name, customer=_customer.c.name))
    .join(_craft, _craft.c.id == _ticket.c.craft_id)
    .join(_customer, _customer.c.id == _ticket.c.customer_id)
    .where(
        or_(
            _craft.c.name_key.like(_part, escape="\\"),
            _customer.c.name_key.like(_part, escape="\\"),
            func.lower(_craft.c.mark).like(_part, escape="\\"),
            *(_customer.c.phone_key.like(bindparam(run)) for run in RUNS),
        )
    )
    .order_by(_ticket.c.number.desc())
    .limit(MOST),
)
_BOARDS = Rows(
    FoundBoard,
    select(*labelled(FoundBoard, _board))
    .where(_board.c.search_key.like(_part, escape="\\"))
    .order_by(_board.c.maker, _board.c.model)
    .limit(MOST),
)


def like_runs(runs: Iterable[str]) -> dict[str, str]:
    """The patterns by which a telephone is found, three at most."""
    patterns = (*(f"%{run}%" for run in runs), _NOBODY, _NOBODY, _NOBODY)
    return dict(zip(RUNS, patterns, strict=False))


def part(text: str) -> str:
    """A LIKE pattern that finds the text anywhere, taken to the letter."""
    plain = text.casefold().replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
    return f"%{plain}%"


def ticket_number(connection: Connection, number: int) -> int | None:
    """The number, when there is such a ticket."""
    return connection.execute(_NUMBER, {"number": number}).scalar()


def ticket_of_code(connection: Connection, code: str) -> int | None:
    """The ticket whose claim slip has this code."""
    return connection.execute(_CODE, {"code": code}).scalar()


def ticket_of_open_code(connection: Connection, code: str) -> int | None:
    """The same, where the counter did not withdraw the customer's page."""
    return connection.execute(_OPEN_CODE, {"code": code}).scalar()


def tickets(connection: Connection, text: str, runs: Iterable[str] = ()) -> list[FoundTicket]:
    """Tickets by part of the craft's or customer's name, by mark, or by telephone; newest first.

    `runs` are runs of digits (`work.phones.searched`): the telephone holds one of them.
    """
    given = {"part": part(text), **like_runs(runs)}
    return _TICKETS.all(connection, given)


def boards(connection: Connection, text: str) -> list[FoundBoard]:
    """Boards by part of maker, model or chip."""
    return _BOARDS.all(connection, {"part": part(text)})
