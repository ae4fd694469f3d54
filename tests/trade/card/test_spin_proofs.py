"""What the evidence of the spins is worth, against the example card."""

from typing import Any

import pytest

from server.trade.card import BadAnswer, derive
from tests import example_sheet
from tests.trade.card.judging import judged, together

CARD = derive(example_sheet.sheet())
ORDER = {"motors/order": {"table": {"1": "FL", "2": "RR", "3": "RL", "4": "FR"}}}
# Props-in seen from above, FL and RR clockwise: common practice, no source.
TURN = {"FL": "cw", "FR": "ccw", "RL": "ccw", "RR": "cw"}
SPINS = CARD.step("motors/spins")


def tap(output: int, corner: str, turn: str | None = None) -> dict[str, Any]:
    return {
        "output": output,
        "seen": "turned",
        "corner": corner,
        "turn": turn or TURN[corner],
    }


RIGHT = [tap(1, "FL"), tap(2, "RR"), tap(3, "RL"), tap(4, "FR")]


def spun(*taps: dict[str, Any], so_far: dict[str, Any] | None = None):
    answer = together(SPINS, taps)
    assert answer is not None
    return judged(SPINS, answer, ORDER if so_far is None else so_far)


def test_four_right_motors_pass() -> None:
    found = spun(*RIGHT)
    assert (found.state, found.found) == ("pass", "all four right")


@pytest.mark.parametrize("count", [1, 2, 3])
def test_spins_ask_for_the_next_output(count) -> None:
    found = spun(*RIGHT[:count])
    assert found.state == "more"
    assert found.do == f"Spin output {count + 1}."
    assert "FL clockwise" in found.found


def test_exchanged_outputs_are_named_with_what_they_drive() -> None:
    found = spun(tap(1, "FL"), tap(2, "RL"), tap(3, "RR"), tap(4, "FR"))
    assert found.state == "fail"
    assert found.result["exchange"] == {"2": 3, "3": 2}
    assert "output" in found.do


def test_a_motor_against_the_plan_is_to_be_reversed() -> None:
    found = spun(*RIGHT[:3], tap(4, "FR", "cw"))
    assert found.state == "fail"
    assert found.result["reverse"] == [4]


@pytest.mark.parametrize(
    ("seen", "says"),
    [
        ("nothing", "Nothing turned on output 3."),
        ("stuttered", "The motor on output 3 stuttered."),
        ("two", "Output 3 turned two motors."),
    ],
)
def test_a_motor_that_did_otherwise_is_told_apart(seen, says) -> None:
    found = spun(*RIGHT[:2], RIGHT[3], {"output": 3, "seen": seen})
    assert found.state == "fail"
    assert found.says.startswith(says)
    (causes,) = found.result["likely"]
    assert causes["title"].startswith("Output 3: ")
    assert found.do.startswith(causes["rows"][0]["look"])
    assert found.result["dead"] == ([3] if seen == "nothing" else [])


def test_an_output_that_turns_two_gives_no_verdict() -> None:
    found = spun(*RIGHT[:2], RIGHT[3], {"output": 3, "seen": "two"})
    assert found.says.endswith("not worked out: output 3 turned two motors.")
    assert (found.result["pushes"], found.result["loop"]) == ({}, [])
    assert found.result["verdict"]["ok"] is False


def test_doubled_outputs_list_their_causes() -> None:
    found = spun(*RIGHT[:3], tap(4, "RL"))
    (causes,) = found.result["likely"]
    assert causes["title"].startswith("Outputs 3 and 4: ")
    assert len(causes["rows"]) >= 3


def test_only_what_changed_is_to_be_spun_again() -> None:
    # Outputs 2 and 3 exchanged: 1 and 4 stay as they were seen.
    found = spun(tap(1, "FL"), tap(2, "RL"), tap(3, "RR"), tap(4, "FR"))
    assert found.result["again"] == [2, 3]
    assert found.do.endswith("Then spin outputs 2 and 3 again; outputs 1 and 4 stay as recorded.")
    found = spun(*RIGHT[:3], tap(4, "FR", "cw"))
    assert found.result["again"] == [4]
    assert found.do.endswith("Then spin output 4 again; outputs 1, 2 and 3 stay as recorded.")
    assert spun(*RIGHT).result["again"] == []


def test_a_round_again_is_judged_at_its_end() -> None:
    wrong = [tap(1, "FL"), tap(2, "RL"), tap(3, "RR"), tap(4, "FR")]
    half = spun(*wrong, tap(2, "RR") | {"again": [3]})
    assert (half.state, half.do) == ("more", "Spin output 3 again.")
    assert half.result["again"] == [3]
    assert spun(*wrong, tap(2, "RR") | {"again": [3]}, tap(3, "RL")).state == "pass"
    assert spun(*wrong, tap(2, "RR") | {"again": [3]}, tap(3, "RR")).state == "fail"


def test_the_page_gets_what_the_picture_needs() -> None:
    # FR turns against its propeller: it pushes down, half as hard (common practice, no source).
    found = spun(*RIGHT[:3], tap(4, "FR", "cw"))
    assert found.result["pushes"] == {"FL": 1, "FR": -0.5, "RL": 1, "RR": 1}
    assert found.result["over"] == "front right corner"
    assert [len(row) for row in found.result["loop"]] == [3, 3, 3]
    assert spun(*RIGHT).result["loop"] == [[1, 0, 0], [0, 1, 0], [0, 0, 1]]


def test_the_latest_tap_of_an_output_counts() -> None:
    wrong = tap(4, "FR", "cw")
    assert spun(*RIGHT[:3], wrong, RIGHT[3]).state == "pass"
    assert spun(*RIGHT, wrong).state == "fail"


def test_without_the_firmwares_order_nothing_is_decided() -> None:
    found = spun(*RIGHT, so_far={})
    assert found.state == "more"
    assert "order" in found.do
    stale = {"motors/order": {"table": {"5": "FL", "6": "RR", "7": "RL", "8": "FR"}}}
    assert spun(*RIGHT, so_far=stale).state == "more"


def test_a_changed_order_changes_the_judgement() -> None:
    other = {"motors/order": {"table": {"1": "FL", "2": "RL", "3": "RR", "4": "FR"}}}
    assert spun(*RIGHT, so_far=other).state == "fail"


@pytest.mark.parametrize(
    ("entry", "field"),
    [
        ({"output": 9, "seen": "nothing"}, "output"),
        ({"output": None, "seen": "nothing"}, "output"),
        ({"seen": "nothing"}, "output"),
        ({"output": 1, "seen": "burnt"}, "seen"),
        ({"output": 1, "seen": "turned"}, "corner"),
        ({"output": 1, "seen": "turned", "corner": "FL"}, "turn"),
        ({"output": 1, "seen": "turned", "corner": "FL", "turn": "left"}, "turn"),
        ({"output": 1, "seen": "nothing", "corner": "FL"}, "corner"),
        ({"output": 1, "seen": "nothing", "why": "?"}, "why"),
        ({"spins": "all"}, "spins"),
        ({"output": 1, "seen": "nothing", "again": "2"}, "again"),
        ({"output": 1, "seen": "nothing", "again": [9]}, "again"),
    ],
)
def test_a_tap_of_another_shape_is_refused(entry, field) -> None:
    with pytest.raises(BadAnswer) as refused:
        judged(SPINS, entry, ORDER)
    assert refused.value.field == field
