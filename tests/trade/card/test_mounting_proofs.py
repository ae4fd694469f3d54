"""What the evidence of the mounting's looks and readings is worth, against the example card."""

import pytest

from server.trade.card import BadAnswer, derive
from server.trade.card.text import tie
from tests import example_sheet
from tests.trade.card.judging import judged

CARD = derive(example_sheet.sheet())


def faced(level: str = "", nose: str = "", right: str = ""):
    given = {"level": level, "nose-down": nose, "right-down": right}
    return judged(CARD.step("level/faces"), {pose: face for pose, face in given.items() if face})


def test_the_same_face_three_times_passes() -> None:
    assert faced("bottom", "nose", "right").state == "pass"


def test_a_turned_board_says_what_to_set() -> None:
    # Level bottom with nose-down left: the board's arrow points at the craft's right, yaw +90.
    found = faced("bottom", "left", "nose")
    assert found.state == "fail"
    assert "roll 0°, pitch 0°, yaw 90°" in found.do
    assert (found.result["roll"], found.result["pitch"], found.result["yaw"]) == (0, 0, 90)


def test_faces_ask_for_the_next_pose() -> None:
    assert faced("bottom").do == "Hold the real craft nose down."
    assert faced("bottom", "nose").do == "Hold the real craft right side down."
    assert faced("bottom", "nose").state == "more"


@pytest.mark.parametrize(
    ("seen", "pair"),
    [
        (("bottom", "top"), "level, nose-down"),
        (("bottom", "nose", "top"), "level, right-down"),
        (("bottom", "nose", "nose"), "nose-down, right-down"),
        (("bottom", "nose", "left"), "right-down"),
    ],
)
def test_faces_that_no_board_can_give_are_refused(seen, pair) -> None:
    with pytest.raises(BadAnswer) as refused:
        faced(*seen)
    assert {field for field, _ in refused.value.faults} == set(pair.split(", "))
    assert "disagree" in refused.value.says


def test_the_result_says_how_the_board_lies_and_what_shows_after() -> None:
    found = faced("bottom", "left", "nose").result
    assert found["lies"] == "The board's arrow points to the right, its upper side up."
    assert found["check"] == {"level": "bottom", "nose-down": "left", "right-down": "nose"}
    assert found["after"] == {"level": "bottom", "nose-down": "nose", "right-down": "right"}
    assert found["alternatives"] == [{"roll": 180, "pitch": 180, "yaw": -90}]


@pytest.mark.parametrize(
    ("seen", "arrow", "upper"),
    # Worked by hand. On screen the craft's own sides are the board's: with the board turned over
    # along its arrow, its top is down when the craft lies flat.
    [
        (("top", "nose", "left"), "to the nose", "down"),
        (("bottom", "tail", "left"), "to the tail", "up"),
        (("nose", "top", "right"), "down", "to the nose"),
        (("right", "nose", "top"), "to the nose", "to the right"),
    ],
)
def test_the_words_for_a_seat_are_the_boards_own(seen, arrow, upper) -> None:
    says = faced(*seen).result["lies"]
    assert says == f"The board's arrow points {arrow}, its upper side {upper}."


def held(*rows: tuple[str, float, float, float], sign: str = "1"):
    poses = [{"pose": pose, "reading": [str(g) for g in xyz]} for pose, *xyz in rows]
    return judged(CARD.step("level/faces"), {"level_z": sign, "poses": poses})


# A board that lies as the craft does reads gravity along z, x and y in turn (x forward, y right,
# z down); cosine and sine of 7 and 12 degrees from tables.
SEVEN = (0.992546, 0.121869)
TWELVE = (0.978148, 0.207912)


def leaning(cosine: float, sine: float):
    """Readings of a board that is turned about z by an angle, to the right."""
    return [
        ("level", 0, 0, 1),
        ("nose-down", cosine, -sine, 0),
        ("right-down", sine, cosine, 0),
    ]


def test_readings_of_a_straight_board_pass() -> None:
    found = held(("level", 0, 0, 1), ("nose-down", 1, 0, 0))
    assert (found.state, found.result["residual_deg"]) == ("pass", 0)
    assert "0° off the nearest step of 45°, from 2 poses" in found.found
    assert held(("level", 0, 0, -1), ("nose-down", -1, 0, 0), sign="-1").state == "pass"


def test_a_board_off_by_seven_degrees_passes_with_a_caution() -> None:
    found = held(*leaning(*SEVEN))
    assert found.state == "pass"
    assert "sits 7.0° off" in found.says
    assert "seat the board square" in found.do


def test_a_board_off_by_twelve_degrees_is_not_rounded() -> None:
    found = held(*leaning(*TWELVE))
    assert found.state == "fail"
    assert "Nothing is rounded" in found.says
    assert tie("roll 0°, pitch 0°, yaw 12°") in found.says
    assert found.result["squared"] is False


def test_a_turned_board_is_read_off_its_sensor() -> None:
    # A board turned 90° about z reads (0, 1, 0) as specific force with the nose down (as in
    # tests/reference/test_attitude.py).
    rows = (("level", 0, 0, -1), ("nose-down", 0, 1, 0), ("right-down", -1, 0, 0))
    found = held(*rows, sign="-1")
    assert found.state == "fail"
    assert "yaw 90°" in found.do


@pytest.mark.parametrize(
    ("rows", "field"),
    [
        ([("level", 0, 0, 1)], "readings"),
        ([("level", 0, 0, 1), ("upside-down", 0, 0, -1)], "readings"),
        ([("level", 0, 0, 1), ("nose-down", 1.5, 0, 0)], "readings.nose-down"),
        ([("level", 0, 0, 1), ("nose-down", 0.3, 0, 0.95)], "readings.level"),
        ([("level", 0, 0, 1), ("tilted", 1, 0, 0)], "readings"),
    ],
)
def test_readings_that_give_nothing_are_refused(rows, field) -> None:
    with pytest.raises(BadAnswer) as refused:
        held(*rows)
    assert refused.value.field == field


def test_a_reading_that_is_no_number_is_refused_at_its_axis() -> None:
    poses = [
        {"pose": "level", "reading": ["0", "0", "1"]},
        {"pose": "nose-down", "reading": ["1", "", "0"]},
    ]
    with pytest.raises(BadAnswer) as refused:
        judged(CARD.step("level/faces"), {"level_z": "1", "poses": poses})
    assert refused.value.field == "readings.nose-down.y"


def test_a_face_that_is_none_is_refused() -> None:
    with pytest.raises(BadAnswer) as refused:
        faced("bottom", "belly")
    assert refused.value.field == "nose-down"
    with pytest.raises(BadAnswer):
        judged(CARD.step("level/faces"), {})
