"""Order, direction and the verdict, against a simulated craft."""

from functools import cache
from itertools import permutations, product

import numpy as np
import pytest

from server.trade.motors.spin_findings import CAUSES
from server.trade.motors.spins import read_order, read_outputs, solve
from server.trade.motors.takeoff import Spin
from server.trade.solving import NoAnswer
from tests.craft import Flight, answers, column, fly

CORNERS = ("FL", "FR", "RL", "RR")
# Written out here, not taken from the module under test.
PLAN = {
    "props-in": {"FL": "cw", "FR": "ccw", "RL": "ccw", "RR": "cw"},
    "props-out": {"FL": "ccw", "FR": "cw", "RL": "cw", "RR": "ccw"},
}
EXPECT = {1: "FL", 2: "RR", 3: "RL", 4: "FR"}
OTHER = {"cw": "ccw", "ccw": "cw"}
# Which way each side lies: forward, and to the right.
SIDES = {
    "left side": (0, -1),
    "right side": (0, 1),
    "nose": (1, 0),
    "tail": (-1, 0),
    "front left corner": (1, -1),
    "front right corner": (1, 1),
    "rear left corner": (-1, -1),
    "rear right corner": (-1, 1),
}

# Every way to join four motors to four outputs, and every way to turn them.
CRAFT = [
    (order, turns, props)
    for props in PLAN
    for order in permutations(CORNERS)
    for turns in product(("cw", "ccw"), repeat=4)
]


def spun(order: tuple[str, ...], turns: tuple[str, ...], props: str, expect: dict | None = EXPECT):
    spins = [Spin(n, c, t) for n, (c, t) in enumerate(zip(order, turns, strict=True), start=1)]
    return solve(spins, props, expect)


def columns(order: tuple[str, ...], turns: tuple[str, ...], props: str) -> np.ndarray:
    fitted = PLAN[props]
    rows = [column(c, t, fitted[c]) for c, t in zip(order, turns, strict=True)]
    return np.array(rows).T


@cache
def flights(loop: bool, seconds: float) -> Flight:
    found = np.array([columns(*craft) for craft in CRAFT])
    right = tuple(EXPECT.values())
    planned = [columns(right, tuple(PLAN[props][c] for c in right), props) for _, _, props in CRAFT]
    return fly(found, np.array(planned), seconds, loop)


def test_exchange_and_reverse_give_the_wanted_craft() -> None:
    for order, turns, props in CRAFT:
        answer = spun(order, turns, props)
        motors = {
            answer.exchange.get(n, n): (c, OTHER[t] if n in answer.reverse else t)
            for n, (c, t) in enumerate(zip(order, turns, strict=True), start=1)
        }
        assert motors == {n: (corner, PLAN[props][corner]) for n, corner in EXPECT.items()}


def test_what_stays_is_not_named() -> None:
    for order, turns, props in CRAFT:
        answer = spun(order, turns, props)
        stay = {n for n, corner in enumerate(order, start=1) if EXPECT[n] == corner}
        assert set(answer.exchange) == {1, 2, 3, 4} - stay
        codes = {f.code for f in answer.findings}
        assert ("motor-order" in codes) == bool(answer.exchange)
        assert ("motor-direction" in codes) == bool(answer.reverse)


def test_the_verdict_is_ok_just_when_the_craft_holds() -> None:
    flight = flights(True, 1.5)
    # It holds: level and on its heading within 5°, at rest, and pushed up as planned.
    held = (
        (flight.tilt < np.radians(5))
        & (flight.swing < np.radians(5))
        & (np.abs(flight.rates).max(axis=1) < 0.05)
        & (flight.lift > 5.9)
    )
    judged = [spun(*craft).verdict.ok for craft in CRAFT]
    assert judged == held.tolist()
    assert sum(judged) == 2


def test_a_craft_said_to_flip_does() -> None:
    flight = flights(True, 1.5)
    for (order, turns, props), tilt in zip(CRAFT, flight.tilt, strict=True):
        says = spun(order, turns, props).verdict.says
        if "flip" in says:
            assert tilt > np.radians(20), (order, turns, says)
        if says.startswith("It would lift level"):
            assert tilt < np.radians(5)


