"""What a current at first power means; causes and their order: common practice, no source."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.trade.battery.first_power import MOST_NAMED, CurrentShare, causes, missing

BOARD = CurrentShare("board and ESC", "", Decimal("0.05"), Decimal("0.30"))
VIDEO = CurrentShare("video unit", "10V", Decimal("0.15"), Decimal("0.70"))
LIGHT = CurrentShare("tail light", "5V", Decimal("0.01"), Decimal("0.06"))
FITTED = (BOARD, LIGHT, VIDEO)


def said(*given, **more) -> list[str]:
    return [likely.cause for likely in causes(*given, **more)]


def test_no_current_at_all_asks_for_the_leads_first() -> None:
    assert said("under", FITTED, Decimal("0.01"))[0] == "The battery does not reach the board."
    assert not any("video" in cause for cause in said("under", FITTED, Decimal("0.01")))


def test_the_part_that_explains_the_gap_is_named_first() -> None:
    # 0.21 to 1.06 A in all. With the video unit dark the others draw 0.06 to 0.36 A, and 0.12 A
    # lies in that; with the tail light dark 0.20 to 1.00 A are left, and 0.12 A does not.
    assert [part.name for part in missing(FITTED, Decimal("0.12"))] == ["video unit"]
    first = causes("under", FITTED, Decimal("0.12"))[0]
    assert first.cause == "The video unit has no power."
    assert "10V pad" in first.look


def test_where_two_parts_may_be_dark_the_nearer_one_is_first() -> None:
    one = CurrentShare("left", "5V", Decimal("0.10"), Decimal("0.30"))
    two = CurrentShare("right", "5V", Decimal("0.20"), Decimal("0.60"))
    fitted = (BOARD, one, two)  # 0.35 to 1.20 A in all
    # Without the right one 0.15 to 0.60 A are left (middle 0.375), without the left one 0.25 to
    # 0.90 A (middle 0.575): 0.30 A is in both, and nearer to the first.
    assert [part.name for part in missing(fitted, Decimal("0.30"))] == ["right", "left"]


def test_a_reading_at_the_limiter_is_taken_as_a_short() -> None:
    held = said("over", FITTED, Decimal("1.36"), Decimal("1.5"))
    assert "holding the current back" in held[0]
    assert held[1:] == said("tripped", FITTED)
    assert "still starting" in said("over", FITTED, Decimal("1.20"), Decimal("1.5"))[0]


@pytest.mark.parametrize("found", ["over", "tripped", "heat"])
def test_parts_are_named_the_largest_first(found: str) -> None:
    named = said(found, FITTED, Decimal("1.2"))
    places = [next(i for i, c in enumerate(named) if part.name in c) for part in (VIDEO, LIGHT)]
    assert places == sorted(places)


amps = st.decimals("0", "3", places=2)


@given(
    st.lists(st.tuples(amps, amps), max_size=9),
    st.sampled_from(["under", "over", "tripped", "heat"]),
    amps,
)
def test_every_craft_gets_causes_each_with_a_look(
    drawn: list[tuple[Decimal, Decimal]], found: str, reading: Decimal
) -> None:
    parts = [CurrentShare(f"part {n}", "5V", min(pair), max(pair)) for n, pair in enumerate(drawn)]
    likely = causes(found, (BOARD, *parts), reading, Decimal("1.5"))
    assert likely
    assert all(one.cause.endswith(".") and one.look.endswith(".") for one in likely)
    assert len({one.cause for one in likely}) == len(likely)
    if found != "under":
        assert sum("part " in one.cause and "5V" in one.cause for one in likely) <= MOST_NAMED
