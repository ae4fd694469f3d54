"""Queries about signed logs and the keys they were signed with."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import KeyRecord, LogRecord, Staff, Ticket

_log, _key, _staff, _ticket = core(LogRecord), core(KeyRecord), core(Staff), core(Ticket)


class LogRow(NamedTuple):
    """A signed log as it is kept; `document` is its file."""

    number: int
    ticket: int
    build_id: int
    digest: str
    document: str
    signed_at: datetime
    signer: str
    initials: str
    fingerprint: str


class KeyRow(NamedTuple):
    """A public key with its owner and its dates."""

    owner: str
    initials: str
    role: str
    kid: str
    fingerprint: str
    public_jwk: str
    created_at: datetime
    closed_at: datetime | None
    staff_id: int


class SealedRow(NamedTuple):
    """A key that may sign, as only its phrase opens it."""

    id: int
    kid: str
    fingerprint: str
    sealed: str


_LOGS = (
    select(
        *labelled(
            LogRow,
            _log,
            ticket=_ticket.c.number,
            signer=_staff.c.name,
            initials=_staff.c.initials,
            fingerprint=_key.c.fingerprint,
        )
    )
    .join(_ticket, _ticket.c.id == _log.c.ticket_id)
    .join(_staff, _staff.c.id == _log.c.signed_by_id)
    .join(_key, _key.c.id == _log.c.key_id)
)
_OF_TICKET = Rows(
    LogRow,
    _LOGS.where(_ticket.c.number == bindparam("ticket")).order_by(_log.c.number.desc()),
)
_BY_DIGEST = Rows(LogRow, _LOGS.where(_log.c.digest == bindparam("digest")))
_DIGEST = select(_log.c.digest).where(_log.c.number == bindparam("number"))
_CHAIN = select(_log.c.document).order_by(_log.c.number)
_KEYS = Rows(
    KeyRow,
    select(
        *labelled(
            KeyRow,
            _key,
            owner=_staff.c.name,
            initials=_staff.c.initials,
            role=_staff.c.role,
        )
    )
    .join(_staff, _staff.c.id == _key.c.staff_id)
    .order_by(_key.c.id),
)


_OPEN_KEY = Rows(
    SealedRow,
    select(*labelled(SealedRow, _key)).where(
        _key.c.staff_id == bindparam("staff"), _key.c.closed_at.is_(None)
    ),
)


def of_ticket(connection: Connection, ticket: int) -> list[LogRow]:
    """The logs of a ticket number, the newest first."""
    return _OF_TICKET.all(connection, {"ticket": ticket})


def by_digest(connection: Connection, digest: str) -> LogRow | None:
    """The log with this digest; None when the shop has no such log."""
    return _BY_DIGEST.first(connection, {"digest": digest})


def chain(connection: Connection) -> list[bytes]:
    """Every log's file, oldest first."""
    return [document.encode() for document in connection.execute(_CHAIN).scalars()]


def keys(connection: Connection) -> list[KeyRow]:
    """Every key that anybody here ever had, oldest first."""
    return _KEYS.all(connection)


def open_key(connection: Connection, staff_id: int) -> SealedRow | None:
    """The key that this person signs with; None where they have none."""
    return _OPEN_KEY.first(connection, {"staff": staff_id})


def digest_of(connection: Connection, number: int) -> str | None:
    """The digest of the log with this number."""
    return connection.execute(_DIGEST, {"number": number}).scalar()
