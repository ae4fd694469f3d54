"""`quadwright serve`, `demo`, `supervisor`: one document on standard output, messages beside it."""

import json
import os
import socket
import subprocess
import sys
import time
from pathlib import Path
from urllib.request import urlopen

import pytest
from typer.testing import CliRunner

from server.cli import app

LEAD = ["--shop-name", "Harrow Lane", "--name", "Ada Quill", "--initials", "AQ", "--sign-in", "ada"]
PHRASE = "a phrase that nobody else has"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("QUADWRIGHT_DATA", str(tmp_path))
    monkeypatch.delenv("QUADWRIGHT_DATABASE_URL", raising=False)
    return tmp_path


def test_lead_makes_the_first_one_and_only_the_first(folder: Path) -> None:
    line = ["supervisor", *LEAD, "--password", PHRASE, "--json"]
    made = CliRunner().invoke(app, line)
    assert made.exit_code == 0
    assert json.loads(made.stdout) == {"shop": "Harrow Lane", "name": "Ada Quill", "sign_in": "ada"}
    again = CliRunner().invoke(app, line)
    assert again.exit_code == 2
    assert json.loads(again.stdout)["error"]["at"] == "shop"


def test_lead_asks_on_standard_error_for_what_is_left_out(folder: Path) -> None:
    made = CliRunner().invoke(app, ["supervisor", *LEAD, "--json"], input=f"{PHRASE}\n{PHRASE}\n")
    assert made.exit_code == 0, made.stderr
    assert json.loads(made.stdout)["sign_in"] == "ada"
    assert "Password" in made.stderr
    assert PHRASE not in made.output


def test_demo_says_where_it_is_and_who_signs_in(folder: Path) -> None:
    # A folder that has a shop is left as it is; tests/test_demo.py fills one from nothing.
    assert CliRunner().invoke(app, ["supervisor", *LEAD, "--password", PHRASE]).exit_code == 0
    line = ["demo", "--folder", str(folder), "--port", "8123", "--fill-only", "--json"]
    found = CliRunner().invoke(app, line)
    assert (found.exit_code, found.stderr) == (0, "")
    document = json.loads(found.stdout)
    assert document["folder"] == str(folder)
    assert document["address"] == "http://127.0.0.1:8123"
    roles = {each["sign_in"]: each["role"] for each in document["people"]}
    assert roles == {
        "ilse": "counter",
        "kit": "technician",
        "bo": "technician",
        "sunniva": "supervisor",
    }


def test_serve_says_where_and_then_answers(folder: Path) -> None:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    line = [sys.executable, "-m", "server.cli", "serve", "--port", str(port), "--json"]
    with subprocess.Popen(line, stdout=subprocess.PIPE, env=os.environ) as served:
        try:
            assert served.stdout is not None
            said = b"".join(served.stdout.readline() for _ in range(4))
            assert json.loads(said) == {"address": f"http://127.0.0.1:{port}", "workers": 1}
            assert answered(f"http://127.0.0.1:{port}/") == 200
        finally:
            served.terminate()
            served.wait(timeout=20)


def answered(address: str) -> int:
    for _ in range(600):
        try:
            with urlopen(address) as page:
                return int(page.status)
        except OSError:
            time.sleep(0.1)
    raise AssertionError(f"{address} did not answer within a minute")
