"""`quadwright check`: findings of several sheets, and the place where one cannot be read."""

from pathlib import Path

from tests import example_sheet
from tests.cli.line import EXAMPLE, VERSION, answer, refused, run, write


def test_check_of_a_clean_sheet_is_0() -> None:
    code, document = answer("check", EXAMPLE)
    assert (code, document) == (0, VERSION | {"sheets": [{"file": EXAMPLE, "findings": []}]})


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


def test_findings_are_laid_out_as_text(stopped: Path, tmp_path: Path) -> None:
    code, out = run("check", stopped, tmp_path)
    assert code == 2
    assert "  stop  " in out
    assert "(lines-swapped)" in out
    assert "cannot be read" in out
