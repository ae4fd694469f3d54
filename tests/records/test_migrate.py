"""Migrations on both databases: they agree with the tables, run twice, run at once, and refuse."""

import multiprocessing
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import CheckConstraint, Engine, inspect, text
from sqlalchemy.exc import IntegrityError

from server.places import MIGRATIONS
from server.records.engine import open_engine
from server.records.migrate import NewerDatabase, bring_up_to_date, revision_of
from server.records.tables import metadata
from server.trade.choices import SYMPTOMS
from tests import databases

HEAD = "20261128_shop_tables"


@pytest.fixture(params=["sqlite", "postgresql"])
def address(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A database without a table, once of each kind."""
    if request.param == "sqlite":
        yield f"sqlite:///{tmp_path / 'bare.db'}"
        return
    with databases.bare_postgres() as url:
        yield url


@pytest.fixture
def bare(address: str) -> Iterator[Engine]:
    engine = open_engine(address)
    yield engine
    engine.dispose()


def differences(engine: Engine) -> list[Any]:
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        return list(compare_metadata(context, metadata))


def checks_of(engine: Engine) -> set[tuple[str, str]]:
    """Alembic does not compare check constraints, so they are listed by table and name."""
    found = inspect(engine)
    return {
        (table, str(check["name"]))
        for table in metadata.tables
        for check in found.get_check_constraints(table)
    }


def test_an_empty_database_reaches_the_newest(bare: Engine) -> None:
    assert revision_of(bare) is None
    assert bring_up_to_date(bare, MIGRATIONS) == HEAD
    assert revision_of(bare) == HEAD


def test_tables_and_migrations_agree(bare: Engine) -> None:
    assert len(differences(bare)) > 20, "the comparison sees no table that is missing"
    bring_up_to_date(bare, MIGRATIONS)
    assert differences(bare) == []


def test_check_constraints_and_migrations_agree(bare: Engine) -> None:
    wanted = {
        (table.name, str(check.name))
        for table in metadata.tables.values()
        for check in table.constraints
        if isinstance(check, CheckConstraint)
    }
    assert len(wanted) > 10
    bring_up_to_date(bare, MIGRATIONS)
    assert checks_of(bare) == wanted


def test_running_it_again_changes_nothing(bare: Engine) -> None:
    bring_up_to_date(bare, MIGRATIONS)
    with bare.begin() as connection:
        connection.execute(text("INSERT INTO counter (name, value) VALUES ('ticket', 41)"))
    assert bring_up_to_date(bare, MIGRATIONS) == HEAD
    with bare.begin() as connection:
        assert connection.execute(text("SELECT name, value FROM counter")).all() == [("ticket", 41)]


def test_a_newer_database_is_refused_untouched(bare: Engine) -> None:
    bring_up_to_date(bare, MIGRATIONS)
    with bare.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '20990101_later'"))
    with pytest.raises(NewerDatabase, match=r"20990101_later.*does not know.*newer version"):
        bring_up_to_date(bare, MIGRATIONS)
    assert revision_of(bare) == "20990101_later"
    assert differences(bare) == []


def test_threads_at_once_migrate_once(bare: Engine, address: str) -> None:
    engines = [open_engine(address) for _ in range(3)]
    start, reached = threading.Barrier(3), []

    def go(engine: Engine) -> None:
        start.wait(10)
        reached.append(bring_up_to_date(engine, MIGRATIONS))

    threads = [threading.Thread(target=go, args=(engine,)) for engine in engines]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(30)
    for engine in engines:
        engine.dispose()
    assert reached == [HEAD] * 3
    assert differences(bare) == []


def migrate_in_a_process(address: str, start: Any, reached: Any) -> None:
    engine = open_engine(address)
    start.wait(30)
    reached.put(bring_up_to_date(engine, MIGRATIONS))


def test_processes_at_once_migrate_once(bare: Engine, address: str) -> None:
    spawn = multiprocessing.get_context("spawn")
    start, reached = spawn.Barrier(2), spawn.Queue()
    both = [
        spawn.Process(target=migrate_in_a_process, args=(address, start, reached)) for _ in range(2)
    ]
    for process in both:
        process.start()
    for process in both:
        process.join(60)
    assert [process.exitcode for process in both] == [0, 0]
    assert [reached.get(timeout=5) for _ in both] == [HEAD] * 2
    assert differences(bare) == []


def test_foreign_keys_hold_after_migrating(bare: Engine) -> None:
    # The migration turns them off on its own connection; the next one has them on again.
    bring_up_to_date(bare, MIGRATIONS)
    if bare.dialect.name == "sqlite":
        with bare.connect() as connection:
            assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
    orphan = "INSERT INTO ticket_symptom (ticket_id, code) VALUES (4711, :code)"
    with pytest.raises(IntegrityError, match=r"(?i)foreign key"), bare.begin() as connection:
        connection.execute(text(orphan), {"code": next(iter(SYMPTOMS))})