def test_a_craft_said_to_spin_does() -> None:
    flight = flights(True, 1.5)
    for craft, rates in zip(CRAFT, flight.rates, strict=True):
        says = spun(*craft).verdict.says
        if says.startswith("It would spin"):
            assert abs(rates[2]) > np.radians(360), (craft, says)
        if says.startswith("It would spin to the"):
            assert ("right" in says) == (rates[2] > 0)


def test_only_a_right_craft_is_said_to_lift_level() -> None:
    for craft in CRAFT:
        judged = spun(*craft).verdict
        assert judged.says.startswith("It would lift level") == (judged.ok is True)


def test_the_first_tilt_is_to_the_side_it_says() -> None:
    flight = flights(False, 0.02)
    for (order, turns, props), rates in zip(CRAFT, flight.rates, strict=True):
        says = spun(order, turns, props).verdict.says
        roll, pitch = rates[0], rates[1]
        if "flip over its" in says and "nose or" not in says and "left or" not in says:
            assert ("left" in says.split(" at once")[0]) == (roll < -1e-9), says
            assert ("right" in says.split(" at once")[0]) == (roll > 1e-9), says
            assert any(w in says for w in ("rear", "tail")) == (pitch > 1e-9), says


def test_with_its_loop_closed_it_goes_over_the_side_it_says() -> None:
    """The pilot's view: within half a quadrant of the side that the verdict names."""
    flight, fallen = flights(True, 1.5), 0
    for craft, low in zip(CRAFT, flight.low, strict=True):
        judged = spun(*craft).verdict
        if not (judged.over and judged.lifts):
            continue
        towards = np.array(SIDES[judged.over]) / np.linalg.norm(SIDES[judged.over])
        assert low @ towards > np.cos(np.radians(45)) * np.linalg.norm(low), (craft, judged.over)
        assert f"over its {judged.over} at once" in judged.says
        fallen += 1
    assert fallen == 384  # half of all craft have a side with too little push


def test_axes_answer_a_correction_as_the_verdict_says() -> None:
    axes = ("roll", "pitch", "yaw")
    found = np.array([columns(*craft) for craft in CRAFT])
    right = tuple(EXPECT.values())
    planned = [columns(right, tuple(PLAN[props][c] for c in right), props) for _, _, props in CRAFT]
    for craft, answer in zip(CRAFT, answers(found, np.array(planned)), strict=True):
        judged = spun(*craft).verdict
        beside = np.abs(answer - np.diag(np.diag(answer))) > 0.1
        crossed = [a for n, a in enumerate(axes) if beside[n].any() or beside[:, n].any()]
        away = [a for n, a in enumerate(axes) if a not in crossed and answer[n, n] < -1e-9]
        assert (list(judged.crossed), list(judged.runs_away)) == (crossed, away), craft
        assert np.abs(np.array(judged.loop) - answer).max() < 1e-6


def test_turns_is_the_swing_with_all_outputs_alike() -> None:
    flight = flights(False, 0.02)
    for craft, rates in zip(CRAFT, flight.rates, strict=True):
        swing = "no" if abs(rates[2]) < 1e-9 else "right" if rates[2] > 0 else "left"
        assert spun(*craft).verdict.turns == swing


def test_lifts_is_the_push_of_all_outputs_alike() -> None:
    flight = flights(False, 0.02)
    for craft, lift in zip(CRAFT, flight.lift, strict=True):
        assert spun(*craft).verdict.lifts == (lift > 1e-9)


def test_without_an_order_only_directions_are_judged() -> None:
    for order, turns, props in CRAFT:
        answer = spun(order, turns, props, None)
        right = all(PLAN[props][c] == t for c, t in zip(order, turns, strict=True))
        assert answer.verdict.ok is (None if right else False)
        assert answer.exchange == {}
        assert {f.code for f in answer.findings} == (set() if right else {"motor-direction"})


