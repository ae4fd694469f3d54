"""The table of a ticket's moves, over every pair of act and state."""

import itertools

import pytest

from server.trade.ticket import (
    ACT_WORDS,
    CLOSED,
    MOVES,
    OFFERED,
    ON_A_BENCH,
    OPEN,
    STATE_WORDS,
    NotNow,
    State,
    TicketAct,
    after,
    allowed,
    possible,
)

# How the shop works, typed from docs/guide and not from the table: state by state, what a person
# can do. Common practice, no source.
CAN = {
    "waiting": "take hold pass-on return cancel",
    "bench": "take put-back hold pass-on return",
    "on-hold": "put-back end-hold pass-on return cancel",
    "to-sign": "take put-back hold pass-on sign return",
    "ready": "collect return",
    "collected": "",
    "returned": "",
    "cancelled": "",
}
PAIRS = list(itertools.product(TicketAct, State))


@pytest.mark.parametrize(("act", "state"), PAIRS)
def test_every_pair_moves_or_says_what_is_possible(act: TicketAct, state: State) -> None:
    if allowed(act, state):
        assert after(act, state) in State
        return
    with pytest.raises(NotNow) as no:
        after(act, state)
    assert f"is {STATE_WORDS[state]} and cannot be {ACT_WORDS[act][1]}" in str(no.value)
    for other in possible(state):
        assert ACT_WORDS[other][0] in no.value.do
    assert possible(state) or "Book the quad in again" in no.value.do


@pytest.mark.parametrize("state", State)
def test_a_person_can_do_what_the_shop_says(state: State) -> None:
    wanted = {word.replace("-", " ") for word in CAN[state].split()}
    assert set(map(str, possible(state))) == wanted


def test_nothing_leaves_a_closed_state() -> None:
    assert all(not allowed(act, state) for act in TicketAct for state in CLOSED)
    assert set(State) == CLOSED | OPEN
    assert not CLOSED & OPEN


def test_every_state_is_reached_from_booking_in() -> None:
    reached = {State.WAITING}
    while more := {to for m in MOVES.values() for at, to in m.items() if at in reached} - reached:
        reached |= more
    assert reached == set(State)


def test_only_what_is_ready_is_collected_and_only_a_signature_makes_it_ready() -> None:
    assert MOVES[TicketAct.COLLECT] == {State.READY: State.COLLECTED}
    makers = {act for act, moves in MOVES.items() if State.READY in moves.values()}
    assert makers == {TicketAct.SIGN}
    assert set(MOVES[TicketAct.SIGN]) == {State.TO_SIGN}


def test_the_card_moves_a_ticket_between_bench_and_signature_alone() -> None:
    for act in set(TicketAct) - set(OFFERED):
        assert set(MOVES[act]) == ON_A_BENCH
        assert set(MOVES[act].values()) <= ON_A_BENCH


def test_every_act_and_state_has_its_words() -> None:
    assert set(STATE_WORDS) == set(State)
    assert set(ACT_WORDS) == set(MOVES) == set(TicketAct)


def test_a_state_that_is_none_is_refused() -> None:
    with pytest.raises(ValueError, match="held"):
        after(TicketAct.TAKE, "held")
