"""Queries about what a supervisor signed for the outside, and about what the office changed."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, func, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import KeyRecord, LogRecord, Published, ShopEvent, Staff

_published, _event, _staff = core(Published), core(ShopEvent), core(Staff)
_key, _log = core(KeyRecord), core(LogRecord)


class PublishedRow(NamedTuple):
    """A signed key list or head without its file."""

    id: int
    kind: str
    size: int
    root: str
    at: datetime
    by_name: str
    kid: str
    fingerprint: str


class ShopEventRow(NamedTuple):
    """Something that was changed in the office."""

    at: datetime
    kind: str
    says: str


_ROWS = Rows(
    PublishedRow,
    select(
        *labelled(
            PublishedRow,
            _published,
            by_name=_staff.c.name,
            kid=_key.c.kid,
            fingerprint=_key.c.fingerprint,
        )
    )
    .join(_staff, _staff.c.id == _published.c.by_id)
    .join(_key, _key.c.id == _published.c.key_id)
    .order_by(_published.c.id.desc()),
)
_FILE = select(_published.c.document).where(
    _published.c.id == bindparam("id"), _published.c.kind == bindparam("kind")
)
_DIGESTS = select(_log.c.digest).where(_log.c.number <= bindparam("size")).order_by(_log.c.number)
_SOME = (
    select(_log.c.number, _log.c.document)
    .where(_log.c.number.between(bindparam("first"), bindparam("last")))
    .order_by(_log.c.number)
)
_EVENTS = Rows(
    ShopEventRow,
    select(*labelled(ShopEventRow, _event)).order_by(_event.c.id.desc()).limit(bindparam("most")),
)


def published(connection: Connection) -> list[PublishedRow]:
    """Every signed key list and head, the newest first."""
    return _ROWS.all(connection)


def file_of(connection: Connection, kind: str, number: int) -> bytes | None:
    """The file of a key list or head, as it was signed."""
    document = connection.execute(_FILE, {"id": number, "kind": kind}).scalar()
    return None if document is None else str(document).encode()


def digests(connection: Connection, size: int) -> list[str]:
    """The digests of logs 1 to `size`, in order."""
    return list(connection.execute(_DIGESTS, {"size": size}).scalars())


def how_many(connection: Connection) -> int:
    """How many logs the shop has signed."""
    return int(connection.execute(select(func.count()).select_from(_log)).scalar_one())


def some(connection: Connection, first: int, last: int) -> list[tuple[int, bytes]]:
    """Numbers and files of some logs, oldest first."""
    rows = connection.execute(_SOME, {"first": first, "last": last})
    return [(number, document.encode()) for number, document in rows]


def events(connection: Connection, most: int) -> list[ShopEventRow]:
    """What was changed in the office, the newest first."""
    return _EVENTS.all(connection, {"most": most})
