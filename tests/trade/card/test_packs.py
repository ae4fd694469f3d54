"""The pack that is to be connected, and the scales of the readings."""

from typing import Any

import pytest

from server.trade.card import BadAnswer, derive
from server.trade.card.text import tie
from server.trade.sheet import from_document
from tests import example_sheet
from tests.trade.card.judging import judged

CARD = derive(example_sheet.sheet())  # 6 cells LiPo
PACK = CARD.step("before/pack")


def pack(cells: str, volts: str):
    return judged(PACK, {"cells": cells, "volts": volts})


@pytest.mark.parametrize(
    ("cells", "volts", "state", "says"),
    [
        # Full 4.20 V a cell: charger IC data sheet ACT2804 Rev 3. Empty 3.30 V, and 3.0 V as the
        # least ever: common practice, no source.
        ("6", "25.2", "pass", "4.20 V a cell"),
        ("6", "25.21", "fail", "over 25.2 V"),
        ("6", "19.8", "pass", "3.30 V a cell"),
        ("6", "19.79", "fail", "an empty pack"),
        ("6", "18", "fail", "an empty pack"),
        ("6", "17.99", "fail", "a cell may be dead"),
        ("5", "21", "fail", "The pack has 5 cells; the map says 6."),
        ("7", "25.2", "fail", "The pack has 7 cells; the map says 6."),
    ],
)
def test_a_pack_fits_the_map_and_its_volts_its_count(cells, volts, state, says) -> None:
    found = pack(cells, volts)
    assert found.state == state
    assert tie(says) in found.says


@pytest.mark.parametrize(
    ("volts", "possible", "says"),
    [
        # nS full against mS at 3.0 V, worked out by hand: 25.2 V is 6S full, 7S at 3.6, 8S at 3.15.
        ("25.2", [6, 7, 8], "a low pack of 7 or 8"),
        ("20.9", [5, 6], "a fuller one of 5"),
        ("21", [5, 6, 7], "a low pack of 7, or a fuller one of 5"),
    ],
)
def test_an_ambiguous_voltage_says_what_else_it_may_be(volts, possible, says) -> None:
    found = pack("6", volts)
    assert found.passed
    assert found.result["possible"] == possible
    assert says in found.says


def test_a_zone_of_one_count_says_nothing_more() -> None:
    document = example_sheet.document()
    document["battery"]["cells"] = 1
    step = derive(from_document(document)).step("before/pack")
    found = judged(step, {"cells": "1", "volts": "4.1"})
    assert found.says == tie("4.1 V on 1 cells, 4.10 V a cell.")


@pytest.mark.parametrize(
    ("answer", "field"),
    [
        ({}, "cells"),
        ({"cells": "6"}, "volts"),
        ({"cells": "6.5", "volts": "23"}, "cells"),
        ({"cells": "0", "volts": "23"}, "cells"),
        ({"cells": "15", "volts": "23"}, "cells"),
        ({"cells": "6", "volts": "-23"}, "volts"),
        ({"cells": "6", "volts": "0"}, "volts"),
        ({"cells": "6", "volts": "23", "x": 1}, "x"),
    ],
)
def test_a_pack_of_another_shape_is_refused(answer: Any, field: str) -> None:
    with pytest.raises(BadAnswer) as refused:
        judged(PACK, answer)
    assert refused.value.field == field


def readings(key: str, **values: str):
    return judged(CARD.step(key), {"values": values})


def test_a_scale_that_is_known_is_worked_out() -> None:
    # new = old * measured / indicated (P. Horowitz, W. Hill, The Art of Electronics, ch. 1, from
    # memory): 110 * 25.2 / 24.6 = 112.68.
    found = readings("battery/volts", meter="25.2", shown="24.6", scale="110")
    assert "from 110 to 112.68" in found.do
    assert found.result["scale_factor"] == "1.02439"
    assert "scale" not in found.found
    assert readings("battery/volts", meter="25.2", shown="25.2", scale="").passed


def test_a_scale_of_nothing_gives_no_other() -> None:
    found = readings("battery/volts", meter="25.2", shown="24.6", scale="0")
    assert found.do == "The scale that is set now has to be above zero."


@pytest.mark.parametrize(
    ("craft", "state"),
    [("1050", "pass"), ("1051", "fail"), ("950", "pass"), ("949", "fail")],
)
def test_counted_within_five_per_cent_of_put_back(craft: str, state: str) -> None:
    # 5 %: common practice, no source.
    assert readings("battery/current", charger="1000", craft=craft).state == state


def test_a_craft_that_counts_too_little_gets_its_scale() -> None:
    # 1100 put back, 1000 counted: a tenth too little, 400 becomes 440; the other way round it is
    # divided by 1.1, times 0.9091.
    found = readings("battery/current", charger="1100", craft="1000", scale="400")
    assert "1.1000: from 400 to 440.00" in found.do
    assert "multiply by 0.9091" in found.do


def test_two_counts_that_are_far_apart_are_no_scale() -> None:
    found = readings("battery/current", charger="1100", craft="500")
    assert "more than twice apart" in found.do
    assert "scale_factor" not in found.result


@pytest.mark.parametrize("instead", ["no-flight", "no-sensor"])
def test_without_a_flight_or_a_sensor_the_step_is_done(instead: str) -> None:
    assert judged(CARD.step("battery/current"), {"instead": instead}).passed
