"""What the evidence of sticks and the radio's loss is worth, against the example card."""

from typing import Any

import pytest

from server.trade.card import BadAnswer, derive
from server.trade.card.text import tie
from tests import example_sheet
from tests.trade.card.judging import judged, together

CARD = derive(example_sheet.sheet())


def sticks(**changed: tuple[object, object, object]) -> dict[str, Any]:
    readings = dict.fromkeys(("roll", "pitch", "yaw", "throttle"), (1000, 1500, 2000)) | changed
    rows = [(name, *(str(us) for us in three)) for name, three in readings.items()]
    return {
        "channels": [
            dict(zip(("channel", "low", "centre", "high"), row, strict=True)) for row in rows
        ]
    }


def ends(**changed: tuple[object, object, object]):
    return judged(CARD.step("radio/ends"), sticks(**changed))


@pytest.mark.parametrize(
    ("three", "expected"),
    [
        # Within 10 µs of 1500; ends reached, or up to 60 µs beyond: common practice, no source.
        ((988, 1500, 2012), "pass"),
        ((1000, 1510, 2000), "pass"),
        ((1000, 1511, 2000), "fail"),
        ((1000, 1490, 2000), "pass"),
        ((1000, 1489, 2000), "fail"),
        ((1010, 1500, 2000), "pass"),
        ((1011, 1500, 2000), "fail"),
        ((940, 1500, 2000), "pass"),
        ((939, 1500, 2000), "fail"),
        ((1000, 1500, 1990), "pass"),
        ((1000, 1500, 1989), "fail"),
        ((1000, 1500, 2060), "pass"),
        ((1000, 1500, 2061), "fail"),
        ((2000, 1500, 1000), "fail"),
        ((1500, 1500, 2000), "fail"),
        ((0, 0, 0), "fail"),
    ],
)
def test_sticks_reach_their_ends_and_their_centre(three, expected) -> None:
    assert ends(roll=three).state == expected


def test_a_throttle_has_no_centre_to_rest_in() -> None:
    assert ends(throttle=(1000, 1530, 2000)).state == "pass"
    assert ends(throttle=(1000, 2100, 2000)).state == "fail"


def test_a_short_throw_says_what_to_set() -> None:
    # From 1118 µs to 1500 µs is 382 µs; 500 / 382 is 130.9 %.
    found = ends(throttle=(1118, 1500, 2000))
    assert found.says == tie("throttle: low 1118 µs is 108 µs over the limit.")
    assert tie("on throttle: set the low end to 131 % of the present throw") in found.do
    # The high end reaches, so nobody is asked to change it.
    assert "high end" not in found.do
    assert found.found == tie("throttle 1118 / 1500 / 2000 µs")


def test_an_end_that_reaches_is_left_alone() -> None:
    # From 1100 to 1508 µs is 408 µs; 500 / 408 is 122.5 %, which puts the low end at 1008 µs.
    found = ends(roll=(1100, 1508, 2012), yaw=(988, 1500, 2012))
    assert found.do == tie(
        "In the radio, on roll: set the low end to 123 % of the present throw, and read it again."
    )
    assert found.result["asked"] == {"roll": ["low"]}
    # A centre that has to move takes both ends along.
    moved = ends(roll=(1000, 1520, 2000))
    assert moved.result["asked"] == {"roll": ["low", "centre", "high"]}


@pytest.mark.parametrize(
    ("row", "field"),
    [
        ({"channel": "roll", "low": "1000", "centre": "", "high": "2000"}, "channels.roll.centre"),
        ({"channel": "roll", "low": "1,118", "centre": "1500", "high": "2"}, "channels.roll.low"),
        ({"channel": "roll", "low": "-1", "centre": "1500", "high": "2"}, "channels.roll.low"),
        ({"channel": "roll", "low": "5001", "centre": "1500", "high": "2"}, "channels.roll.low"),
        ({"channel": "flaps", "low": "1000", "centre": "1500", "high": "2000"}, "channels"),
    ],
)
def test_a_reading_of_another_shape_is_refused(row, field) -> None:
    answer = sticks()
    answer["channels"][0] = row
    with pytest.raises(BadAnswer) as refused:
        judged(CARD.step("radio/ends"), answer)
    assert refused.value.field == field


