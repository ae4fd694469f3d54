"""What answers are worth: each kind at its limits, from both sides, and out of shape."""

from dataclasses import replace
from typing import Any

import pytest

from server.trade.card import KINDS, BadAnswer, derive, merged
from server.trade.card.kinds.photo import Photo
from server.trade.card.text import tie
from server.trade.sheet import from_document
from tests import example_sheet
from tests.trade.card.judging import judged, together

CARD = derive(example_sheet.sheet())
CHOICES = [step for step in CARD.steps() if step.evidence.kind == "choice"]
DIGEST = "ab" * 32


def state(key: str, answer: dict[str, Any]) -> str:
    return judged(CARD.step(key), answer).state


def refusal(key: str, answer: dict[str, Any]) -> str:
    with pytest.raises(BadAnswer) as refused:
        judged(CARD.step(key), answer)
    assert refused.value.says.endswith(".")
    return refused.value.field


def test_every_kind_of_evidence_has_a_judge() -> None:
    asked = {step.evidence.kind for step in CARD.steps()}
    assert asked <= set(KINDS)
    assert len(asked) > 7


def test_a_tick_is_done_or_refused() -> None:
    assert state("level/flat", {"done": True}) == "pass"
    assert refusal("level/flat", {"done": False}) == "done"
    assert refusal("level/flat", {"done": "yes"}) == "done"
    assert refusal("level/flat", {}) == "done"
    assert refusal("level/flat", {"done": True, "note": "x"}) == "note"


@pytest.mark.parametrize("step", CHOICES, ids=lambda step: step.key)
def test_each_option_passes_or_says_what_to_do(step) -> None:
    options = step.evidence.options
    assert sum(option.passes for option in options) == 1
    for option in options:
        found = judged(step, {"choice": option.value})
        assert found.state == ("pass" if option.passes else "fail")
        assert found.says
        assert bool(found.do) == (not option.passes)


def test_only_no_propeller_passes() -> None:
    states = {n: state("before/propellers", {"choice": str(n)}) for n in range(5)}
    assert states == {0: "pass", 1: "fail", 2: "fail", 3: "fail", 4: "fail"}


def test_a_choice_that_is_not_offered_is_refused() -> None:
    assert refusal("radio/protocol", {"choice": "maybe"}) == "choice"
    assert refusal("radio/protocol", {"choice": None}) == "choice"
    assert refusal("radio/protocol", {"choice": ["held"]}) == "choice"


@pytest.mark.parametrize("typed", ["0.41", "0,41", " 0.41 ", "+0.41", 0.41])
def test_a_number_is_read_with_comma_or_point(typed) -> None:
    found = judged(CARD.step("motors/first-power"), {"values": {"amps": typed}})
    assert (found.state, found.found) == ("pass", tie("0.41 A"))
    assert found.result == {"values": {"amps": "0.41"}}


@pytest.mark.parametrize(
    "typed",
    [
        "",
        None,
        "0.41 A",
        "0.41A",
        "1e3",
        "nan",
        "inf",
        "0.4.1",
        "1,234.5",
        "٠٫٤",
        True,
        [],
        "1" * 30,
    ],
)
def test_what_is_no_plain_number_is_refused(typed) -> None:
    assert refusal("motors/first-power", {"values": {"amps": typed}}) == "values.amps"


def test_values_want_their_own_fields_only() -> None:
    assert refusal("motors/first-power", {}) == "values"
    assert refusal("motors/first-power", {"values": []}) == "values"
    assert (
        refusal("motors/first-power", {"values": {"amps": "0.4", "volts": "5"}}) == "values.volts"
    )


def test_too_much_current_says_by_how_much() -> None:
    found = judged(CARD.step("motors/first-power"), {"values": {"amps": "1.36"}})
    assert found.state == "fail"
    assert found.says == tie("Current at rest: 1.36 A is 0.25 A over the limit.")
    assert found.do.startswith("Unplug.")


def test_too_little_current_looks_for_a_dark_part() -> None:
    found = judged(CARD.step("motors/first-power"), {"values": {"amps": "0"}})
    assert found.says == tie("Current at rest: 0 A is 0.21 A under the limit.")
    assert "dark" in found.do


def test_a_tripped_limiter_is_an_answer_that_fails() -> None:
    found = judged(CARD.step("motors/first-power"), {"instead": "tripped"})
    assert (found.state, found.found) == ("fail", "the limiter tripped")
    assert found.do.startswith("Unplug.")
    assert refusal("motors/first-power", {"instead": "fine"}) == "instead"


@pytest.mark.parametrize(
    ("meter", "shown", "expected"),
    [
        # Shown within 0.1 V or 1 % of a meter: common practice, no source. 1 % of 22 V is 0.22 V.
        ("22.00", "22.22", "pass"),
        ("22.00", "22.23", "fail"),
        ("22.00", "21.78", "pass"),
        ("22.00", "21.77", "fail"),
        # The window of six LiPo cells: 19.8 to 25.2 V.
        ("19.8", "19.8", "pass"),
        ("19.79", "19.79", "fail"),
        ("25.2", "25.2", "pass"),
        ("25.21", "25.21", "fail"),
    ],
)
def test_the_battery_reading_follows_the_meter(meter, shown, expected) -> None:
    assert state("battery/volts", {"values": {"meter": meter, "shown": shown}}) == expected


@pytest.mark.parametrize(("shown", "expected"), [("8.5", "pass"), ("8.51", "fail")])
def test_on_a_small_pack_a_tenth_of_a_volt_holds(shown, expected) -> None:
    # 1 % of 8.4 V is 0.084 V, so that the 0.1 V is more.
    document = example_sheet.document()
    document["battery"]["cells"] = 2
    step = derive(from_document(document)).step("battery/volts")
    assert judged(step, {"values": {"meter": "8.4", "shown": shown}}).state == expected