def test_one_matched_motor_wrong_spins_the_craft() -> None:
    # The whole plan mixed up: every motor and propeller of the other plan is sound by itself.
    answer = solve(read_outputs("1=FL:ccw,2=RL:cw,3=RR:ccw,4=FR:cw"), "props-in")
    assert answer.verdict.as_json() == {
        "ok": False,
        "runs_away": ["roll", "pitch", "yaw"],
        "crossed": [],
        "turns": "no",
        "lifts": False,
        "says": "It would not lift: the propellers together do not push up.",
    }
    assert answer.reverse == (1, 2, 3, 4)
    assert answer.other_plan
    (finding,) = answer.findings
    assert finding.code == "motor-direction"
    # Which plan the craft is built for is asked before anything is reversed.
    assert finding.do.index("built props-out") < finding.do.index("everse outputs 1, 2, 3, 4")


def test_the_other_plan_is_named_just_when_all_four_fit_it() -> None:
    for order, turns, props in CRAFT:
        answer = spun(order, turns, props)
        fits = all(OTHER[PLAN[props][c]] == t for c, t in zip(order, turns, strict=True))
        assert answer.other_plan == fits
        if fits:
            other = next(plan for plan in PLAN if plan != props)
            assert solve(answers_as(order, turns), other, EXPECT).reverse == ()


def answers_as(order: tuple[str, ...], turns: tuple[str, ...]) -> list[Spin]:
    return [Spin(n, c, t) for n, (c, t) in enumerate(zip(order, turns, strict=True), start=1)]


def test_three_turned_round_and_one_silent_are_not_the_other_plan() -> None:
    answer = solve(read_outputs("1=FL:ccw,2=RL:cw,3=RR:ccw,4=FR:none"), "props-in")
    assert (answer.reverse, answer.other_plan) == ((1, 2, 3), False)


def test_the_worked_example_of_the_contract() -> None:
    found = read_outputs("1=FL:cw,2=RL:ccw,3=RR:cw,4=FR:ccw")
    answer = solve(found, "props-in", read_order("1=FL,2=RR,3=RL,4=FR")).as_json()
    says = answer["verdict"].pop("says")
    assert "roll and yaw are crossed" in says
    (finding,) = answer.pop("findings")
    assert (finding["code"], finding["severity"]) == ("motor-order", "stop")
    assert answer == {
        "table": {"1": "FL", "2": "RL", "3": "RR", "4": "FR"},
        "exchange": {"2": 3, "3": 2},
        "reverse": [],
        "other_plan": False,
        "dead": [],
        "doubled": [],
        "verdict": {
            "ok": False,
            "runs_away": [],
            "crossed": ["roll", "yaw"],
            "turns": "no",
            "lifts": True,
        },
    }


@pytest.mark.parametrize("entry", ["3=none", "3=RR:none"])
def test_a_dead_output_tips_towards_its_corner(entry: str) -> None:
    answer = solve(read_outputs(f"1=FL:cw,2=RL:ccw,{entry},4=FR:ccw"), "props-in")
    assert answer.dead == (3,)
    assert answer.table[3] == (None if entry == "3=none" else "RR")
    assert answer.verdict.ok is False
    assert "rear right corner" in answer.verdict.says
    assert answer.verdict.turns == "right"
    assert [(f.code, f.subject) for f in answer.findings] == [("motor-dead", "output 3")]


def test_a_dead_output_of_known_corner_is_exchanged_too() -> None:
    found = read_outputs("1=FL:cw,2=RL:none,3=RR:cw,4=FR:ccw")
    answer = solve(found, "props-in", EXPECT)
    assert answer.exchange == {2: 3, 3: 2}
    assert [f.code for f in answer.findings] == ["motor-dead", "motor-order"]


def test_two_outputs_on_one_corner_are_doubled() -> None:
    found = read_outputs("1=FL:cw,2=FL:cw,3=RR:cw,4=FR:ccw")
    answer = solve(found, "props-in", {1: "FL", 2: "FR", 3: "RL", 4: "RR"})
    assert answer.doubled == (1, 2)
    assert answer.verdict.ok is False
    # Which of the two drives the corner is not known, so neither is moved.
    assert answer.exchange == {3: 4, 4: 2}
    assert "motor-doubled" in [f.code for f in answer.findings]