def test_channels_are_read_one_by_one_and_the_latest_counts() -> None:
    step = CARD.step("radio/ends")
    rows = sticks(roll=(935, 1500, 2000))["channels"]
    assert judged(step, rows[0]).found == tie("roll 935 / 1500 / 2000 µs")
    three = together(step, rows[:3])
    assert three is not None
    assert (judged(step, three).state, judged(step, three).do) == ("more", "Read throttle.")
    again = rows[0] | {"low": "1000"}
    assert judged(step, together(step, rows)).state == "fail"
    assert judged(step, together(step, [*rows, again])).passed
    # One entry for all of them counts as an entry for each.
    assert judged(step, together(step, [{"channels": rows}, again])).passed


def push(stick: str, moved: str, way: str | None = "rose") -> dict[str, str]:
    return {"stick": stick, "moved": moved} | ({"way": way} if way else {})


OWN = [push(stick, stick) for stick in ("roll", "pitch", "yaw", "throttle")]


def pushed(*taps: dict[str, str]):
    step = CARD.step("radio/sticks")
    return judged(step, together(step, [*OWN, *taps]))


def test_sticks_pass_when_each_lifts_its_own_channel() -> None:
    assert pushed().passed
    found = judged(CARD.step("radio/sticks"), OWN[0])
    assert (found.state, found.do) == ("more", "Push the pitch stick forward, away from you.")


def test_crossed_and_reversed_sticks_say_what_to_set() -> None:
    found = pushed(push("roll", "yaw"), push("yaw", "roll"), push("pitch", "pitch", "fell"))
    assert found.state == "fail"
    assert "roll where yaw is sent now and yaw where roll is sent now" in found.do
    assert "Reverse pitch in the radio" in found.do
    # By hand: where the board expects A, E, T, R the radio sends R, E, T, A.
    assert found.result["orders"]["AETR"] == "RETA"


def test_a_stick_that_moves_nothing_or_several_fails() -> None:
    assert "moves no channel" in pushed(push("yaw", "nothing", None)).says
    assert "moves several channels" in pushed(push("yaw", "several", None)).says
    two = pushed(push("yaw", "roll"))
    assert "yaw on a channel of its own" in two.do
    assert two.result["orders"] == {}


@pytest.mark.parametrize(
    ("answer", "field"),
    [
        ({}, "stick"),
        ({"stick": "flaps"}, "stick"),
        ({"stick": "roll"}, "moved"),
        ({"stick": "roll", "moved": "flaps"}, "moved"),
        ({"stick": "roll", "moved": "yaw"}, "way"),
        ({"stick": "roll", "moved": "yaw", "way": "up"}, "way"),
        ({"stick": "roll", "moved": "nothing", "way": "rose"}, "way"),
        ({"stick": "roll", "moved": "nothing", "x": 1}, "x"),
        ({"sticks": 5}, "sticks"),
        ({"sticks": [5]}, "sticks"),
    ],
)
def test_a_push_of_another_shape_is_refused(answer: Any, field: str) -> None:
    step = CARD.step("radio/sticks")
    with pytest.raises(BadAnswer) as refused:
        judged(step, together(step, [answer]))
    assert refused.value.field == field


def test_a_channel_twice_is_refused_and_a_missing_one_asked_for() -> None:
    answer = sticks()
    with pytest.raises(BadAnswer, match="given twice"):
        judged(CARD.step("radio/ends"), {"channels": [*answer["channels"], answer["channels"][0]]})
    assert judged(CARD.step("radio/ends"), {"channels": answer["channels"][:3]}).state == "more"
    with pytest.raises(BadAnswer):
        judged(CARD.step("radio/ends"), {"channels": []})


def watched(**changed: tuple[int, int]):
    spans = dict.fromkeys(("roll", "pitch", "yaw"), (1498, 1501)) | changed
    rows = [{"channel": c, "low": str(a), "high": str(b)} for c, (a, b) in spans.items()]
    return judged(CARD.step("radio/rest"), {"channels": rows})


