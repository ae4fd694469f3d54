"""An answer that was stored before has its own time as the time at which it was made."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic import command
from sqlalchemy import Engine, text
from sqlalchemy.exc import IntegrityError

from server.records.engine import open_engine
from tests import databases
from tests.records.test_counter_migration import AT, asked, config
from tests.records.test_counter_migration import filled as with_tickets

BEFORE = (
    "INSERT INTO fault_search (id, ticket_id, round, at, by_id, act_key)"
    f" VALUES (1, 1, 1, '{AT}', 1, 'a')",
    "INSERT INTO fault_answer (id, search_id, act_key, check_code, outcome, power, by_id, at)"
    f" VALUES (1, 1, 'b', 'arms', 'bent', 'cold', 1, '{AT}')",
)


@pytest.fixture(params=["sqlite", "postgresql"])
def engine(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """A shop of the schema before, with one answer to a check."""
    if request.param == "sqlite":
        yield filled(open_engine(f"sqlite:///{tmp_path / 'old.db'}"))
        return
    with databases.bare_postgres() as url:
        found = open_engine(url)
        yield filled(found)
        found.dispose()


def filled(engine: Engine) -> Engine:
    with_tickets(engine)
    with engine.begin() as connection:
        for statement in BEFORE:
            connection.execute(text(statement))
    command.upgrade(config(engine), "20261126_fault_made_at")
    return engine


def test_an_old_answer_was_made_when_it_came(engine: Engine) -> None:
    rows = asked(engine, "SELECT outcome, made_at, at FROM fault_answer")
    assert [row[0] for row in rows] == ["bent"]
    assert rows[0][1] == rows[0][2]
    assert str(rows[0][1]).startswith("2030-03-04")


def test_an_answer_without_a_time_is_refused(engine: Engine) -> None:
    forgets = BEFORE[1].replace("(1, 1, 'b'", "(2, 1, 'c'")
    with pytest.raises(IntegrityError, match=r"(?i)made_at"), engine.begin() as connection:
        connection.execute(text(forgets))


def test_its_checks_hold_after_the_change(engine: Engine) -> None:
    powered = BEFORE[1].replace("'cold'", "'battery'").replace("(1, 1, 'b'", "(3, 1, 'd'")
    powered = powered.replace("by_id, at)", "by_id, at, made_at)").replace(
        f"'{AT}')", f"'{AT}', '{AT}')"
    )
    with (
        pytest.raises(IntegrityError, match="powered_has_props_look"),
        engine.begin() as connection,
    ):
        connection.execute(text(powered))
