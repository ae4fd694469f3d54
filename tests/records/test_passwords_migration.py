"""Passwords stay valid over the change of their column, and the shop's history stays for good."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic import command
from sqlalchemy import Engine, text
from sqlalchemy.exc import DBAPIError

from server.records.engine import open_engine
from tests import databases
from tests.records.test_counter_migration import AT, asked, config
from tests.records.test_counter_migration import filled as with_tickets

EVENT = f"INSERT INTO shop_event (id, at, by_id, kind, says) VALUES (1, '{AT}', 1, 'left', 'Gone.')"


@pytest.fixture(params=["sqlite", "postgresql"])
def engine(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """A shop of the schema before, with one line of its history."""
    if request.param == "sqlite":
        yield filled(open_engine(f"sqlite:///{tmp_path / 'old.db'}"))
        return
    with databases.bare_postgres() as url:
        found = open_engine(url)
        yield filled(found)
        found.dispose()


def filled(engine: Engine) -> Engine:
    with_tickets(engine)
    command.upgrade(config(engine), "20261126_fault_made_at")
    with engine.begin() as connection:
        connection.execute(text(EVENT))
        connection.execute(text("UPDATE staff SET phrase_hash = 'as it was' WHERE id = 1"))
    command.upgrade(config(engine), "20261128_passwords")
    return engine


def test_a_password_is_kept_under_its_new_name(engine: Engine) -> None:
    assert asked(engine, "SELECT password_hash FROM staff WHERE id = 1") == [("as it was",)]
    assert asked(engine, "SELECT * FROM one_time_code") == []


def test_one_person_has_one_code(engine: Engine) -> None:
    code = (
        "INSERT INTO one_time_code (id, staff_id, digest, made_at, ends_at)"
        f" VALUES ({{}}, 1, 'x', '{AT}', '{AT}')"
    )
    with engine.begin() as connection:
        connection.execute(text(code.format(1)))
    with pytest.raises(DBAPIError, match=r"(?i)unique"), engine.begin() as connection:
        connection.execute(text(code.format(2)))


@pytest.mark.parametrize(
    "act", ["UPDATE shop_event SET says = 'Stayed.'", "DELETE FROM shop_event WHERE id = 1"]
)
def test_a_line_of_the_history_stays_as_it_is(engine: Engine, act: str) -> None:
    with pytest.raises(DBAPIError, match="never changed or removed"), engine.begin() as connection:
        connection.execute(text(act))
    assert asked(engine, "SELECT says FROM shop_event") == [("Gone.",)]
    with engine.begin() as connection:
        connection.execute(text(EVENT.replace("(1,", "(2,")))
    assert len(asked(engine, "SELECT id FROM shop_event")) == 2
