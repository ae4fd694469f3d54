"""Queries about past builds: those that were signed, newest first, by board and by what is on it.

A board's name is searched in the boards' own small table; its builds then come by the index over
signed builds. Pages go on from the last id that was seen: no row is skipped over, none counted.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import Any, NamedTuple, TypeVar

from sqlalchemy import (
    BindParameter,
    ColumnClause,
    ColumnElement,
    Connection,
    Select,
    bindparam,
    exists,
    func,
    literal,
    literal_column,
    select,
)

from server.records.columns import core
from server.records.find import part
from server.records.labels import Rows, labelled
from server.records.tables import (
    BoardRecord,
    Build,
    BuildFinding,
    Component,
    CraftRecord,
    LogRecord,
    Staff,
    Ticket,
    TicketEvent,
    TicketSymptom,
    WireRecord,
)
from server.trade.events import Event

T = TypeVar("T")
PAGE = 25
COUNTED = 500  # picks and usual counts look at so many builds, the newest

_board, _build, _first = core(BoardRecord), core(Build), core(Build).alias("first")
_component, _wire, _found = core(Component), core(WireRecord), core(BuildFinding)
_ticket, _craft, _symptom = core(Ticket), core(CraftRecord), core(TicketSymptom)
_event, _log, _staff = core(TicketEvent), core(LogRecord), core(Staff)
_SIGNED = _build.c.signed_at.is_not(None)
_FIRST = (_first.c.ticket_id == _build.c.ticket_id) & (_first.c.revision == 1)
_THESE: BindParameter[Any] = bindparam("these", expanding=True)


@dataclass(frozen=True)
class Wanted:
    """What to look for; what is empty narrows nothing. `boards` None is any board."""

    boards: tuple[int, ...] | None = None
    pad: str = ""
    port: str = ""
    device: str = ""
    symptom: str = ""
    finding: str = ""
    before: int = 0

    def given(self) -> dict[str, Any]:
        """The bound values of what narrows."""
        told = {name: value for name, value in vars(self).items() if value or value == ()}
        return told | ({"device": part(self.device)} if self.device else {})


class ArchivedBoardRow(NamedTuple):
    """A board of the catalogue."""

    id: int
    maker: str
    model: str
    mcu: str
    search_key: str


class PastRow(NamedTuple):
    """A signed build with its ticket and its newest log."""

    id: int
    first_id: int
    ticket_id: int
    number: int
    craft: str
    maker: str
    model: str
    sheet: str
    signed_at: datetime
    digest: str
    signer: str


class Count(NamedTuple):
    """How many builds have a thing; `name` is a symptom, a finding's code, or a kind of device."""

    port: str
    name: str
    builds: int


_LEAD: dict[str, ColumnElement[bool]] = {
    "pad": _wire.c.pad == bindparam("pad"),
    "port": _wire.c.port == bindparam("port"),
    "device": _component.c.search_key.like(bindparam("device"), escape="\\"),
}
_NARROWS: dict[str, ColumnElement[bool]] = {
    "boards": _build.c.board_id.in_(bindparam("boards", expanding=True)),
    "before": _build.c.id < bindparam("before"),
    "symptom": exists().where(
        _symptom.c.ticket_id == _build.c.ticket_id,
        _symptom.c.code == bindparam("symptom"),
    ),
    "finding": exists().where(
        _FIRST, _found.c.build_id == _first.c.id, _found.c.code == bindparam("finding")
    ),
}
_BOARDS = Rows(
    ArchivedBoardRow,
    select(*labelled(ArchivedBoardRow, _board)).order_by(_board.c.maker, _board.c.model),
)
_ON_BOARDS = select(_build.c.board_id, func.count()).where(_SIGNED).group_by(_build.c.board_id)
_NEWEST_LOG = (
    select(func.max(_log.c.id)).where(_log.c.build_id == _build.c.id).correlate(_build)
).scalar_subquery()
_PAST = Rows(
    PastRow,
    select(
        *labelled(
            PastRow,
            _build,
            first_id=_first.c.id,
            ticket_id=_ticket.c.id,
            number=_ticket.c.number,
            craft=_craft.c.name,
            maker=_board.c.maker,
            model=_board.c.model,
            digest=_log.c.digest,
            signer=_staff.c.name,
        )
    )
    .join(_first, _FIRST)
    .join(_ticket, _ticket.c.id == _build.c.ticket_id)
    .join(_craft, _craft.c.id == _ticket.c.craft_id)
    .join(_board, _board.c.id == _build.c.board_id)
    .join(_log, _log.c.id == _NEWEST_LOG)
    .join(_staff, _staff.c.id == _log.c.signed_by_id)
    .where(_SIGNED, _build.c.id.in_(_THESE))
    .order_by(_build.c.id.desc()),
)
_SYMPTOMS = select(_symptom.c.ticket_id, _symptom.c.code).where(_symptom.c.ticket_id.in_(_THESE))
_FINDINGS = (
    select(_found.c.build_id, _found.c.code, _found.c.subject)
    .where(_found.c.build_id.in_(_THESE), _found.c.severity != "note")
    .order_by(_found.c.build_id, _found.c.position)
)
_LEADS = (
    select(_wire.c.build_id, _component.c.device, _wire.c.lead, _wire.c.pad)
    .join(_component, _component.c.id == _wire.c.component_id)
    .where(_wire.c.build_id.in_(_THESE))
)
_TAKEN = (
    select(_event.c.ticket_id, func.min(_event.c.at))
    .where(_event.c.ticket_id.in_(_THESE), _event.c.kind == Event.TAKEN)
    .group_by(_event.c.ticket_id)
)
_builds = func.count(_build.c.id.distinct())
_ON_PORTS = Rows(
    Count,
    select(
        *labelled(
            Count,
            _wire,
            name=_component.c.kind,
            builds=func.count(_wire.c.build_id.distinct()),
        )
    )
    .join(_component, _component.c.id == _wire.c.component_id)
    .where(_wire.c.build_id.in_(_THESE), _wire.c.port.is_not(None))
    .group_by(_wire.c.port, _component.c.kind),
)
_WITH_SYMPTOM = Rows(
    Count,
    select(*labelled(Count, _symptom, port=literal(""), name=_symptom.c.code, builds=_builds))
    .select_from(_build)
    .join(_symptom, _symptom.c.ticket_id == _build.c.ticket_id)
    .where(_build.c.id.in_(_THESE))
    .group_by(_symptom.c.code),
)
_WITH_FINDING = Rows(
    Count,
    select(*labelled(Count, _found, port=literal(""), name=_found.c.code, builds=_builds))
    .select_from(_build)
    .join(_first, _FIRST)
    .join(_found, _found.c.build_id == _first.c.id)
    .where(_build.c.id.in_(_THESE), _found.c.severity != "note")
    .group_by(_found.c.code),
)


