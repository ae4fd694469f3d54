"""Opening hours, counted by hand on a calendar."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.trade.opening import Opening

OSLO = ZoneInfo("Europe/Oslo")
WEEKDAYS = Opening(frozenset({1, 2, 3, 4, 5}), time(9), time(17), OSLO)
moments = st.datetimes(datetime(2030, 1, 1), datetime(2031, 1, 1), timezones=st.just(OSLO))


def at(day: int, hour: int, minute: int = 0) -> datetime:
    """March 2030 in Oslo; the 4th is a Monday."""
    return datetime(2030, 3, day, hour, minute, tzinfo=OSLO)


@pytest.mark.parametrize(
    ("start", "end", "minutes"),
    [
        (at(4, 10), at(4, 11, 30), 90),
        (at(4, 8), at(4, 9, 15), 15),
        (at(4, 16), at(5, 10), 120),
        (at(8, 16), at(11, 10), 120),  # over a weekend
        (at(9, 10), at(10, 15), 0),  # Saturday and Sunday
        (at(4, 11), at(4, 10), 0),
        (at(4, 9), at(25, 9), 15 * 480),  # three weeks
        (at(1, 9), at(29, 17), 21 * 480),
    ],
)
def test_open_minutes_between_two_moments(start, end, minutes):
    assert WEEKDAYS.between(start, end) == minutes


@pytest.mark.parametrize(
    ("start", "minutes", "end"),
    [
        (at(4, 10), 90, at(4, 11, 30)),
        (at(4, 16), 120, at(5, 10)),
        (at(8, 16, 30), 60, at(11, 9, 30)),
        (at(9, 12), 0, at(11, 9)),
        (at(4, 9), 480, at(4, 17)),
        (at(4, 17), 1, at(5, 9, 1)),
    ],
)
def test_so_many_open_minutes_later(start, minutes, end):
    assert WEEKDAYS.after(start, minutes) == end


def test_the_close_of_this_or_the_next_opening_day():
    assert WEEKDAYS.closing(at(4, 10)) == at(4, 17)
    assert WEEKDAYS.closing(at(8, 17)) == at(8, 17)
    assert WEEKDAYS.closing(at(8, 17, 1)) == at(11, 17)
    assert WEEKDAYS.closing(at(9, 10)) == at(11, 17)


def test_a_changed_clock_does_not_stretch_the_day():
    """Oslo's clocks go forward on Sunday 31 March 2030 at 02:00 (EU Directive 2000/84/EC)."""
    night = Opening(frozenset({7}), time(1), time(4), OSLO)
    start = datetime(2030, 3, 31, 0, tzinfo=OSLO)
    assert night.between(start, start + timedelta(days=1)) == 120
    assert WEEKDAYS.after(at(29, 16, 30), 60) == datetime(2030, 4, 1, 7, 30, tzinfo=UTC)


@given(moments, st.floats(0, 20_000))
def test_what_passed_is_what_was_added(start, minutes):
    end = WEEKDAYS.after(start, minutes)
    assert WEEKDAYS.between(start, end) == pytest.approx(minutes, abs=1e-6)


@given(moments, moments, moments)
def test_spans_add_up(a, b, c):
    a, b, c = sorted((a, b, c))
    whole = WEEKDAYS.between(a, c)
    assert WEEKDAYS.between(a, b) + WEEKDAYS.between(b, c) == pytest.approx(whole)


@pytest.mark.parametrize(
    ("days", "opens", "closes"),
    [((), 9, 17), ((0, 1), 9, 17), ((8,), 9, 17), ((1,), 9, 9), ((1,), 17, 9)],
)
def test_a_shop_that_never_opens_is_refused(days, opens, closes):
    with pytest.raises(ValueError, match="A shop"):
        Opening(frozenset(days), time(opens), time(closes), UTC)


def test_nothing_is_told_of_years_ahead():
    with pytest.raises(OverflowError):
        WEEKDAYS.after(at(4, 9), 600 * 480)