@pytest.mark.parametrize(
    ("span", "expected"),
    [
        # Noise of 5 µs to either side, a middle within 10 µs of 1500: common practice, no source.
        ((1495, 1505), "pass"),
        ((1494, 1505), "fail"),
        ((1510, 1510), "pass"),
        ((1510, 1511), "fail"),
        ((1490, 1490), "pass"),
        ((1489, 1490), "fail"),
        ((1505, 1515), "pass"),
        ((1505, 1516), "fail"),
    ],
)
def test_a_stick_at_rest_is_quiet_and_in_the_middle(span, expected) -> None:
    assert watched(yaw=span).state == expected


def test_a_quiet_stick_gets_its_deadband() -> None:
    found = watched(roll=(1500, 1500), pitch=(1497, 1504))
    # One over the furthest from 1500: 0, 4 and 2 µs.
    assert tie("roll 1 µs, pitch 5 µs and yaw 3 µs") in found.says
    assert found.found.endswith(tie("deadband 1 / 5 / 3 µs"))


def test_noise_has_causes_and_a_shifted_middle_a_trim() -> None:
    noisy = watched(roll=(1490, 1510))
    assert noisy.result["causes"]
    assert tie("roll moves by 20 µs") in noisy.says
    off = watched(pitch=(1511, 1513))
    assert not off.result["causes"]
    assert tie("move the centre of pitch by -12 µs") in off.do


@pytest.mark.parametrize(
    ("rows", "field"),
    [
        (None, "channels"),
        ([], "channels.roll.low"),
        ([{"channel": "throttle", "low": "1000", "high": "1001"}], "channels"),
        ([{"channel": "roll", "low": "1501", "high": "1500"}], "channels.roll.high"),
        ([{"channel": "roll", "low": "1500.5", "high": "1501"}], "channels.roll.low"),
        ([{"channel": "roll", "low": "1500", "high": "1501", "x": 1}], "channels.roll.x"),
        ([{"channel": "roll", "low": "1", "high": "2"}] * 2, "channels.roll"),
    ],
)
def test_a_rest_of_another_shape_is_refused(rows: Any, field: str) -> None:
    with pytest.raises(BadAnswer) as refused:
        judged(CARD.step("radio/rest"), {"channels": rows})
    assert refused.value.field == field


def lost(report: str = "in-time", **changed: str):
    did = dict.fromkeys(("roll", "pitch", "yaw", "throttle"), "rest") | changed
    return judged(CARD.step("radio/loss"), {"report": report, "channels": did})


def test_a_loss_that_is_seen_in_time_passes() -> None:
    assert lost().passed
    assert lost(roll="nothing", throttle="nothing").passed


@pytest.mark.parametrize(
    ("report", "did", "says"),
    [
        ("late", {}, "reported the loss later"),
        ("never", {}, "reported nothing"),
        ("in-time", {"roll": "stayed"}, "Roll stays where the hand left it."),
        ("in-time", {"roll": "stayed", "yaw": "stayed"}, "Roll and yaw stay where the hand left"),
        ("in-time", {"throttle": "elsewhere"}, "Throttle goes above low."),
        ("in-time", {"pitch": "elsewhere"}, "Pitch goes elsewhere."),
    ],
)
def test_what_is_lost_late_or_held_fails(report: str, did: dict[str, str], says: str) -> None:
    found = lost(report, **did)
    assert found.state == "fail"
    assert says in found.says
    assert "end its frames" in found.do  # CRSF: the frames stop (protocol specification, 0x16)


@pytest.mark.parametrize(
    ("answer", "field"),
    [
        ({"report": "in-time"}, "channels"),
        ({"report": "in-time", "channels": {"roll": "rest"}}, "channels.pitch"),
        ({"report": "in-time", "channels": {"flaps": "rest"}}, "channels.flaps"),
        (
            {
                "report": "soon",
                "channels": dict.fromkeys(("roll", "pitch", "yaw", "throttle"), "rest"),
            },
            "report",
        ),
    ],
)
def test_a_loss_of_another_shape_is_refused(answer: Any, field: str) -> None:
    with pytest.raises(BadAnswer) as refused:
        judged(CARD.step("radio/loss"), answer)
    assert refused.value.field == field
