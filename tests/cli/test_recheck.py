"""`quadwright recheck` over a shop in a folder: its document, its exit codes, its text."""

import json

import pytest
from sqlalchemy import delete, update
from typer.testing import CliRunner

from server.app import open_shop
from server.cli import app
from server.records.columns import core
from server.records.engine import writing
from server.records.tables import Build, BuildFinding
from server.settings import Settings
from server.trade.rules_version import rules_version
from server.work.shop import Shop
from tests import make


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("QUADWRIGHT_DATA", str(tmp_path))
    monkeypatch.delenv("QUADWRIGHT_DATABASE_URL", raising=False)
    return tmp_path


@pytest.fixture
def number(folder):
    """A ticket whose signed map has a stop that was known when it was saved."""
    opened = open_shop(Settings())
    shop = Shop(opened.engine, opened.files, now=make.Clock(), quick_phrases=True)
    found = make.on_the_bench(shop, make.lead(shop), make.swapped)
    with writing(shop.engine) as session:
        session.connection().execute(update(core(Build)).values(signed_at=shop.now()))
    yield found
    shop.engine.dispose()


def forget_findings():
    engine = open_shop(Settings()).engine
    with writing(engine) as session:
        session.connection().execute(delete(core(BuildFinding)))
    engine.dispose()


def run(*line):
    result = CliRunner().invoke(app, ["recheck", *line])
    assert result.exception is None or isinstance(result.exception, SystemExit)
    return result


def test_nothing_new_leaves_with_0(number):
    result = run("--json")
    assert result.exit_code == 0
    assert json.loads(result.stdout) == {"rules": rules_version(), "looked": 1, "new": []}


def test_a_new_stop_leaves_with_1(number):
    forget_findings()
    result = run("--json")
    document = json.loads(result.stdout)
    assert (result.exit_code, document["looked"]) == (1, 1)
    stop = next(row for row in document["new"] if row["severity"] == "stop")
    assert stop.keys() == {
        "ticket",
        "craft",
        "board",
        "customer",
        "code",
        "severity",
        "subject",
        "says",
    }
    board = make.sheet().board
    assert stop["ticket"] == number
    assert stop["craft"] == "Kittiwake"
    assert stop["customer"] == "Perrin Vale"
    assert stop["board"] == f"{board.maker} {board.model}"


def test_progress_stays_off_standard_output(number):
    result = run()
    assert result.exit_code == 0
    assert "Nothing new." in result.stdout
    assert "Signed builds" in result.stderr
    assert "1/1" not in result.stdout


def test_text_names_whose_quad_is_touched(number):
    forget_findings()
    result = run()
    assert result.exit_code == 1
    assert f"Ticket {number:04d}, Kittiwake, Perrin Vale" in result.stdout


def test_a_file_that_is_no_database_is_refused(folder):
    (folder / "quadwright.db").write_bytes(b"not a database, but a text" * 100)
    result = run("--json")
    assert result.exit_code == 2
    error = json.loads(result.stdout)["error"]
    assert error["at"] == "database"
    assert "not a database" in error["says"]
    assert run().exit_code == 2
