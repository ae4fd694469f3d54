"""Queries about work that was signed: how long it took here, and who does it."""

from collections.abc import Sequence
from datetime import datetime
from typing import Any, NamedTuple

from sqlalchemy import BindParameter, Connection, bindparam, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import BoardRecord, Build, LogRecord, Staff, TicketEvent
from server.trade.events import BENCH_MOVES

NEWEST = 300  # signed logs; older ones tell of another shop

_log, _build, _board = core(LogRecord), core(Build), core(BoardRecord)
_event, _staff = core(TicketEvent), core(Staff)
_THESE: BindParameter[Any] = bindparam("these", expanding=True)


class SignedWork(NamedTuple):
    """A signed log: its ticket, its board, who signed it and whether they still work here."""

    ticket_id: int
    board: str
    signed_by_id: int
    active: bool
    signed_at: datetime


_SIGNED = Rows(
    SignedWork,
    select(
        *labelled(
            SignedWork,
            _log,
            board=_board.c.maker + " " + _board.c.model,
            active=_staff.c.active,
        )
    )
    .join(_build, _build.c.id == _log.c.build_id)
    .join(_board, _board.c.id == _build.c.board_id)
    .join(_staff, _staff.c.id == _log.c.signed_by_id)
    .order_by(_log.c.id.desc())
    .limit(NEWEST),
)
_MOVES = (
    select(_event.c.ticket_id, _event.c.at, _event.c.kind)
    .where(_event.c.ticket_id.in_(_THESE), _event.c.kind.in_(BENCH_MOVES))
    .order_by(_event.c.ticket_id, _event.c.id)
)


def signed(connection: Connection) -> list[SignedWork]:
    """The newest signed logs, newest first."""
    return _SIGNED.all(connection)


def moves(connection: Connection, tickets: Sequence[int]) -> dict[int, list[tuple[datetime, str]]]:
    """How each of these tickets went on and off a bench: (moment, kind), oldest first."""
    found: dict[int, list[tuple[datetime, str]]] = {}
    for ticket, at, kind in connection.execute(_MOVES, {"these": list(tickets)}):
        found.setdefault(ticket, []).append((at, kind))
    return found
