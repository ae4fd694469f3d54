"""Power states, and the moves between them."""

import itertools

import pytest

from server.trade.power import (
    MOVES,
    Act,
    Power,
    WrongMove,
    move,
)


@pytest.mark.parametrize(("state", "act"), [*itertools.product(Power, Act)])
def test_every_pair_moves_or_says_what_is_possible(state, act):
    if act in MOVES[state]:
        assert move(state, act) is MOVES[state][act]
        return
    with pytest.raises(WrongMove) as wrong:
        move(state, act)
    assert wrong.value.possible == tuple(MOVES[state])
