"""Spins, held faces, stick ranges and the arm switch, as the card judges them."""

from typing import Any

import pytest

from server.trade.card import BadAnswer, derive, gather, judge
from server.trade.card.text import tie
from tests import example_sheet

CARD = derive(example_sheet.sheet())
ORDER = {"motors/order": {"table": {"1": "FL", "2": "RR", "3": "RL", "4": "FR"}}}
# Props-in seen from above, FL and RR clockwise: common practice, no source.
TURN = {"FL": "cw", "FR": "ccw", "RL": "ccw", "RR": "cw"}
SPINS = CARD.step("motors/spins")


def tap(output: int, corner: str, turn: str | None = None) -> dict[str, Any]:
    return {
        "output": output, "seen": "turned", "corner": corner, "turn": turn or TURN[corner],
    }  # fmt: skip


RIGHT = [tap(1, "FL"), tap(2, "RR"), tap(3, "RL"), tap(4, "FR")]


def spun(*taps: dict[str, Any], so_far: dict[str, Any] | None = None):
    answer = gather(SPINS, taps)
    assert answer is not None
    return judge(SPINS, answer, ORDER if so_far is None else so_far)


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
        judge(SPINS, entry, ORDER)
    assert refused.value.field == field


def faced(level: str = "", nose: str = "", right: str = ""):
    given = {"level": level, "nose-down": nose, "right-down": right}
    return judge(CARD.step("level/faces"), {pose: face for pose, face in given.items() if face})


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
    assert refused.value.field == pair
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
    return judge(CARD.step("level/faces"), {"level_z": sign, "poses": poses})


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
    ]  # fmt: skip


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
        judge(CARD.step("level/faces"), {"level_z": "1", "poses": poses})
    assert refused.value.field == "readings.nose-down.y"


def test_a_face_that_is_none_is_refused() -> None:
    with pytest.raises(BadAnswer) as refused:
        faced("bottom", "belly")
    assert refused.value.field == "nose-down"
    with pytest.raises(BadAnswer):
        judge(CARD.step("level/faces"), {})


def sticks(**changed: tuple[object, object, object]) -> dict[str, Any]:
    readings = dict.fromkeys(("roll", "pitch", "yaw", "throttle"), (1000, 1500, 2000)) | changed
    rows = [(name, *(str(us) for us in three)) for name, three in readings.items()]
    return {
        "channels": [
            dict(zip(("channel", "low", "centre", "high"), row, strict=True)) for row in rows
        ]
    }


def ends(**changed: tuple[object, object, object]):
    return judge(CARD.step("radio/ends"), sticks(**changed))


@pytest.mark.parametrize(
    ("three", "expected"),
    [
        # Within 5 µs of 1500 at rest, within 10 µs of both ends: common practice, no source.
        ((1000, 1505, 2000), "pass"), ((1000, 1506, 2000), "fail"),
        ((1000, 1495, 2000), "pass"), ((1000, 1494, 2000), "fail"),
        ((1010, 1500, 2000), "pass"), ((1011, 1500, 2000), "fail"),
        ((990, 1500, 2000), "pass"), ((989, 1500, 2000), "fail"),
        ((1000, 1500, 1990), "pass"), ((1000, 1500, 1989), "fail"),
        ((1000, 1500, 2010), "pass"), ((1000, 1500, 2011), "fail"),
        ((2000, 1500, 1000), "fail"), ((1500, 1500, 2000), "fail"), ((0, 0, 0), "fail"),
    ],
)  # fmt: skip
def test_sticks_reach_their_ends_and_their_centre(three, expected) -> None:
    assert ends(roll=three).state == expected


def test_a_throttle_has_no_centre_to_rest_in() -> None:
    assert ends(throttle=(1000, 1530, 2000)).state == "pass"
    assert ends(throttle=(1000, 2100, 2000)).state == "fail"


def test_a_short_throw_says_what_to_set() -> None:
    # From 1118 µs to 1500 µs is 382 µs; 500 / 382 is 130.9 %.
    found = ends(throttle=(1118, 1500, 2000))
    assert found.says == tie("throttle: low 1118 µs is 108 µs over the limit.")
    assert tie("set the low end to 131 % and the high end to 100 %") in found.do
    assert found.found == tie("throttle 1118 / 1500 / 2000 µs")


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
        judge(CARD.step("radio/ends"), answer)
    assert refused.value.field == field


