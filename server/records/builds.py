"""Queries about builds: the revisions of a ticket's map, and its draft."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import Build, MapDraft, Staff, Ticket

_build, _draft, _staff, _ticket = core(Build), core(MapDraft), core(Staff), core(Ticket)


class RevisionRow(NamedTuple):
    """One revision of a ticket's map."""

    id: int
    revision: int
    sheet: str
    created_at: datetime
    by_name: str
    signed_at: datetime | None


class DraftRow(NamedTuple):
    """The map that is being entered."""

    sheet: str
    version: int
    came_from_id: int | None
    by_name: str
    changed_at: datetime


_REVISIONS = Rows(
    RevisionRow,
    select(*labelled(RevisionRow, _build, by_name=_staff.c.name))
    .join(_staff, _staff.c.id == _build.c.by_id)
    .where(_build.c.ticket_id == bindparam("ticket"))
    .order_by(_build.c.revision),
)
_DRAFT = Rows(
    DraftRow,
    select(*labelled(DraftRow, _draft, by_name=_staff.c.name))
    .join(_staff, _staff.c.id == _draft.c.by_id)
    .where(_draft.c.ticket_id == bindparam("ticket")),
)
_LAST_SIGNED = (
    select(_build.c.id, _build.c.sheet)
    .join(_ticket, _ticket.c.id == _build.c.ticket_id)
    .where(_ticket.c.craft_id == bindparam("craft"), _build.c.signed_at.is_not(None))
    .order_by(_build.c.id.desc())
    .limit(1)
)
_BY_ID = select(_build.c.id, _build.c.sheet).where(_build.c.id == bindparam("build"))


def revisions(connection: Connection, ticket_id: int) -> list[RevisionRow]:
    """Every saved revision, oldest first."""
    return _REVISIONS.all(connection, {"ticket": ticket_id})


def draft(connection: Connection, ticket_id: int) -> DraftRow | None:
    """The draft of a ticket's map; None when nobody is changing it."""
    return _DRAFT.first(connection, {"ticket": ticket_id})


def last_signed(connection: Connection, craft_id: int) -> tuple[int, str] | None:
    """The newest signed build of a craft: its id and sheet."""
    row = connection.execute(_LAST_SIGNED, {"craft": craft_id}).first()
    return (row[0], row[1]) if row else None


def sheet_of(connection: Connection, build_id: int) -> str | None:
    """The sheet of one build."""
    row = connection.execute(_BY_ID, {"build": build_id}).first()
    return str(row[1]) if row else None
