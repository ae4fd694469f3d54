"""Queries about runs of the rules over the archive: how far, over which builds, what is new."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, NamedTuple

from sqlalchemy import BindParameter, Connection, bindparam, func, insert, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import (
    BoardRecord,
    Build,
    BuildFinding,
    CraftRecord,
    Customer,
    Recheck,
    RecheckFinding,
    Staff,
    Ticket,
)
from server.trade.recheck import StoredFinding

_run, _new, _staff = core(Recheck), core(RecheckFinding), core(Staff)
_build, _known, _board = core(Build), core(BuildFinding), core(BoardRecord)
_ticket, _craft, _customer = core(Ticket), core(CraftRecord), core(Customer)
_SIGNED = _build.c.signed_at.is_not(None)
_THESE: BindParameter[Any] = bindparam("these", expanding=True)


class RunRow(NamedTuple):
    """One run over the archive. `by` is None for the command line's."""

    id: int
    rules_version: str
    started_at: datetime
    finished_at: datetime | None
    by: str | None
    last_build_id: int
    looked: int
    total: int


class SignedRow(NamedTuple):
    """A signed build to look at."""

    id: int
    sheet: str


class NewRow(NamedTuple):
    """Something newly found, with whose craft it is on."""

    ticket: int
    craft: str
    board: str
    customer: str
    code: str
    severity: str
    subject: str
    says: str


_RUNS = select(*labelled(RunRow, _run, by=_staff.c.name)).outerjoin(
    _staff, _staff.c.id == _run.c.by_id
)
_LAST = Rows(RunRow, _RUNS.order_by(_run.c.id.desc()).limit(1))
_ONE = Rows(RunRow, _RUNS.where(_run.c.id == bindparam("run")))
_HOW_MANY = select(func.count()).select_from(_build).where(_SIGNED)
_NEXT = Rows(
    SignedRow,
    select(*labelled(SignedRow, _build))
    .where(_SIGNED, _build.c.id > bindparam("after"))
    .order_by(_build.c.id)
    .limit(bindparam("most")),
)
_KNOWN = select(_known.c.build_id, _known.c.code, _known.c.severity, _known.c.subject).where(
    _known.c.build_id.in_(_THESE)
)
_NEW = (
    select(
        *labelled(
            NewRow,
            _new,
            ticket=_ticket.c.number,
            craft=_craft.c.name,
            board=_board.c.maker + " " + _board.c.model,
            customer=_customer.c.name,
        )
    )
    .join(_build, _build.c.id == _new.c.build_id)
    .join(_board, _board.c.id == _build.c.board_id)
    .join(_ticket, _ticket.c.id == _build.c.ticket_id)
    .join(_craft, _craft.c.id == _ticket.c.craft_id)
    .join(_customer, _customer.c.id == _ticket.c.customer_id)
    .where(_new.c.recheck_id == bindparam("run"))
    .order_by(_board.c.maker, _board.c.model, _new.c.code, _ticket.c.number, _new.c.id)
)
_ALL_NEW = Rows(NewRow, _NEW)
_SOME_NEW = Rows(NewRow, _NEW.limit(bindparam("most")))
_NEW_COUNT = select(func.count()).select_from(_new).where(_new.c.recheck_id == bindparam("run"))


def last(connection: Connection) -> RunRow | None:
    """The newest run; None before the first."""
    return _LAST.first(connection)


def run(connection: Connection, run_id: int) -> RunRow:
    """One run. Raises NoResultFound for an id that is none."""
    return _ONE.one(connection, {"run": run_id})


def signed(connection: Connection) -> int:
    """How many builds are signed."""
    return int(connection.execute(_HOW_MANY).scalar_one())


def next_signed(connection: Connection, after: int, most: int) -> list[SignedRow]:
    """The signed builds after this one, in the order of their ids."""
    return _NEXT.all(connection, {"after": after, "most": most})


def known(connection: Connection, builds: Sequence[int]) -> set[tuple[int, str, str, str]]:
    """What was found on these builds when they were saved: build, code, severity, subject."""
    rows = connection.execute(_KNOWN, {"these": list(builds)})
    return {(row[0], row[1], row[2], row[3]) for row in rows}


def add(connection: Connection, run_id: int, rows: Sequence[tuple[int, StoredFinding]]) -> None:
    """Keep what a run newly found, by build."""
    if rows:
        told = [{"recheck_id": run_id, "build_id": b, **f._asdict()} for b, f in rows]
        connection.execute(insert(_new), told)


def new(connection: Connection, run_id: int, most: int | None = None) -> list[NewRow]:
    """What a run newly found, by board, then finding, then ticket; the first `most` of it."""
    if most is None:
        return _ALL_NEW.all(connection, {"run": run_id})
    return _SOME_NEW.all(connection, {"run": run_id, "most": most})


def new_count(connection: Connection, run_id: int) -> int:
    """How much a run newly found."""
    return int(connection.execute(_NEW_COUNT, {"run": run_id}).scalar_one())
