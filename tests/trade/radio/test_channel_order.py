"""Crossed and reversed channels, against every radio and every board there can be."""

from itertools import permutations

import pytest

from server.trade.radio.channel_order import SEVERAL, Moved, new_order, sort_out

# Aileron, elevator, throttle, rudder: common practice, no source. Typed here apart from the module.
STICK = {"A": "roll", "E": "pitch", "T": "throttle", "R": "yaw"}
ORDERS = ["".join(order) for order in permutations("AETR")]


def seen(radio: str, board: str) -> dict[str, str]:
    """A radio that sends its sticks in one order, read by a board that expects another."""
    return {STICK[sent]: STICK[taken] for sent, taken in zip(radio, board, strict=True)}


@pytest.mark.parametrize("radio", ORDERS)
@pytest.mark.parametrize("board", ORDERS)
def test_the_new_order_is_the_radios_own(radio: str, board: str) -> None:
    assert new_order(board, seen(radio, board)) == radio


def test_right_sticks_have_nothing_to_change() -> None:
    found = sort_out({stick: Moved(stick) for stick in STICK.values()})
    assert (found.exchange, found.reverse, found.orders, found.findings) == ({}, (), {}, ())


def test_crossed_channels_give_the_order_to_set() -> None:
    # The radio sends throttle first, the board expects it third.
    moved = {stick: Moved(channel) for stick, channel in seen("TAER", "AETR").items()}
    found = sort_out(moved)
    assert found.orders["AETR"] == "TAER"
    assert found.exchange == {"throttle": "roll", "roll": "pitch", "pitch": "throttle"}
    assert [f.code for f in found.findings] == ["channels-crossed"]


def test_each_reversed_stick_is_named_on_its_own() -> None:
    found = sort_out({s: Moved(s, s not in ("yaw", "pitch")) for s in STICK.values()})
    assert set(found.reverse) == {"pitch", "yaw"}
    assert [f.code for f in found.findings] == ["channel-reversed"] * 2
    assert all("in the radio" in f.do for f in found.findings)


def test_a_dead_or_mixed_stick_gives_no_order() -> None:
    moved = {
        "roll": Moved("yaw"),
        "yaw": Moved("roll"),
        "pitch": Moved(None),
        "throttle": Moved(SEVERAL),
    }
    found = sort_out(moved)
    assert (found.dead, found.mixed, found.orders) == (("pitch",), ("throttle",), {})
    assert {f.code for f in found.findings} == {"stick-dead", "stick-mixed", "channels-crossed"}


def test_two_sticks_on_one_channel_give_no_order() -> None:
    found = sort_out({s: Moved("roll" if s == "yaw" else s) for s in STICK.values()})
    assert found.orders == {}
    assert found.exchange == {"yaw": "roll"}
    with pytest.raises(ValueError, match="no other moves"):
        new_order("AETR", {"roll": "roll", "yaw": "roll", "pitch": "pitch", "throttle": "yaw"})
