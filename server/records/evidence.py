"""Queries about evidence, acceptances and what happened to a ticket."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import (
    Acceptance,
    AttachmentRecord,
    Build,
    Evidence,
    Staff,
    StepRecord,
    TicketEvent,
)

_evidence, _step, _build, _staff = core(Evidence), core(StepRecord), core(Build), core(Staff)
_event, _acceptance, _file = core(TicketEvent), core(Acceptance), core(AttachmentRecord)


class AttachedRow(NamedTuple):
    """A file that evidence may name."""

    digest: str
    name: str
    media_type: str
    size: int


class EntryRow(NamedTuple):
    """One piece of evidence with its step and who recorded it."""

    id: int
    key: str
    basis: str
    kind: str
    answer: str
    verdict: str
    found: str
    says: str
    do: str
    power: str
    revision: int
    by_id: int
    by_name: str
    initials: str
    made_at: datetime
    at: datetime
    replaces_id: int | None


class EventRow(NamedTuple):
    """Something that happened; `by_name` is None where the app did it by itself."""

    at: datetime
    kind: str
    says: str
    power: str | None
    by_name: str | None


class AcceptedRow(NamedTuple):
    """A caution of this revision that the supervisor took on."""

    finding_key: str
    reason: str
    by_name: str
    at: datetime


_ENTRIES = Rows(
    EntryRow,
    select(
        *labelled(
            EntryRow,
            _evidence,
            key=_step.c.key,
            basis=_step.c.basis,
            revision=_build.c.revision,
            by_name=_staff.c.name,
            initials=_staff.c.initials,
        )
    )
    .join(_step, _step.c.id == _evidence.c.step_id)
    .join(_build, _build.c.id == _evidence.c.build_id)
    .join(_staff, _staff.c.id == _evidence.c.by_id)
    .where(_evidence.c.ticket_id == bindparam("ticket"))
    .order_by(_evidence.c.id),
)
_SENT_BEFORE = select(_evidence.c.id).where(_evidence.c.act_key == bindparam("act_key"))
_STEP_ID = select(_step.c.id).where(
    _step.c.ticket_id == bindparam("ticket"),
    _step.c.key == bindparam("key"),
    _step.c.basis == bindparam("basis"),
)
_EVENTS = Rows(
    EventRow,
    select(*labelled(EventRow, _event, by_name=_staff.c.name))
    .outerjoin(_staff, _staff.c.id == _event.c.by_id)
    .where(_event.c.ticket_id == bindparam("ticket"))
    .order_by(_event.c.id),
)
_ACCEPTED = Rows(
    AcceptedRow,
    select(*labelled(AcceptedRow, _acceptance, by_name=_staff.c.name))
    .join(_staff, _staff.c.id == _acceptance.c.by_id)
    .join(_build, _build.c.id == _acceptance.c.build_id)
    .where(_acceptance.c.ticket_id == bindparam("ticket"))
    .where(_build.c.revision == bindparam("revision"))
    .order_by(_acceptance.c.id),
)


_ATTACHED = Rows(
    AttachedRow,
    select(*labelled(AttachedRow, _file))
    .where(_file.c.ticket_id == bindparam("ticket"), _file.c.kind == "settings")
    .order_by(_file.c.id),
)


def entries(connection: Connection, ticket_id: int) -> list[EntryRow]:
    """All evidence of a ticket, oldest first."""
    return _ENTRIES.all(connection, {"ticket": ticket_id})


def sent_before(connection: Connection, act_key: str) -> int | None:
    """The entry that this very form made when it was sent before."""
    return connection.execute(_SENT_BEFORE, {"act_key": act_key}).scalar()


def step_id(connection: Connection, ticket_id: int, key: str, basis: str) -> int | None:
    """The row of a step for one target; None before anything was recorded at it."""
    given = {"ticket": ticket_id, "key": key, "basis": basis}
    return connection.execute(_STEP_ID, given).scalar()


def events(connection: Connection, ticket_id: int) -> list[EventRow]:
    """All that happened to a ticket, oldest first."""
    return _EVENTS.all(connection, {"ticket": ticket_id})


def accepted(connection: Connection, ticket_id: int, revision: int) -> list[AcceptedRow]:
    """The cautions accepted for this revision of the map."""
    given = {"ticket": ticket_id, "revision": revision}
    return _ACCEPTED.all(connection, given)


def attached(connection: Connection, ticket_id: int) -> list[AttachedRow]:
    """The files kept with the evidence of a ticket."""
    return _ATTACHED.all(connection, {"ticket": ticket_id})
