"""A drawn signature: only numbers within bounds come through, and they come through whole."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.drawing import hand
from server.drawing.radio.arm_switch import arm_switch

points = st.tuples(st.integers(0, hand.WIDE), st.integers(0, hand.TALL))
drawings = st.lists(st.lists(points, min_size=1, max_size=40).map(tuple), max_size=20).map(tuple)


@given(drawings)
def test_what_is_written_is_read_back(drawn):
    assert hand.strokes(hand.told(drawn)) == drawn


@given(drawings)
def test_a_picture_holds_a_line_a_stroke(drawn):
    assert hand.signature(drawn).count("<path") == len(drawn)


@given(st.text(max_size=40))
def test_nothing_but_numbers_comes_through(text):
    try:
        drawn = hand.strokes(text)
    except ValueError:
        return
    assert re.fullmatch(r"[0-9 ;]*", hand.told(drawn))


@pytest.mark.parametrize(
    "text",
    [
        "1",
        "1 2 3",
        "-1 5",
        "601 5",
        "5 201",
        "1.5 2",
        "1e2 3",
        "٣ ٣",
        "<b> 1",
        "1 1;" * 61,
        "1 1 " * 2401,
    ],
)
def test_what_is_no_signature_is_refused(text):
    with pytest.raises(ValueError, match="signature"):
        hand.strokes(text)


def test_the_length_is_how_far_the_pen_went():
    assert hand.length(hand.strokes("0 0 30 40 30 140;5 5")) == 140


@pytest.mark.parametrize(
    ("rest", "armed", "middle", "order"),
    [
        (1000, 2000, None, ["rest 1000", "ARMED 2000"]),
        (2000, 1000, None, ["ARMED 1000", "rest 2000"]),
        (1000, 2000, 1500, ["rest 1000", "middle 1500", "ARMED 2000"]),
    ],
)
def test_the_heavy_lever_is_the_armed_one(rest, armed, middle, order):
    drawn = arm_switch(rest, armed, middle, "1100 µs and down", colour=False)
    said = re.findall(r'<text[^>]* x="([\d.]+)"[^>]*>([a-zA-Z]+ \d+) µs<', drawn)
    assert [words for _, words in sorted(said, key=lambda s: float(s[0]))] == order
    solid = [path for path in re.findall(r"<path[^>]*>", drawn) if "dasharray" not in path]
    assert len(solid) == 1
    assert "arms at 1100 µs and down" in drawn
    assert "no safe range" in arm_switch(rest, armed)
