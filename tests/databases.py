"""Fresh databases for tests: a migrated SQLite file copied, or emptied PostgreSQL tables."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from tempfile import mkdtemp
from uuid import uuid4

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.engine import make_url

from server.places import MIGRATIONS
from server.records.engine import open_engine
from server.records.migrate import bring_up_to_date
from server.records.tables import metadata

POSTGRES = "QUADWRIGHT_TEST_POSTGRES_URL"


@cache
def _template() -> Path:
    file = Path(mkdtemp(prefix="quadwright-test-")) / "template.db"
    engine = open_engine(f"sqlite:///{file}")
    bring_up_to_date(engine, MIGRATIONS)
    with engine.connect() as connection:
        connection.connection.driver_connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    engine.dispose()
    return file


def fresh_sqlite(folder: Path) -> Engine:
    """An empty shop in a file of its own."""
    file = folder / "shop.db"
    shutil.copy(_template(), file)
    return open_engine(f"sqlite:///{file}")


@cache
def _postgres() -> Engine:
    """One database for each test process, migrated once."""
    url = make_url(os.environ[POSTGRES])
    name = f"quadwright_{os.environ.get('PYTEST_XDIST_WORKER', 'main')}_{os.getpid()}"
    admin = open_engine(url.render_as_string(hide_password=False))
    with admin.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text(f"CREATE DATABASE {name}"))
    admin.dispose()
    engine = open_engine(url.set(database=name).render_as_string(hide_password=False))
    bring_up_to_date(engine, MIGRATIONS)
    return engine


def need_postgres() -> None:
    """Skips where no server is named, and fails for the same in CI."""
    if not os.environ.get(POSTGRES):
        says = f"{POSTGRES} names no PostgreSQL server"
        (pytest.fail if os.environ.get("CI") else pytest.skip)(says)


@contextmanager
def bare_postgres() -> Iterator[str]:
    """The address of a database without a table, gone afterwards."""
    need_postgres()
    url = make_url(os.environ[POSTGRES])
    name = f"quadwright_bare_{uuid4().hex}"
    admin = open_engine(url.render_as_string(hide_password=False))
    with admin.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(text(f"CREATE DATABASE {name}"))
        yield url.set(database=name).render_as_string(hide_password=False)
        connection.execute(text(f"DROP DATABASE {name} WITH (FORCE)"))
    admin.dispose()


def fresh_postgres() -> Engine:
    """Emptied tables of this process's own database."""
    need_postgres()
    engine = _postgres()
    tables = ", ".join(f'"{table.name}"' for table in metadata.sorted_tables)
    with engine.begin() as connection:
        connection.execute(text(f"TRUNCATE {tables} RESTART IDENTITY CASCADE"))
    return engine