def test_a_silent_output_is_not_doubled() -> None:
    found = read_outputs("1=FL:cw,2=FL:none,3=RR:cw,4=FR:ccw")
    answer = solve(found, "props-in", EXPECT)
    assert (answer.dead, answer.doubled, answer.exchange) == ((2,), (), {3: 2})


def test_nothing_turned_does_not_lift() -> None:
    answer = solve(read_outputs("1=none,2=none,3=none,4=none"), "props-in")
    assert answer.verdict.lifts is False
    assert answer.dead == (1, 2, 3, 4)


def test_outputs_up_to_eight_may_be_used() -> None:
    found = read_outputs("5=FL:cw,6=RR:cw,7=RL:ccw,8=FR:ccw")
    expect = read_order("5=FL,6=RR,7=RL,8=FR")
    assert solve(found, "props-in", expect).verdict.ok is True


def test_an_output_that_the_firmware_does_not_drive() -> None:
    found = read_outputs("1=FL:cw,2=RR:cw,3=RL:ccw,5=FR:ccw")
    answer = solve(found, "props-in", EXPECT)
    assert answer.exchange == {5: 4}
    assert answer.verdict.ok is False


@pytest.mark.parametrize(
    "text",
    [
        "",
        "1=FL:cw",
        "1=FL:cw,2=RL:ccw,3=RR:cw",
        "1=FL:cw,2=RL:ccw,3=RR:cw,4=FR:ccw,5=none",
        "1=FL:cw,1=RL:ccw,3=RR:cw,4=FR:ccw",
        "1=FL:cw,2=RL:ccw,3=RR:cw,9=FR:ccw",
        "1=FL:cw,2=RL:ccw,3=RR:cw,0=FR:ccw",
        "1=FL:cw,2=RL:ccw,3=RR:cw,4=FR",
        "1=FL:cw,2=RL:ccw,3=RR:cw,4=fr:ccw",
        "1=FL:cw,2=RL:ccw,3=RR:cw,4=FR:CW",
        "1=FL:cw,2=RL:ccw,3=RR:cw,4=none:cw",
        "1=FL:cw,2=RL:ccw,3=RR:cw,4",
        "1=FL:cw,2=RL:ccw,3=RR:cw,4=FR:ccw,",
        "1=FL:cw;2=RL:ccw;3=RR:cw;4=FR:ccw",
        "١=FL:cw,2=RL:ccw,3=RR:cw,4=FR:ccw",
    ],
)
def test_outputs_of_another_shape_are_refused(text: str) -> None:
    with pytest.raises(NoAnswer) as refused:
        solve(read_outputs(text), "props-in")
    assert refused.value.at == "outputs"


@pytest.mark.parametrize(
    "text",
    [
        "",
        "1=FL,2=RR,3=RL",
        "1=FL,2=RR,3=RL,4=RL",
        "1=FL,2=RR,3=RL,3=FR",
        "1=FL,2=RR,3=RL,9=FR",
        "1=FL,2=RR,3=RL,4=none",
        "1=FL:cw,2=RR,3=RL,4=FR",
    ],
)
def test_orders_of_another_shape_are_refused(text: str) -> None:
    with pytest.raises(NoAnswer) as refused:
        solve(read_outputs("1=FL:cw,2=RL:ccw,3=RR:cw,4=FR:ccw"), "props-in", read_order(text))
    assert refused.value.at == "expect"


def test_a_plan_that_is_none_is_refused() -> None:
    with pytest.raises(NoAnswer, match="props-in, props-out"):
        solve(read_outputs("1=FL:cw,2=RL:ccw,3=RR:cw,4=FR:ccw"), "props")


def test_a_turn_without_a_corner_is_refused() -> None:
    spins = [Spin(n, c, "cw") for n, c in enumerate((None, "FR", "RL", "RR"), start=1)]
    with pytest.raises(NoAnswer, match="has a corner"):
        solve(spins, "props-in")


@pytest.mark.parametrize("seen", ["dead", "doubled", "two", "stuttered"])
def test_causes_come_with_the_next_look(seen: str) -> None:
    causes = CAUSES[seen]
    assert len(causes) >= 3
    assert all(cause.cause.endswith(".") and cause.look.endswith(".") for cause in causes)
