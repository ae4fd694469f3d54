"""Power states, and what comes first on a battery."""

import itertools

import pytest

from server.trade.power import (
    MOVES,
    POWERED,
    Act,
    Power,
    WrongMove,
    current_first,
    move,
    states_now,
)

SETTING = frozenset({Power.USB, Power.LIMITED})
EVERY = [frozenset(states) for n in range(1, 5) for states in itertools.combinations(Power, n)]


@pytest.mark.parametrize(("state", "act"), [*itertools.product(Power, Act)])
def test_every_pair_moves_or_says_what_is_possible(state, act):
    if act in MOVES[state]:
        assert move(state, act) is MOVES[state][act]
        return
    with pytest.raises(WrongMove) as wrong:
        move(state, act)
    assert wrong.value.possible == tuple(MOVES[state])


@pytest.mark.parametrize(("states", "on"), [*itertools.product(EVERY, sorted(POWERED))])
def test_nothing_is_recorded_on_a_battery_before_its_current(states, on):
    assert on not in states_now(states, "7.6")
    assert current_first(states, on, "7.6") or on not in states


@pytest.mark.parametrize(("states", "on"), [*itertools.product(EVERY, Power)])
def test_after_first_power_nothing_is_kept_back(states, on):
    assert states_now(states, "") == states
    assert current_first(states, on, "") is None


@pytest.mark.parametrize(("states", "on"), [*itertools.product(EVERY, Power)])
def test_what_needs_no_battery_is_kept_from_nothing_without_one(states, on):
    if on not in POWERED and not states <= POWERED:
        assert states_now(states, "7.6") == states - POWERED
        assert current_first(states, on, "7.6") is None


def test_the_reason_names_the_step_to_do_first():
    blocked = current_first(SETTING, Power.LIMITED, "7.6")
    assert blocked is not None
    assert "First power has not passed for this wiring" in blocked.says
    assert blocked.do == "Do step 7.6 first: read the current through the limiter."
