"""What other switches bring on, against the arming range; ends count as inside."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.trade.card import BadAnswer, derive
from server.trade.card.text import tie
from tests import example_sheet
from tests.trade.card.judging import judged

STEP = derive(example_sheet.sheet()).step("switches/others")
# Half way from 1000 to 2000 µs: arms at 1500 µs and up, which is 2200 µs in numbers.
READ = {"switches/arm": {"rest": "1000", "armed": "2000", "radio_off": "988"}}


def row(does: str, channel: int, low: int, high: int) -> dict[str, Any]:
    return {"does": does, "channel": str(channel), "low": str(low), "high": str(high)}


def noted(*rows: dict[str, Any], read: Any = READ):
    return judged(STEP, {"channel": "5", "others": list(rows)}, read)


@given(st.integers(800, 2200), st.integers(0, 1400), st.integers(5, 7))
def test_a_range_clashes_when_one_reading_is_in_both(low: int, wide: int, channel: int) -> None:
    high = low + wide
    shares = channel == 5 and any(low <= us <= high for us in range(1500, 2201))
    found = noted(row("beeper", channel, low, high))
    assert found.state == ("fail" if shares else "pass")
    assert found.result["clashes"] == (["beeper"] if shares else [])


def test_others_that_come_on_together_are_said_and_pass() -> None:
    found = noted(row("beeper", 6, 900, 1400), row("lights", 6, 1400, 2100))
    assert found.passed
    said = "beeper and lights come on together from 1400 to 1400 µs on channel 6."
    assert tie(said) in found.says


def test_without_the_arm_switch_nothing_is_decided() -> None:
    for read in ({}, {"switches/arm": {"rest": "1000", "armed": "1020", "radio_off": "none"}}):
        found = noted(row("beeper", 6, 900, 1400), read=read)
        assert found.state == "more"
    assert judged(STEP, {"others": []}, {}).passed


@pytest.mark.parametrize(
    ("answer", "at"),
    [
        ({}, "others"),
        ({"others": [row("a", 6, 900, 1000)]}, "channel"),
        ({"channel": "5.5", "others": []}, "channel"),
        ({"channel": "5", "others": [row("", 6, 900, 1000)]}, "others.0.does"),
        ({"channel": "5", "others": [row("a", 2, 900, 1000)]}, "others.0.channel"),
        ({"channel": "5", "others": [row("a", 6, 1000, 900)]}, "others.0.high"),
        ({"channel": "5", "others": [row("a", 6, 900, 5001)]}, "others.0.high"),
        ({"channel": "5", "others": [row("a", 6, 900, 950)] * 2}, "others.1.does"),
        ({"channel": "5", "others": [row(str(n), 6, 900, 950) for n in range(9)]}, "others"),
        ({"channel": "5", "others": [row("a", 6, 900, 950) | {"x": 1}]}, "others.0.x"),
        ({"channel": "5", "others": [], "x": 1}, "x"),
    ],
)
def test_other_shapes_are_refused_with_their_place(answer: Any, at: str) -> None:
    with pytest.raises(BadAnswer) as refused:
        judged(STEP, answer, READ)
    assert refused.value.field == at
