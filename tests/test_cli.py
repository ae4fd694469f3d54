"""The command line against its contract: JSON shapes, exit codes, a reason for each refusal."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from server.cli import app
from server.trade.rules_version import rules_version
from tests import example_sheet

EXAMPLE = str(example_sheet.PATH)
RULES = rules_version()
SPIN = ["spin", "--outputs", "1=FL:cw,2=RL:ccw,3=RR:cw,4=FR:ccw", "--props", "props-in"]


def run(*line: object) -> tuple[int, str]:
    """The exit code and standard output; no command may leave with an uncaught error."""
    result = CliRunner().invoke(app, [str(word) for word in line])
    assert result.exception is None or isinstance(result.exception, SystemExit)
    assert "Traceback" not in result.output
    return result.exit_code, result.stdout


def answer(*line: object) -> tuple[int, Any]:
    code, out = run(*line, "--json")
    return code, json.loads(out)


def refused(*line: object) -> dict[str, str]:
    """The error of a line that is refused: exit 2, as JSON, and as text not on standard output."""
    code, document = answer(*line)
    assert code == 2
    assert document.keys() == {"error"}
    assert document["error"].keys() == {"at", "says"}
    assert all(document["error"].values())
    code, out = run(*line)
    assert (code, out) == (2, "")
    return document["error"]


def write(folder: Path, name: str, content: object) -> Path:
    path = folder / name
    path.write_text(content if isinstance(content, str) else json.dumps(content))
    return path


@pytest.fixture
def stopped(tmp_path: Path) -> Path:
    """The example with its receiver's leads swapped."""
    document = example_sheet.document()
    wires = document["wires"]
    wires[0]["pad"], wires[1]["pad"] = wires[1]["pad"], wires[0]["pad"]
    return write(tmp_path, "stopped.json", document)


def test_check_of_a_clean_sheet_is_0() -> None:
    code, document = answer("check", EXAMPLE)
    assert (code, document) == (0, {"rules": RULES, "sheets": [{"file": EXAMPLE, "findings": []}]})


def test_check_of_a_stop_is_1(stopped: Path) -> None:
    code, document = answer("check", stopped)
    assert code == 1
    (row,) = document["sheets"]
    assert row["file"] == str(stopped)
    assert {f["code"] for f in row["findings"]} == {"lines-swapped"}
    keys = {"code", "severity", "bars", "subject", "says", "do", "source"}
    assert all(finding.keys() == keys for finding in row["findings"])


def test_a_caution_alone_is_0(tmp_path: Path) -> None:
    document = example_sheet.document()
    del document["esc"]["set_to"]
    code, found = answer("check", write(tmp_path, "caution.json", document))
    assert code == 0
    assert {f["severity"] for f in found["sheets"][0]["findings"]} == {"caution"}


def test_check_answers_the_others_when_one_fails(tmp_path: Path, stopped: Path) -> None:
    broken = write(tmp_path, "broken.json", "{")
    code, document = answer("check", EXAMPLE, broken, tmp_path / "none.json", stopped)
    assert code == 2
    assert [sorted(row.keys()) for row in document["sheets"]] == [
        ["file", "findings"],
        ["error", "file"],
        ["error", "file"],
        ["file", "findings"],
    ]
    errors = [row["error"] for row in document["sheets"] if "error" in row]
    assert all(error["at"] and error["says"] for error in errors)


def test_a_wrong_sheet_names_the_place(tmp_path: Path) -> None:
    document = example_sheet.document()
    document["board"]["pads"][3]["port"] = "UART9"
    path = write(tmp_path, "wrong.json", document)
    _, found = answer("check", path)
    assert found["sheets"][0]["error"]["at"] == "board.pads[3].port"
    for command in ("plan", "card"):
        assert refused(command, path)["at"] == "board.pads[3].port"


def test_toml_is_read_by_its_ending(tmp_path: Path) -> None:
    text = 'sheet = 1\ncraft = {name = "Kittiwake"}\n'
    for name, at in (("sheet.toml", "craft.props"), ("SHEET.TOML", "craft.props")):
        _, found = answer("check", write(tmp_path, name, text))
        assert found["sheets"][0]["error"]["at"] == at
    _, found = answer("check", write(tmp_path, "sheet.json", text))
    assert "line 1" in found["sheets"][0]["error"]["at"]


