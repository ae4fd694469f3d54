"""`quadwright mounting`: faces and readings, and what is refused."""

from pathlib import Path

import pytest

from tests.cli.line import VERSION, answer, refused, write


def test_mounting_by_faces_is_the_contract_example() -> None:
    assert answer("mounting", "--level", "bottom", "--nose-down", "left") == (
        0,
        VERSION
        | {
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
    refused("mounting", *faces)


def tilted(degrees: float) -> dict:
    from math import cos, radians, sin

    a = radians(degrees)
    nose = {"pose": "nose-down", "reading": [cos(a), sin(a), 0]}
    return {"poses": [{"pose": "level", "reading": [0, 0, 1]}, nose]}


@pytest.mark.parametrize(
    ("degrees", "code", "severity"), [(3, 0, None), (7, 0, "caution"), (15, 1, "stop")]
)
def test_mounting_by_readings(
    tmp_path: Path, degrees: float, code: int, severity: str | None
) -> None:
    path = write(tmp_path, "readings.json", tilted(degrees))
    found, document = answer("mounting", "--readings", path)
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
    assert refused("mounting", "--readings", path)["at"] == at


def test_bytes_that_are_not_utf8_are_refused(tmp_path: Path) -> None:
    path = tmp_path / "bytes.json"
    path.write_bytes(b'{"poses": "\xff"}')
    assert refused("mounting", "--readings", path)["at"] == "byte 11"
    assert refused("endpoints", path)["at"] == "byte 11"
