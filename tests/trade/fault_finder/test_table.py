"""The fault finder's table holds together, and its data lead where a technician expects."""

import pytest

from server.trade.choices import SYMPTOMS as COUNTER
from server.trade.fault_finder import OTHER, TABLE, UNCLEAR, advise, listed, offered
from server.trade.fault_finder.conditions import CONDITIONS, met
from server.trade.power import POWERED
from tests import example_sheet
from tests.edits import edited, put

SYMPTOMS, CAUSES, CHECKS = (list(rows.values()) for rows in vars(TABLE).values())


def code(row):
    return row.code


def test_every_row_names_its_source_or_that_there_is_none():
    assert {row.source for row in (*SYMPTOMS, *CAUSES, *CHECKS)} == {"common practice, no source"}


def test_no_craft_is_left_alone_under_battery():
    left = [c.code for c in CHECKS if any("Carry" in line or "Leave" in line for line in c.do)]
    assert len(left) == 2
    assert all(TABLE.checks[code].states == {"usb"} for code in left)


@pytest.mark.parametrize("symptom", SYMPTOMS, ids=code)
def test_a_symptom_names_known_causes_by_the_hundred(symptom):
    assert symptom.weights.keys() <= TABLE.causes.keys()
    assert sum(symptom.weights.values()) == 100
    assert min(symptom.weights.values()) > 0
    assert set(symptom.words) <= COUNTER.keys()
    assert not symptom.only or symptom.only in CONDITIONS


def test_every_symptom_leaves_room_for_what_is_not_listed():
    assert all(2 <= s.weights[OTHER] <= 15 for s in SYMPTOMS)


def test_every_cause_belongs_to_a_symptom():
    assert {c for s in SYMPTOMS for c in s.weights} == TABLE.causes.keys()
    assert all(not c.only or c.only in CONDITIONS for c in CAUSES)


@pytest.mark.parametrize("check", CHECKS, ids=code)
def test_a_check_has_a_row_of_a_hundred_for_each_cause(check):
    rows = [check.usual, *check.given.values()]
    assert check.given.keys() <= TABLE.causes.keys() - {OTHER}
    assert {sum(row) for row in rows} == {100}
    assert {len(row) for row in rows} == {len(check.outcomes)}
    assert len(check.outcomes) > 1
    assert UNCLEAR not in check.outcomes
    assert set(check.of) <= TABLE.symptoms.keys()


@pytest.mark.parametrize("check", CHECKS, ids=code)
def test_no_answer_rules_out_what_is_not_listed(check):
    assert min(check.usual) > 0


@pytest.mark.parametrize("check", CHECKS, ids=code)
def test_a_check_under_battery_carries_its_hazard(check):
    assert check.states
    if check.states <= POWERED:
        assert check.hazard is not None
    assert isinstance(check.do, tuple), "one text, and no list of instructions"


def as_seen(cause, symptom):
    """Every check that is asked for the symptom, with what is seen most when that is the cause."""
    for check in CHECKS:
        if not check.of or symptom in check.of:
            row = dict(zip(check.outcomes, check.given.get(cause, check.usual), strict=True))
            yield check.code, max(row, key=row.get)


@pytest.mark.parametrize("symptom", SYMPTOMS, ids=code)
def test_every_listed_cause_is_found_by_its_own_answers(symptom):
    for cause in symptom.weights.keys() - {OTHER}:
        first = advise([symptom.code], dict(as_seen(cause, symptom.code)), {}).causes[0]
        assert first.cause.code == cause
        assert first.share > 0.5, cause


# First checks by hand: at the bench one listens to an ESC before one takes a craft apart, and an
# open battery lead is measured before any power. Common practice, no source.
FIRST = [
    ("no-motor", "esc-tones"),
    ("one-motor", "signal-contact"),
    ("no-arm", "arming-list"),
    ("flips", "spin-round"),
    ("no-usb", "usb-other-lead"),
    ("volts-wrong", "meter-against"),
    ("draws-much", "pack-leads-ohms"),
]


@pytest.mark.parametrize(("symptom", "check"), FIRST)
def test_the_first_check_is_the_one_of_the_trade(symptom, check):
    assert advise([symptom], {}, {}).checks[0].check.code == check


# What is left after a few answers. Common practice, no source.
ENDS = [
    ("no-motor", {"esc-tones": "silent", "pack-lead": "open"}, "no-pack-power"),
    ("no-motor", {"esc-tones": "waits", "motor-link-read": "unlike"}, "motor-link-unlike"),
    ("no-motor", {"esc-tones": "all", "arming-list": "throttle"}, "arming-barred"),
    ("one-motor", {"signal-contact": "open"}, "signal-lead-off"),
    (
        "one-motor",
        {"signal-contact": "own", "three-leads": "odd", "lead-to-frame": "open"},
        "motor-lead-off",
    ),
    (
        "one-motor",
        {"neighbour-motor": "same", "signal-contact": "own", "output-rows": "as-map"},
        "esc-channel-dead",
    ),
    ("flips", {"spin-round": "order"}, "motor-order"),
    ("flips", {"spin-round": "all-turn"}, "plan-unlike"),
    ("flips", {"spin-round": "right", "tilt-follows": "other"}, "mounting-untold"),
    ("no-arm", {"arming-list": "nothing", "arm-switch-read": "beside"}, "arm-range-wrong"),
    ("no-radio", {"receiver-light": "dark"}, "receiver-unpowered"),
    (
        "no-radio",
        {"receiver-light": "linked", "receiver-port": "yes", "receiver-protocol": "no"},
        "receiver-protocol-unlike",
    ),
    ("no-overlay", {"overlay-wires": "swapped"}, "overlay-swapped"),
    ("not-kept", {"ports-after-restart": "some"}, "port-cleared"),
    ("draws-much", {"pack-leads-ohms": "low", "bridges": "found"}, "short-solder"),
]


@pytest.mark.parametrize(("symptom", "answers", "cause"), ENDS)
def test_answers_lead_to_the_cause_of_the_trade(symptom, answers, cause):
    first = advise([symptom], answers, {}).causes[0]
    assert first.cause.code == cause
    assert first.share > 0.5


def possible(symptom, sheet):
    return {r.cause.code for r in advise([symptom], {}, {}, sheet).causes}


def test_overlay_causes_need_an_overlay_link():
    assert "overlay-port-off" in possible("no-overlay", example_sheet.sheet())
    sheet = edited(put("devices/video unit/links/0/in_use", False))
    assert possible("no-overlay", sheet) == {OTHER}
    assert "no-overlay" not in {s.code for s in offered(sheet)}
    assert "no-overlay" in {s.code for s in offered(example_sheet.sheet())}


def test_position_causes_need_a_position_unit():
    sheet = example_sheet.sheet()
    assert not met("position", sheet)
    assert "position-awaited" not in possible("no-arm", sheet)
    assert "position-awaited" in possible("no-arm", None)


def test_inversion_is_a_cause_for_an_inverted_protocol_alone():
    assert "inversion-wrong" not in possible("no-radio", example_sheet.sheet())
    sbus = edited(put("devices/receiver/links/0/set_to", "SBUS"))
    assert "inversion-wrong" in possible("no-radio", sbus)


def test_before_a_map_nothing_is_left_out():
    assert offered(None) == tuple(SYMPTOMS)
    assert all(met(name, None) for name in CONDITIONS)


def test_listed_causes_are_those_of_any_symptom():
    both = [c.code for c in listed(["stutter", "two-turn"])]
    assert {"motor-worn", "signal-forked", OTHER} <= set(both)
    assert both == [c for c in TABLE.causes if c in both]