def test_plan_has_the_contract_keys(stopped: Path) -> None:
    code, document = answer("plan", stopped)
    assert code == 1
    assert document.keys() == {"ports", "moves", "changes", "unsolved"}
    assert [row["port"] for row in document["ports"]] == [
        port["port"] for port in example_sheet.document()["board"]["ports"]
    ]
    moves = {(m["device"], m["lead"], m["from"], m["to"]) for m in document["moves"]}
    assert moves == {("receiver", "TX", "T1", "R1"), ("receiver", "RX", "R1", "T1")}
    assert answer("plan", EXAMPLE)[0] == 0


def test_card_has_the_contract_keys(stopped: Path) -> None:
    code, document = answer("card", EXAMPLE)
    assert code == 0
    stages = document["stages"]
    assert len(stages) > 5
    for stage in stages:
        assert {"key", "title", "steps"} <= stage.keys()
        for step in stage["steps"]:
            assert {"key", "number", "title", "do", "target", "why", "source"} <= step.keys()
            assert {"states", "evidence", "hazard", "basis"} <= step.keys()
    assert answer("card", stopped)[0] == 1


def test_align_by_faces_is_the_contract_example() -> None:
    assert answer("align", "--level", "bottom", "--nose-down", "left") == (
        0,
        {
            "roll": 0,
            "pitch": 0,
            "yaw": 90,
            "squared": True,
            "residual_deg": 0.0,
            "alternatives": [{"roll": 180, "pitch": 180, "yaw": -90}],
            "check": {"level": "bottom", "nose-down": "left", "right-down": "nose"},
            "findings": [],
        },
    )


@pytest.mark.parametrize(
    "faces",
    [
        ["--level", "bottom"],
        [],
        ["--level", "bottom", "--nose-down", "top"],
        ["--level", "bottom", "--nose-down", "left", "--right-down", "tail"],
        ["--level", "bottom", "--nose-down", "Left"],
        ["--level", "bottom", "--readings", "x.json"],
    ],
)
def test_faces_no_craft_can_give_are_2(faces: list[str]) -> None:
    refused("align", *faces)


def tilted(degrees: float) -> dict:
    from math import cos, radians, sin

    a = radians(degrees)
    nose = {"pose": "nose-down", "reading": [cos(a), sin(a), 0]}
    return {"poses": [{"pose": "level", "reading": [0, 0, 1]}, nose]}


@pytest.mark.parametrize(
    ("degrees", "code", "severity"), [(3, 0, None), (7, 0, "caution"), (15, 1, "stop")]
)
def test_align_by_readings(tmp_path: Path, degrees: float, code: int, severity: str | None) -> None:
    path = write(tmp_path, "readings.json", tilted(degrees))
    found, document = answer("align", "--readings", path)
    assert found == code
    assert document["residual_deg"] == pytest.approx(degrees, abs=1e-4)
    assert document["squared"] is (severity != "stop")
    assert [f["severity"] for f in document["findings"]] == ([severity] if severity else [])


@pytest.mark.parametrize(
    ("content", "at"),
    [
        ("", "line 1, column 1"),
        ("[1", "line 1, column 3"),
        ('{"poses": [], "poses": []}', "poses"),
        ('{"poses": [{"pose": "level", "reading": [0, 0, NaN]}]}', "file"),
        ("[" * 100_000, "file"),
        ("9" * 10_000, "file"),
        ('{"poses": [{"pose": "level", "reading": [0, 0, 1]}]}', "poses"),
        ("\ufeff{}", "poses"),
        ('{"poses": "' + "x" * 2_000_000 + '"}', "file"),
    ],
)
def test_malformed_readings_name_the_place(tmp_path: Path, content: str, at: str) -> None:
    path = write(tmp_path, "readings.json", content)
    assert refused("align", "--readings", path)["at"] == at


def test_bytes_that_are_not_utf8_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "bytes.json"
    path.write_bytes(b'{"poses": "\xff"}')
    assert refused("align", "--readings", path)["at"] == "byte 11"
    assert refused("endpoints", path)["at"] == "byte 11"