def test_channels_are_read_one_by_one_and_the_latest_counts() -> None:
    step = CARD.step("radio/ends")
    rows = sticks(roll=(975, 1500, 2000))["channels"]
    assert judge(step, rows[0]).found == tie("roll 975 / 1500 / 2000 µs")
    three = gather(step, rows[:3])
    assert three is not None
    assert (judge(step, three).state, judge(step, three).do) == ("more", "Read throttle.")
    again = rows[0] | {"low": "1000"}
    assert judge(step, gather(step, rows) or {}).state == "fail"
    assert judge(step, gather(step, [*rows, again]) or {}).passed
    # One entry for all of them counts as an entry for each.
    assert judge(step, gather(step, [{"channels": rows}, again]) or {}).passed


def push(stick: str, moved: str, way: str | None = "rose") -> dict[str, str]:
    return {"stick": stick, "moved": moved} | ({"way": way} if way else {})


OWN = [push(stick, stick) for stick in ("roll", "pitch", "yaw", "throttle")]


def pushed(*taps: dict[str, str]):
    step = CARD.step("radio/sticks")
    return judge(step, gather(step, [*OWN, *taps]) or {})


def test_sticks_pass_when_each_lifts_its_own_channel() -> None:
    assert pushed().passed
    found = judge(CARD.step("radio/sticks"), OWN[0])
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
        judge(step, gather(step, [answer]) or {})
    assert refused.value.field == field


def test_a_channel_twice_is_refused_and_a_missing_one_asked_for() -> None:
    answer = sticks()
    with pytest.raises(BadAnswer, match="given twice"):
        judge(CARD.step("radio/ends"), {"channels": [*answer["channels"], answer["channels"][0]]})
    assert judge(CARD.step("radio/ends"), {"channels": answer["channels"][:3]}).state == "more"
    with pytest.raises(BadAnswer):
        judge(CARD.step("radio/ends"), {"channels": []})


def watched(**changed: tuple[int, int]):
    spans = dict.fromkeys(("roll", "pitch", "yaw"), (1498, 1501)) | changed
    rows = [{"channel": c, "low": str(a), "high": str(b)} for c, (a, b) in spans.items()]
    return judge(CARD.step("radio/rest"), {"channels": rows})


@pytest.mark.parametrize(
    ("span", "expected"),
    [
        # Noise of 5 µs to either side, a middle within 5 µs of 1500: common practice, no source.
        ((1495, 1505), "pass"), ((1494, 1505), "fail"),
        ((1505, 1505), "pass"), ((1505, 1506), "fail"),
        ((1495, 1495), "pass"), ((1494, 1495), "fail"),
        ((1500, 1510), "pass"), ((1500, 1511), "fail"),
    ],
)  # fmt: skip
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
    off = watched(pitch=(1507, 1509))
    assert not off.result["causes"]
    assert tie("move the centre of pitch by -8 µs") in off.do


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
        judge(CARD.step("radio/rest"), {"channels": rows})
    assert refused.value.field == field


def lost(report: str = "in-time", **changed: str):
    did = dict.fromkeys(("roll", "pitch", "yaw", "throttle"), "rest") | changed
    return judge(CARD.step("radio/loss"), {"report": report, "channels": did})


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
        judge(CARD.step("radio/loss"), answer)
    assert refused.value.field == field


def switched(**readings: object):
    return judge(CARD.step("switches/arm"), readings)


def test_a_clear_switch_gets_its_range() -> None:
    found = switched(rest="1000", armed="2000", middle="1500", radio_off="1000")
    assert found.state == "pass"
    assert found.result["switches"][0]["range"] == {"low": 1750, "high": 2100}
    assert found.says == tie("Set arming to 1750 to 2100 µs: 250 µs of room.")


@pytest.mark.parametrize(("armed", "expected"), [("1050", "pass"), ("1049", "fail")])
def test_armed_keeps_fifty_microseconds_from_rest(armed, expected) -> None:
    # 25 µs on either side of the range's end.
    assert switched(rest="1000", armed=armed, radio_off="1000").state == expected


def test_a_receiver_that_holds_armed_is_refused() -> None:
    found = switched(rest="1000", armed="2000", radio_off="2000")
    assert found.state == "fail"
    assert "radio off" in found.says
    assert found.do


def test_a_board_that_shows_nothing_with_radio_off_says_so() -> None:
    found = switched(rest="1000", armed="2000", radio_off="none")
    assert found.state == "pass"
    assert "not known" in found.says


def test_radio_off_is_asked_for() -> None:
    with pytest.raises(BadAnswer) as refused:
        switched(rest="1000", armed="2000")
    assert refused.value.field == "radio_off"
