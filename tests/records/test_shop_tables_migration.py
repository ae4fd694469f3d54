"""A shop of the version before, as it was dumped, opens under the tables of today.

`tests/data/shop-before-tables.sql` is the dump of a SQLite database that the acts of commit 852fe3b
filled: a ticket in each state of then, nearly every kind of event, a key list, a head, two signed
logs. On PostgreSQL the same rows are copied into the schema of then.
"""

import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic import command
from sqlalchemy import Engine, MetaData, inspect, text
from sqlalchemy.exc import IntegrityError

from server.ledger.headfile import read_head
from server.ledger.keylist import read_keys
from server.places import MIGRATIONS
from server.records import evidence, logs, people, tickets, trust
from server.records.engine import open_engine, reading
from server.records.migrate import bring_up_to_date
from server.trade.events import Event
from server.trade.roles import Role
from server.trade.ticket import State
from tests import databases
from tests.ledger.rows import verify_chain
from tests.records.test_counter_migration import asked, config

DUMP = Path(__file__).parents[1] / "data" / "shop-before-tables.sql"
BEFORE = "20261126_fault_made_at"
STATES = {
    1: "collected",
    2: "ready",
    3: "waiting",
    4: "bench",
    5: "on-hold",
    6: "waiting",
    7: "to-sign",
    8: "returned",
    9: "bench",
}


def restored(folder: Path) -> Engine:
    """The dump as a file again."""
    file = folder / "old.db"
    with sqlite3.connect(file) as database:
        database.executescript(DUMP.read_text("utf-8"))
    database.close()
    return open_engine(f"sqlite:///{file}")


def copied(old: Engine, new: Engine) -> None:
    """Every row of the old file in another database of the same schema."""
    command.upgrade(config(new), BEFORE)
    found = MetaData()
    found.reflect(new)
    with old.connect() as source, new.begin() as target:
        for table in found.sorted_tables:
            rows = source.execute(text(f"SELECT * FROM {table.name}")).mappings().all()
            if not rows or table.name == "alembic_version":
                continue
            flags = [c.name for c in table.columns if str(c.type) == "BOOLEAN"]
            told = [
                dict(row) | {f: None if row[f] is None else bool(row[f]) for f in flags}
                for row in rows
            ]
            holders = ", ".join(f":{column.name}" for column in table.columns)
            names = ", ".join(f'"{column.name}"' for column in table.columns)
            target.execute(text(f"INSERT INTO {table.name} ({names}) VALUES ({holders})"), told)


@pytest.fixture(params=["sqlite", "postgresql"])
def old(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """The shop of then on each database, not yet migrated."""
    engine = restored(tmp_path)
    if request.param == "sqlite":
        yield engine
        engine.dispose()
        return
    with databases.bare_postgres() as url:
        found = open_engine(url)
        copied(engine, found)
        engine.dispose()
        yield found
        found.dispose()


@pytest.fixture
def migrated(old: Engine) -> Engine:
    assert {row[0] for row in asked(old, "SELECT state FROM ticket")} >= {"held", "returned"}
    assert ("lead",) in asked(old, "SELECT role FROM staff")
    bring_up_to_date(old, MIGRATIONS)
    return old


def test_every_word_of_then_is_one_of_today(migrated: Engine) -> None:
    assert dict(asked(migrated, "SELECT number, state FROM ticket")) == STATES
    assert asked(migrated, "SELECT hold_reason FROM ticket WHERE number = 5") == [("A new camera",)]
    assert {row[0] for row in asked(migrated, "SELECT role FROM staff")} == set(Role)
    kinds = {row[0] for row in asked(migrated, "SELECT kind FROM ticket_event")}
    assert set(Event) - kinds == {"cancelled", "erased", "lapsed"}
    assert kinds <= set(Event)


def test_no_row_is_lost(old: Engine) -> None:
    names = [name for name in inspect(old).get_table_names() if name != "alembic_version"]
    before = {name: asked(old, f"SELECT count(*) FROM {name}") for name in names}
    assert before["ticket_event"][0][0] > 100
    bring_up_to_date(old, MIGRATIONS)
    assert {name: asked(old, f"SELECT count(*) FROM {name}") for name in names} == before


def test_its_pages_are_read_as_before(migrated: Engine) -> None:
    with reading(migrated) as connection:
        open_ = {row.number: row.state for row in tickets.queue(connection)}
        head = tickets.head(connection, 5)
        assert head is not None
        history = [(row.kind, row.says) for row in evidence.events(connection, head.id)]
        roles = {row.name: row.role for row in people.staff(connection)}
    assert open_ == {n: s for n, s in STATES.items() if s not in ("collected", "returned")}
    assert ("held", "Held: A new camera.") in history
    assert roles["Sunniva Oake"] == Role.SUPERVISOR


def test_its_logs_keys_and_head_still_verify(migrated: Engine) -> None:
    with reading(migrated) as connection:
        chain = logs.chain(connection)
        (head_row, list_row) = sorted(trust.published(connection), key=lambda row: row.kind)
        head_file = trust.file_of(connection, "head", head_row.id)
        list_file = trust.file_of(connection, "keys", list_row.id)
    assert head_file
    assert list_file
    keys = read_keys(list_file)
    assert [key.lead for key in keys.keys if key.owner == "Sunniva Oake"] == [True]
    report = verify_chain(chain, keys)
    assert report.ok
    assert report.size == 2
    assert read_head(head_file, keys).size == 2
    assert json.loads(chain[0])["log"]["ticket"]


@pytest.mark.parametrize(
    ("statement", "check"),
    [
        ("UPDATE ticket SET state = 'held' WHERE number = 3", "ticket_state_known"),
        ("UPDATE ticket SET state = 'on-hold' WHERE number = 3", "on_hold_has_reason"),
        ("UPDATE ticket SET state = 'bench' WHERE number = 3", "bench_has_holder"),
        ("UPDATE staff SET role = 'lead'", "staff_role_known"),
        ("UPDATE ticket_event SET kind = 'handed on'", "ticket_event_kind_known"),
    ],
)
def test_the_database_refuses_other_words(migrated: Engine, statement: str, check: str) -> None:
    with pytest.raises(IntegrityError, match=check), migrated.begin() as connection:
        connection.execute(text(statement))


def test_the_database_takes_every_word_of_today(migrated: Engine) -> None:
    with migrated.begin() as connection:
        connection.execute(
            text("UPDATE ticket SET holder_id = 1, hold_reason = 'x' WHERE number = 3")
        )
        for state in State:
            given = {"word": str(state)}
            connection.execute(text("UPDATE ticket SET state = :word WHERE number = 3"), given)
        for event in Event:
            given = {"word": str(event)}
            connection.execute(text("UPDATE ticket_event SET kind = :word WHERE id = 1"), given)
        for role in Role:
            given = {"word": str(role)}
            connection.execute(text("UPDATE staff SET role = :word WHERE id = 1"), given)