def test_spin_in_the_wrong_order_is_1() -> None:
    code, document = answer(*SPIN, "--expect", "1=FL,2=RR,3=RL,4=FR")
    assert code == 1
    assert document["table"] == {"1": "FL", "2": "RL", "3": "RR", "4": "FR"}
    assert document["exchange"] == {"2": 3, "3": 2}
    assert document["verdict"]["crossed"] == ["roll", "yaw"]
    assert [f["code"] for f in document["findings"]] == ["motor-order"]


def test_spin_without_an_order_is_open() -> None:
    code, document = answer(*SPIN)
    assert (code, document["verdict"]["ok"], document["findings"]) == (0, None, [])


def test_spin_in_the_right_order_is_0() -> None:
    code, document = answer(*SPIN, "--expect", "1=FL,2=RL,3=RR,4=FR")
    assert (code, document["verdict"]["ok"]) == (0, True)


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


CHANNEL = {"channel": "roll", "low": 988, "centre": 1500, "high": 2012}
ARM = {"switch": "arm", "rest": 1000, "armed": 2000, "middle": 1500, "radio_off": 1000}


def test_endpoints_is_the_contract_example(tmp_path: Path) -> None:
    path = write(tmp_path, "radio.json", {"channels": [CHANNEL], "switches": [ARM]})
    assert answer("endpoints", path) == (
        0,
        {
            "channels": [
                {
                    "channel": "roll",
                    "low_percent": 97.66,
                    "high_percent": 97.66,
                    "trim_us": 0,
                    "reverse": False,
                    "reads": [1000, 1500, 2000],
                }
            ],
            "switches": [{"switch": "arm", "range": {"low": 1750, "high": 2100}, "margin_us": 250}],
            "findings": [],
        },
    )


def test_an_unsafe_switch_is_1(tmp_path: Path) -> None:
    path = write(tmp_path, "radio.json", {"switches": [ARM | {"radio_off": 2000}]})
    code, document = answer("endpoints", path)
    assert code == 1
    assert document["switches"][0].keys() == {"switch", "refused"}
    assert [f["code"] for f in document["findings"]] == ["arm-range-unsafe"]


FILE_COMMANDS = (["plan"], ["card"], ["endpoints"], ["align", "--readings"])


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
        (["align", "--level", "bottom", "--nose-down", "left"], "roll 0°, pitch 0°, yaw 90°"),
        (SPIN, "The order is not judged"),
        ([*SPIN, "--expect", "1=FL,2=RR,3=RL,4=FR"], "output 2  RL  (belongs on output 3)"),
    ],
)
def test_answers_are_laid_out_as_text(line: list[str], shown: str) -> None:
    assert shown in run(*line)[1]


def test_findings_are_laid_out_as_text(stopped: Path, tmp_path: Path) -> None:
    code, out = run("check", stopped, tmp_path)
    assert code == 2
    assert "  stop  " in out
    assert "(lines-swapped)" in out
    assert "cannot be read" in out


def test_the_radio_is_laid_out_as_text(tmp_path: Path) -> None:
    still = CHANNEL | {"channel": "yaw", "high": 1500}
    document = {"channels": [CHANNEL, still], "switches": [ARM]}
    code, out = run("endpoints", write(tmp_path, "radio.json", document))
    assert code == 1
    assert "roll  trim +0 µs, low 97.66 %, high 97.66 %; reads 1000/1500/2000 µs" in out
    assert "yaw  it has no throw on its high side" in out
    assert "arm  armed from 1750 to 2100 µs, margin 250 µs" in out


def test_a_name_in_brackets_is_printed_as_it_is(tmp_path: Path) -> None:
    path = write(tmp_path, "radio.json", {"channels": [CHANNEL | {"channel": "[bold]x[/bold]"}]})
    assert "[bold]x[/bold]  trim" in run("endpoints", path)[1]


def whole(*line: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """The command as its own process."""
    call = [sys.executable, "-c", "from server.cli import main; main()", *line]
    return subprocess.run(
        call, capture_output=True, timeout=60, check=False, env=os.environ | environment
    )


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
