"""Queries about searches for a fault: where one stands, and what was found on a board before."""

from collections.abc import Collection
from datetime import datetime
from typing import Any, NamedTuple

from sqlalchemy import BindParameter, Connection, bindparam, exists, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import (
    Build,
    FaultAnswer,
    FaultCause,
    FaultSearch,
    FaultSymptom,
    Staff,
    Ticket,
)
from server.records.tables.faults import WITHDRAWN
from server.trade.ticket import CLOSED

_search, _symptom = core(FaultSearch), core(FaultSymptom)
_answer, _cause = core(FaultAnswer), core(FaultCause)
_ticket, _build, _staff = core(Ticket), core(Build), core(Staff)
_shown, _later = _answer.alias("shown"), _cause.alias("later")
_here, _there = _build.alias("here"), _build.alias("there")
_THESE: BindParameter[Any] = bindparam("these", expanding=True)

_STANDS = (_cause.c.cause != WITHDRAWN) & ~exists().where(
    _later.c.search_id == _cause.c.search_id, _later.c.id > _cause.c.id
)
_LAST = (
    select(_search.c.id, _search.c.round)
    .where(_search.c.ticket_id == bindparam("ticket"))
    .order_by(_search.c.id.desc())
    .limit(1)
)
_SYMPTOMS = (
    select(_symptom.c.code)
    .where(_symptom.c.search_id == bindparam("search"))
    .order_by(_symptom.c.code)
)


class AnswerRow(NamedTuple):
    """What a check showed; `made_at` is earlier than `at` where a tablet kept it for a while."""

    id: int
    check: str
    outcome: str
    power: str
    by_id: int
    by_name: str
    initials: str
    made_at: datetime
    at: datetime


class CauseRow(NamedTuple):
    """A cause that was found; `check` and `outcome` are None where no check showed it."""

    id: int
    search_id: int
    cause: str
    words: str
    check: str | None
    outcome: str | None
    by_name: str
    initials: str
    at: datetime


class SearchRow(NamedTuple):
    """The newest search of a ticket.

    `answers` has the last one of each check of its round, the newest at the end; `found` is its
    cause, `before` those of the ticket's other searches.
    """

    id: int
    round: int
    symptoms: tuple[str, ...]
    answers: dict[str, AnswerRow]
    found: CauseRow | None
    before: tuple[CauseRow, ...]


class PastFaultRow(NamedTuple):
    """A closed ticket on the same board, and a cause that was found on it."""

    ticket: int
    cause: str


_ANSWERS = Rows(
    AnswerRow,
    select(
        *labelled(
            AnswerRow,
            _answer,
            check=_answer.c.check_code,
            by_name=_staff.c.name,
            initials=_staff.c.initials,
        )
    )
    .join(_search, _search.c.id == _answer.c.search_id)
    .join(_staff, _staff.c.id == _answer.c.by_id)
    .where(
        _search.c.ticket_id == bindparam("ticket"),
        _search.c.round == bindparam("round"),
    )
    .order_by(_answer.c.id),
)
_FOUND = Rows(
    CauseRow,
    select(
        *labelled(
            CauseRow,
            _cause,
            check=_shown.c.check_code,
            outcome=_shown.c.outcome,
            by_name=_staff.c.name,
            initials=_staff.c.initials,
        )
    )
    .join(_search, _search.c.id == _cause.c.search_id)
    .join(_staff, _staff.c.id == _cause.c.by_id)
    .outerjoin(_shown, _shown.c.id == _cause.c.answer_id)
    .where(_search.c.ticket_id == bindparam("ticket"), _STANDS)
    .order_by(_cause.c.id),
)
_HISTORY = Rows(
    PastFaultRow,
    select(*labelled(PastFaultRow, _cause, ticket=_ticket.c.number))
    .distinct()
    .join(_search, _search.c.ticket_id == _ticket.c.id)
    .join(_symptom, _symptom.c.search_id == _search.c.id)
    .join(_cause, _cause.c.search_id == _search.c.id)
    .join(
        _there,
        (_there.c.ticket_id == _ticket.c.id) & (_there.c.revision == _ticket.c.revision),
    )
    .join(_here, _here.c.board_id == _there.c.board_id)
    .where(
        _here.c.id == bindparam("build"),
        _symptom.c.code.in_(_THESE),
        _ticket.c.state.in_(CLOSED),
        _STANDS,
    )
    .order_by(_ticket.c.number, _cause.c.cause),
)


def last(connection: Connection, ticket_id: int) -> SearchRow | None:
    """Where the search on a ticket stands; None before the first."""
    row = connection.execute(_LAST, {"ticket": ticket_id}).first()
    if row is None:
        return None
    search, turn = int(row[0]), int(row[1])
    symptoms = connection.execute(_SYMPTOMS, {"search": search}).scalars()
    given = _ANSWERS.all(connection, {"ticket": ticket_id, "round": turn})
    answers: dict[str, AnswerRow] = {}
    for each in given:
        answers.pop(each.check, None)  # the last one stands, in its own place
        answers[each.check] = each
    causes = _FOUND.all(connection, {"ticket": ticket_id})
    found = next((c for c in causes if c.search_id == search), None)
    before = tuple(c for c in causes if c.search_id != search)
    return SearchRow(search, turn, tuple(symptoms), answers, found, before)


def history(connection: Connection, build_id: int, symptoms: Collection[str]) -> list[PastFaultRow]:
    """The causes found for any of these symptoms on closed tickets with this build's board.

    Each ticket counts a cause once. A ticket's board is that of its last map.
    """
    given = {"build": build_id, "these": sorted(symptoms)}
    return _HISTORY.all(connection, given)