def test_a_reading_that_is_off_gets_its_scale() -> None:
    # Indicated 24.6 V, true 25.2 V: x 1.02439 (Horowitz and Hill, ch. 1, from memory).
    found = judged(CARD.step("battery/volts"), {"values": {"meter": "25.2", "shown": "24.6"}})
    assert found.result["scale_factor"] == "1.02439"
    assert "1.0244" in found.do


def test_a_wrong_pack_gets_no_scale() -> None:
    found = judged(CARD.step("battery/volts"), {"values": {"meter": "16.8", "shown": "14"}})
    assert found.state == "fail"
    assert "scale_factor" not in found.result


def test_a_craft_that_shows_nothing_has_no_scale() -> None:
    found = judged(CARD.step("battery/volts"), {"values": {"meter": "24", "shown": "0"}})
    assert "measures the battery at all" in found.do
    assert "above zero" in found.do
    assert "scale_factor" not in found.result


def speeds(*rpm: str) -> dict[str, Any]:
    return {"values": {f"output-{n}": text for n, text in enumerate(rpm, 1)}}


def test_a_speed_that_stands_out_is_named() -> None:
    # Modified z-scores of these four: -1.01, 0.34, -0.34, 52.9; the limit is 3.5 (Iglewicz and
    # Hoaglin, ASQC vol. 16, 1993, as read in public texts).
    found = judged(CARD.step("motors/speeds"), speeds("1000", "1010", "1005", "1400"))
    assert found.state == "fail"
    assert found.says == tie("Output 4 stands out as fast: 1400 rpm.")
    assert found.result["scores"]["4"] == pytest.approx(52.948, abs=1e-3)
    (causes,) = found.result["likely"]
    assert causes["title"] == "Output 4 is the fast one"
    assert len(causes["rows"]) >= 3
    assert found.do.startswith(causes["rows"][0]["look"])


def test_a_slow_motor_has_causes_of_its_own() -> None:
    found = judged(CARD.step("motors/speeds"), speeds("1000", "620", "1005", "1010"))
    assert "Output 2 stands out as slow" in found.says
    assert "rubs" in found.result["likely"][0]["rows"][0]["cause"]


def test_speeds_alike_pass_and_a_still_motor_fails() -> None:
    assert state("motors/speeds", speeds("1000", "1010", "1005", "1003")) == "pass"
    found = judged(CARD.step("motors/speeds"), speeds("1000", "1010", "0", "1003"))
    assert found.state == "fail"
    assert "Speed of output 3" in found.says


def test_an_order_names_every_corner_once() -> None:
    table = {"1": "FL", "2": "RR", "3": "RL", "4": "FR"}
    found = judged(CARD.step("motors/order"), {"table": table})
    assert (found.state, found.found) == ("pass", "1 FL, 2 RR, 3 RL, 4 FR")
    assert refusal("motors/order", {"table": table | {"4": "RL"}}) == "table.4"
    assert refusal("motors/order", {"table": table | {"4": "front"}}) == "table.4"
    assert refusal("motors/order", {"table": {"1": "FL"}}) == "table.2"
    assert refusal("motors/order", {"table": table | {"5": "FL"}}) == "table.5"


def test_the_order_asks_for_the_outputs_in_use() -> None:
    document = example_sheet.document()
    for pad in document["board"]["pads"]:
        if pad["signal"] == "motor":
            pad["output"] += 4
    step = derive(from_document(document)).step("motors/order")
    assert step.evidence.outputs == (5, 6, 7, 8)


def test_a_file_is_kept_or_its_absence_explained() -> None:
    kept = judged(CARD.step("keep/settings"), {"attachment": DIGEST, "name": "as-found.txt"})
    assert (kept.state, kept.found) == ("pass", "as-found.txt")
    none = judged(CARD.step("keep/settings"), {"none": "The board was erased."})
    assert (none.state, none.found) == ("pass", "none: The board was erased.")
    assert refusal("keep/settings", {"none": "  "}) == "none"
    assert refusal("keep/settings", {"none": "x" * 301}) == "none"
    assert refusal("keep/settings", {"attachment": "ABC", "name": "x"}) == "attachment"
    assert refusal("keep/settings", {"attachment": DIGEST}) == "name"


def test_a_photo_is_kept_by_its_digest() -> None:
    step = replace(CARD.step("keep/settings"), evidence=Photo("The board from above"))
    kept = judged(step, {"attachment": DIGEST, "name": "board.jpg"})
    assert (kept.state, kept.found) == ("pass", "board.jpg")
    with pytest.raises(BadAnswer):
        judged(step, {"none": "no camera"})


def test_the_latest_entry_stands() -> None:
    step = CARD.step("motors/first-power")
    first, second = {"values": {"amps": "3"}}, {"values": {"amps": "0.4"}}
    assert together(step, [first, second]) == second
    assert merged(step, []) is None


def test_an_answer_that_is_no_mapping_is_refused() -> None:
    with pytest.raises(BadAnswer):
        judged(CARD.step("level/flat"), ["done"])  # type: ignore[arg-type]  # from outside


def test_a_judgement_goes_out_as_plain_values() -> None:
    found = judged(CARD.step("motors/first-power"), {"values": {"amps": "0.41"}})
    assert found.passed
    assert found.as_json() == {
        "state": "pass",
        "says": tie("0.41 A: within limits."),
        "do": "",
        "found": tie("0.41 A"),
        "result": {"values": {"amps": "0.41"}},
    }
