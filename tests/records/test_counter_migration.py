"""What was stored before keeps its bill, its terms and its telephone under the newer tables."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, text

from server.places import MIGRATIONS
from server.records.engine import open_engine
from tests import databases

AT = "2030-03-04T09:00:00.000000+00:00"
BEFORE = [
    "INSERT INTO profile (id, name, address, phone, country, zone, currency, tax_bp, terms, paper,"
    " props_minutes, power_minutes) VALUES (1, 'S', '', '', 'GB', 'UTC', 'EUR', 2500, 'We test.',"
    " 'a4', 30, 60)",
    "INSERT INTO staff (id, name, initials, sign_in, role, phrase_hash, active, theme, created_at)"
    f" VALUES (1, 'Ilse', 'I', 'i', 'lead', 'x', true, '', '{AT}')",
    *(
        "INSERT INTO customer (id, name, name_key, phone, phone_key, email, created_at)"
        f" VALUES ({n}, 'C', 'c', '{phone}', '{phone[-9:]}', '', '{AT}')"
        for n, phone in enumerate(("020 7946 0911", "+47 22 12 34 56", "555 0142", ""), 1)
    ),
    f"INSERT INTO craft (id, customer_id, name, name_key, mark, created_at) VALUES (1, 1, 'K', 'k',"
    f" '', '{AT}')",
    *(
        "INSERT INTO ticket (id, number, craft_id, customer_id, state, bench, hold_reason,"
        " own_words, condition, battery_look, terms_agreed_at, status_code, booked_at,"
        " booked_by_id, changed_at, collected_by, power, revision, family, steps_done,"
        f" steps_again, steps_total) VALUES ({n}, {n}, 1, 1, 'waiting', '', '', '', '', 'none',"
        f" {agreed}, 'c{n}', '{AT}', 1, '{AT}', '', 'cold', 0, '', 0, 0, 0)"
        for n, agreed in ((1, f"'{AT}'"), (2, "NULL"))
    ),
    "INSERT INTO estimate_line (id, ticket_id, position, says, quantity, unit_minor)"
    " VALUES (1, 1, 0, 'Set-up', 1, 4800)",
]


@pytest.fixture(params=["sqlite", "postgresql"])
def engine(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """A shop of the schema before; one ticket's customer agreed to the terms, the other's not."""
    if request.param == "sqlite":
        yield filled(open_engine(f"sqlite:///{tmp_path / 'old.db'}"))
        return
    with databases.bare_postgres() as url:
        found = open_engine(url)
        yield filled(found)
        found.dispose()


def config(engine: Engine) -> Config:
    found = Config()
    found.set_main_option("script_location", str(MIGRATIONS))
    found.attributes["engine"] = engine
    return found


def filled(engine: Engine) -> Engine:
    command.upgrade(config(engine), "20261126_rechecks")
    with engine.begin() as connection:
        for statement in BEFORE:
            connection.execute(text(statement))
    command.upgrade(config(engine), "20261126_counter")
    return engine


def asked(engine: Engine, query: str) -> list[tuple[object, ...]]:
    with engine.connect() as connection:
        return [tuple(row) for row in connection.execute(text(query))]


def test_old_tickets_keep_what_they_had(engine: Engine) -> None:
    assert asked(engine, "SELECT phone, phone_key FROM customer ORDER BY id") == [
        ("+442079460911", "442079460911"),
        ("+4722123456", "4722123456"),
        ("555 0142", "5550142"),
        ("", ""),
    ]
    assert asked(
        engine, "SELECT ticket_id, currency, tax_bp, rounding FROM estimate ORDER BY 1"
    ) == [(1, "EUR", 2500, "half-up"), (2, "EUR", 2500, "half-up")]
    assert asked(engine, "SELECT words FROM terms") == [("We test.",)]
    assert asked(engine, "SELECT ticket_id FROM ticket_terms") == [(1,)]
    assert asked(engine, "SELECT kind FROM estimate_line") == [("labour",)]
    assert asked(engine, "SELECT rounding FROM profile") == [("half-up",)]
    assert asked(engine, "SELECT count(*) FROM agreement") == [(0,)]
