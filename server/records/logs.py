"""Queries about signed logs and the keys they were signed with."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.tables import SigningKey, Staff, TestLog, Ticket

_log, _key, _staff, _ticket = core(TestLog), core(SigningKey), core(Staff), core(Ticket)


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
        _log.c.number,
        _ticket.c.number,
        _log.c.build_id,
        _log.c.digest,
        _log.c.document,
        _log.c.signed_at,
        _staff.c.name,
        _staff.c.initials,
        _key.c.fingerprint,
    )
    .join(_ticket, _ticket.c.id == _log.c.ticket_id)
    .join(_staff, _staff.c.id == _log.c.signed_by_id)
    .join(_key, _key.c.id == _log.c.key_id)
)
_OF_TICKET = _LOGS.where(_ticket.c.number == bindparam("ticket")).order_by(_log.c.number.desc())
_BY_DIGEST = _LOGS.where(_log.c.digest == bindparam("digest"))
_DIGEST = select(_log.c.digest).where(_log.c.number == bindparam("number"))
_CHAIN = select(_log.c.document).order_by(_log.c.number)
_KEYS = (
    select(
        _staff.c.name,
        _staff.c.initials,
        _staff.c.role,
        _key.c.kid,
        _key.c.fingerprint,
        _key.c.public_jwk,
        _key.c.created_at,
        _key.c.closed_at,
        _key.c.staff_id,
    )
    .join(_staff, _staff.c.id == _key.c.staff_id)
    .order_by(_key.c.id)
)


_OPEN_KEY = select(_key.c.id, _key.c.kid, _key.c.fingerprint, _key.c.sealed).where(
    _key.c.staff_id == bindparam("staff"), _key.c.closed_at.is_(None)
)


def of_ticket(connection: Connection, ticket: int) -> list[LogRow]:
    """The logs of a ticket number, the newest first."""
    return [LogRow._make(row) for row in connection.execute(_OF_TICKET, {"ticket": ticket})]


def by_digest(connection: Connection, digest: str) -> LogRow | None:
    """The log with this digest; None when the shop has no such log."""
    row = connection.execute(_BY_DIGEST, {"digest": digest}).first()
    return LogRow._make(row) if row else None


def chain(connection: Connection) -> list[bytes]:
    """Every log's file, oldest first."""
    return [document.encode() for document in connection.execute(_CHAIN).scalars()]


def keys(connection: Connection) -> list[KeyRow]:
    """Every key that anybody here ever had, oldest first."""
    return [KeyRow._make(row) for row in connection.execute(_KEYS)]


def open_key(connection: Connection, staff_id: int) -> SealedRow | None:
    """The key that this person signs with; None where they have none."""
    row = connection.execute(_OPEN_KEY, {"staff": staff_id}).one_or_none()
    return SealedRow._make(row) if row else None


def digest_of(connection: Connection, number: int) -> str | None:
    """The digest of the log with this number."""
    return connection.execute(_DIGEST, {"number": number}).scalar()
