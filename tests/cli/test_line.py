"""The command line as a whole: wrong lines, files that cannot be read, the process itself."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.cli.line import ARM, EXAMPLE, SPIN, answer, refused, run, whole, write


@pytest.mark.parametrize(
    ("line", "at"),
    [
        (["spin", "--outputs", "1=FL:cw", "--props", "props-in"], "outputs"),
        ([*SPIN[:3], "--props", "props"], "props"),
        ([*SPIN, "--expect", "1=FL"], "expect"),
        ([*SPIN, "--expect", ""], "expect"),
        (["spin", "--props", "props-in"], "--outputs"),
        (["spin"], "--outputs"),
        ([*SPIN, "--colour", "red"], "--colour"),
        (["check"], "SHEET"),
        (["plan"], "SHEET"),
        (["plan", "a", "b"], "command line"),
        (["verify"], "LOG"),
        (["nothing"], "command line"),
    ],
)
def test_a_wrong_line_is_2_with_its_place(line: list[str], at: str) -> None:
    code, document = answer(*line)
    assert code == 2
    assert document["error"]["at"] == at
    assert document["error"]["says"]
    assert run(*line)[0] == 2


FILE_COMMANDS = (["plan"], ["card"], ["endpoints"], ["mounting", "--readings"])


@pytest.mark.parametrize("command", FILE_COMMANDS, ids=" ".join)
def test_a_missing_file_is_named(command: list[str], tmp_path: Path) -> None:
    gone = tmp_path / "gone.json"
    assert refused(*command, gone) == {"at": str(gone), "says": "There is no such file."}


@pytest.mark.parametrize("command", FILE_COMMANDS, ids=" ".join)
def test_a_directory_is_no_file(command: list[str], tmp_path: Path) -> None:
    assert "directory" in refused(*command, tmp_path)["says"]


@pytest.mark.skipif(os.geteuid() == 0, reason="root may read everything")
def test_a_barred_file_is_said_so(tmp_path: Path) -> None:
    path = write(tmp_path, "barred.json", {})
    path.chmod(0)
    assert "Permission" in refused("plan", path)["says"]


def test_an_endless_file_ends() -> None:
    error = refused("endpoints", "/dev/zero")
    assert error == {
        "at": "/dev/zero",
        "says": "It is over 64 MiB, which is the most that is read.",
    }


@pytest.mark.parametrize(
    ("line", "shown"),
    [
        (["check", EXAMPLE], "No findings."),
        (["plan", EXAMPLE], "420000 8N1"),
        (["card", EXAMPLE], "WARNING"),
        (["mounting", "--level", "bottom", "--nose-down", "left"], "roll 0°, pitch 0°, yaw 90°"),
        (SPIN, "The order is not judged"),
        ([*SPIN, "--expect", "1=FL,2=RR,3=RL,4=FR"], "output 2  RL  (belongs on output 3)"),
    ],
)
def test_answers_are_laid_out_as_text(line: list[str], shown: str) -> None:
    assert shown in run(*line)[1]


def test_as_a_process_it_answers_in_utf8(tmp_path: Path) -> None:
    path = write(tmp_path, "radio.json", {"switches": [ARM | {"switch": "é", "armed": 1000}]})
    found = whole("endpoints", str(path), "--json", PYTHONIOENCODING="latin-1")
    assert found.returncode == 1
    assert found.stderr == b""
    assert json.loads(found.stdout.decode("utf-8"))["switches"][0]["switch"] == "é"


def test_a_file_name_of_odd_bytes_is_no_traceback(tmp_path: Path) -> None:
    name = os.fsdecode(os.fsencode(tmp_path) + b"/\xff.json")
    found = whole("endpoints", name, "--json")
    assert found.returncode == 2
    assert "no such file" in json.loads(found.stdout)["error"]["says"]
    assert found.stderr == b""


def test_the_line_loads_little_before_its_command() -> None:
    code = "import sys, server.cli; print(sorted(sys.modules))"
    found = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    heavy = ("numpy", "scipy", "pydantic", "fastapi", "sqlalchemy", "rich.console")
    assert not [name for name in heavy if f"'{name}'" in found.stdout.decode()]
