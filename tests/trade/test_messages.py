"""The texts of reminders: every gap is filled, and none other is taken."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.trade.messages import GAPS, OURS, filled, unknown_gaps

TOLD = {gap: f"<{gap}>" for gap in GAPS}


@pytest.mark.parametrize("kind", OURS)
def test_our_own_words_fill_whole(kind):
    assert unknown_gaps(OURS[kind]) == []
    said = filled(OURS[kind], TOLD)
    assert "{" not in said
    for gap in ("name", "craft", "ticket", "shop", "phone"):
        assert TOLD[gap] in said


@pytest.mark.parametrize(
    ("words", "strange"),
    [
        ("Hello {name}", []),
        ("Hello {nam}", ["{nam}"]),
        ("Hello {name.__class__}", ["{name.__class__}"]),
        ("Hello {}", ["{}"]),
        ("Hello {name", ["{"]),
        ("Hello name}", ["}"]),
    ],
)
def test_a_gap_that_nothing_fills_is_named(words, strange):
    assert unknown_gaps(words) == strange


@given(st.text(max_size=80))
def test_what_is_taken_can_be_filled(words):
    if not unknown_gaps(words):
        assert "{" not in filled(words, TOLD)


def test_a_value_with_a_gap_in_it_stays_as_it_is():
    assert filled("{craft} is ready", TOLD | {"craft": "{name}"}) == "{name} is ready"
