"""The card as values: look-ups, JSON, and the words that stand on it."""

import json
import re

import pytest

from server.trade.card import DEFERENCE, NoSuchStep, derive
from server.trade.power import POWERED, Power
from tests import example_sheet
from tests.trade.card import fitted

CARD = derive(example_sheet.sheet())
FITTED = derive(fitted.sheet())
STEPS = list(FITTED.steps())

# What no page, sheet or log of a repair shop may claim, and what good manners of text leave out.
BANNED = re.compile(
    r"\b(legal|certified|approved|airworthy|ready to fly|please|successfully|danger)\b|!", re.I
)
IDS = [step.key for step in STEPS]


def test_steps_are_found_by_their_key() -> None:
    assert CARD.step("ports/UART1").number == "4.1"


def test_a_missing_key_is_named() -> None:
    with pytest.raises(NoSuchStep, match="ports/UART9"):
        CARD.step("ports/UART9")


def test_a_card_goes_through_json_unchanged() -> None:
    printed = CARD.as_json()
    assert json.loads(json.dumps(printed, allow_nan=False)) == printed


def test_a_card_ends_in_deference_to_rules_and_makers() -> None:
    ending = CARD.as_json()["ends_with"]
    assert ending == DEFERENCE
    assert all(words in ending for words in ("shop's own rules", "maker's sheet", "the law"))


def test_keys_are_safe_in_an_address() -> None:
    assert all(re.fullmatch(r"[A-Za-z0-9~/-]+", key) for key in IDS)
    assert len(set(IDS)) == len(IDS)


@pytest.mark.parametrize("step", STEPS, ids=IDS)
def test_every_step_says_all_that_a_step_says(step) -> None:
    assert step.title
    assert step.target
    assert step.why
    assert step.source
    assert step.do
    assert step.states


@pytest.mark.parametrize("step", STEPS, ids=IDS)
def test_no_step_claims_or_coaxes(step) -> None:
    assert BANNED.search(json.dumps(step.as_json(), ensure_ascii=False)) is None


def test_the_check_of_words_sees_one() -> None:
    assert BANNED.search("This craft is ready to fly")


@pytest.mark.parametrize("step", STEPS, ids=IDS)
def test_instructions_are_one_sentence_a_line(step) -> None:
    for line in step.do:
        assert line.endswith(".")
        assert ". " not in line


@pytest.mark.parametrize("step", STEPS, ids=IDS)
def test_numbers_never_part_from_their_unit(step) -> None:
    shown = (step.title, *step.do, step.target, step.why, step.hazard.says if step.hazard else "")
    assert not any(re.search(r"\d (A|V|s|µs|%|baud|Hz|rpm|°)(?!\w)", words) for words in shown)


@pytest.mark.parametrize("step", STEPS, ids=IDS)
def test_a_step_that_needs_a_battery_names_its_hazard(step) -> None:
    assert step.needs_battery == (not step.states & {Power.COLD, Power.USB})
    if step.needs_battery:
        assert step.states <= POWERED
        assert step.hazard is not None


@pytest.mark.parametrize("step", STEPS, ids=IDS)
def test_hazards_speak_the_standard_signal_words(step) -> None:
    # ANSI Z535.4: WARNING, CAUTION, NOTICE. DANGER (death or injury certain) is not used here.
    if step.hazard:
        assert step.hazard.word in {"WARNING", "CAUTION", "NOTICE"}


def test_motors_turn_only_under_a_warning() -> None:
    turning = [step for step in STEPS if step.evidence.kind == "spins"]
    assert {step.key for step in turning} == {"motors/spins", "check/spins"}
    for step in turning:
        assert step.states == {Power.BATTERY}
        assert step.hazard is not None
        assert step.hazard.word == "WARNING"
        assert "propeller" in step.hazard.says


def test_first_power_goes_through_the_limiter_only() -> None:
    step = FITTED.step("motors/first-power")
    assert step.states == {Power.LIMITED}
    assert step.hazard is not None
    assert step.hazard.word == "WARNING"


def test_nothing_needs_a_battery_before_first_power() -> None:
    keys = [step.key for step in STEPS if step.needs_battery]
    assert keys[0] == "motors/first-power"
    later = [FITTED.step(key) for key in keys[1:]]
    assert all(set(step.after) & set(keys) for step in later)


def test_what_comes_first_stands_earlier_on_the_card() -> None:
    for step in STEPS:
        for key in (*step.after, *step.reads):
            assert IDS.index(key) < IDS.index(step.key)
