"""Two doors to the database: `reading`, which cannot save, and `writing`, one transaction each."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url
from sqlmodel import Session

BUSY_S = 15  # a first start on a slow disk may hold the file for seconds
PRAGMAS = (
    f"busy_timeout={BUSY_S * 1000}",  # first: the change to WAL waits for others too
    "journal_mode=WAL",
    "synchronous=FULL",
    "foreign_keys=ON",
)

# One writer at a time in a process: threads that wait in SQLite's own busy loop starve one another
# for a third of a second (docs/decisions/0003). PostgreSQL locks rows instead.
_writers: dict[int, threading.RLock] = {}


def open_engine(url: str, *, durable: bool = True) -> Engine:
    """An engine for SQLite or PostgreSQL with this project's settings.

    Not `durable`: SQLite does not wait for the disk. Only for data that can be made again.
    """
    if make_url(url).get_backend_name() != "sqlite":
        return create_engine(url, pool_size=10, max_overflow=20, pool_pre_ping=True)
    engine = create_engine(
        url, connect_args={"check_same_thread": False, "timeout": BUSY_S}, pool_size=16
    )
    event.listen(engine, "connect", _prepare_sqlite if durable else _prepare_hasty)
    event.listen(engine, "begin", _begin_sqlite)
    _writers[id(engine)] = threading.RLock()
    return engine


def _prepare_sqlite(connection: Any, _record: object) -> None:
    connection.isolation_level = None  # we say BEGIN ourselves, below
    for pragma in PRAGMAS:
        connection.execute(f"PRAGMA {pragma}")


def _prepare_hasty(connection: Any, record: object) -> None:
    _prepare_sqlite(connection, record)
    connection.execute("PRAGMA synchronous=OFF")


def _begin_sqlite(connection: Connection) -> None:
    reading_only = connection.get_execution_options().get("reading", False)
    # A plain BEGIN that reads first cannot become a writer once another has written.
    connection.exec_driver_sql("BEGIN" if reading_only else "BEGIN IMMEDIATE")


def is_sqlite(engine: Engine) -> bool:
    """Whether the embedded database is in use."""
    return engine.dialect.name == "sqlite"


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """A connection in a transaction that is always rolled back."""
    with engine.connect().execution_options(reading=True) as connection:
        yield connection
        connection.rollback()


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """A session whose changes are durable when the block ends, and gone if it raises."""
    lock = _writers.get(id(engine))
    with (
        lock or _NoLock(),
        Session(engine, expire_on_commit=False) as session,
        session.begin(),
    ):
        yield session


def leave_no_trace(session: Session) -> None:
    """What this session writes over or removes is zeroed in SQLite's file, not only let go.

    PostgreSQL keeps old versions of a row until its next vacuum.
    """
    if session.get_bind().dialect.name == "sqlite":
        session.connection().exec_driver_sql("PRAGMA secure_delete=ON")


def fold_in(engine: Engine) -> None:
    """Bring SQLite's write-ahead log into its file, so that no old page is left in the log.

    While somebody reads an old page, it leaves that to the next checkpoint.
    """
    if is_sqlite(engine):
        with engine.connect() as connection:
            # Not through the connection, which would begin: in a transaction there is none.
            raw = connection.connection.driver_connection
            raw.execute("PRAGMA wal_checkpoint(TRUNCATE)")  # type: ignore[union-attr]  # it is open


class _NoLock:
    def __enter__(self) -> None: ...

    def __exit__(self, *_: object) -> None: ...