def boards(connection: Connection) -> list[ArchivedBoardRow]:
    """Every board, by maker and model."""
    return _BOARDS.all(connection)


def on_boards(connection: Connection) -> dict[int, int]:
    """How many signed builds each board has."""
    return {row[0]: row[1] for row in connection.execute(_ON_BOARDS)}


def ids(connection: Connection, wanted: Wanted, most: int = PAGE + 1) -> list[int]:
    """Signed builds that match, newest first, at most `most`."""
    given = wanted.given()
    return list(connection.execute(_matching(tuple(given), most), given).scalars())


def past(connection: Connection, these: Sequence[int]) -> list[PastRow]:
    """These builds as the archive lists them, newest first; one that is not signed is left out."""
    return _PAST.all(connection, {"these": list(these)})


def symptoms(connection: Connection, tickets: Sequence[int]) -> dict[int, list[str]]:
    """The picked symptoms of each of these tickets."""
    rows = connection.execute(_SYMPTOMS, {"these": list(tickets)})
    return _gathered((ticket, code) for ticket, code in rows)


def findings(connection: Connection, these: Sequence[int]) -> dict[int, list[tuple[str, str]]]:
    """The stops and cautions of each of these builds: code and subject."""
    rows = connection.execute(_FINDINGS, {"these": list(these)})
    return _gathered((build, (code, subject)) for build, code, subject in rows)


def leads(connection: Connection, these: Sequence[int]) -> dict[int, list[tuple[str, str, str]]]:
    """The device, lead and pad of every wire of each of these builds."""
    rows = connection.execute(_LEADS, {"these": list(these)})
    return _gathered((build, (device, lead, pad)) for build, device, lead, pad in rows)


def taken(connection: Connection, tickets: Sequence[int]) -> dict[int, datetime]:
    """When each of these tickets was first taken onto a bench."""
    rows = connection.execute(_TAKEN, {"these": list(tickets)})
    return {row[0]: row[1] for row in rows}


def on_ports(connection: Connection, these: Sequence[int]) -> list[Count]:
    """What kind of device is on which port in how many of these builds."""
    return _counted(connection, _ON_PORTS, these)


def with_symptom(connection: Connection, these: Sequence[int]) -> list[Count]:
    """How many of these builds came in with which symptom, the most first."""
    return _most_first(_counted(connection, _WITH_SYMPTOM, these))


def with_finding(connection: Connection, these: Sequence[int]) -> list[Count]:
    """How many of these builds had which stop or caution on their first map, the most first."""
    return _most_first(_counted(connection, _WITH_FINDING, these))


@lru_cache(maxsize=256)
def _matching(names: tuple[str, ...], most: int) -> Select[Any]:
    where = [clause for name, clause in _NARROWS.items() if name in names]
    asked = [name for name in _LEAD if name in names]
    if asked:
        of_build = _component.c.build_id == _build.c.id
        wired = () if asked == ["device"] else (_wire.c.component_id == _component.c.id,)
        where.append(exists().where(of_build, *wired, *(_LEAD[name] for name in asked)))
    # The limit is written out: with a bound one SQLite's planner walks all that match.
    limit: ColumnClause[int] = literal_column(str(most))
    return select(_build.c.id).where(_SIGNED, *where).order_by(_build.c.id.desc()).limit(limit)


def _counted(connection: Connection, query: Rows[Count], these: Sequence[int]) -> list[Count]:
    return sorted(query.all(connection, {"these": list(these)}))


def _most_first(counts: list[Count]) -> list[Count]:
    return sorted(counts, key=lambda count: -count.builds)


def _gathered(pairs: Iterable[tuple[int, T]]) -> dict[int, list[T]]:
    found: dict[int, list[T]] = {}
    for key, value in pairs:
        found.setdefault(key, []).append(value)
    return found
