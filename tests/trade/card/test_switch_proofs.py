"""What the evidence of the arming switch is worth, against the example card."""

import pytest

from server.trade.card import BadAnswer, derive
from server.trade.card.text import tie
from tests import example_sheet
from tests.trade.card.judging import judged

CARD = derive(example_sheet.sheet())


def switched(**readings: object):
    return judged(CARD.step("switches/arm"), readings)


def test_a_clear_switch_gets_its_range() -> None:
    found = switched(rest="1000", armed="2000", middle="1500", radio_off="1000")
    assert found.state == "pass"
    assert found.result["switches"][0]["range"] == {"low": 1750, "high": 2200}
    assert found.says == tie("Set arming to 1750 µs and up: 250 µs of room.")


@pytest.mark.parametrize(("armed", "expected"), [("1080", "pass"), ("1079", "fail")])
def test_armed_keeps_eighty_microseconds_from_rest(armed, expected) -> None:
    # 40 µs on either side of the range's end.
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
