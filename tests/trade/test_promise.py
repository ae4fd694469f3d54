"""When to promise: the range's law, what counts as like, and time on the bench."""

from datetime import UTC, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.trade.opening import Opening
from server.trade.promise import LEAST, PastJob, advise, like, on_bench, range_of
from server.trade.written import minutes_in_words

OSLO = ZoneInfo("Europe/Oslo")
OPEN = Opening(frozenset({1, 2, 3, 4, 5}), time(9), time(17), OSLO)
MONDAY = datetime(2030, 3, 4, 9, tzinfo=OSLO)
times = st.lists(st.floats(1, 5000), min_size=LEAST + 1, max_size=60)


def jobs(*minutes: float, trouble: str = "wiped", board: str = "") -> list[PastJob]:
    return [PastJob(m, frozenset({trouble}), board) for m in minutes]


def later(minutes: float, kind: str) -> tuple[datetime, str]:
    return MONDAY + timedelta(minutes=minutes), kind


def test_the_range_of_nine_is_the_first_to_the_last():
    """(9 - 1) / (9 + 1) is 8 of 10: S. S. Wilks 1941, worked by hand."""
    assert range_of([9, 8, 7, 6, 5, 4, 3, 2, 1]) == (1, 9)
    assert range_of(range(1, 20)) == (2, 18)


@given(times)
def test_nine_of_ten_are_done_by_its_end(minutes):
    """Each one left out in turn: exchangeable times are covered by the others' bound."""
    covered = sum(
        left_out <= range_of(minutes[:i] + minutes[i + 1 :])[1]
        for i, left_out in enumerate(minutes)
    )
    assert covered >= 0.9 * len(minutes)


@given(times)
def test_the_range_is_two_of_the_times(minutes):
    low, high = range_of(minutes)
    assert low <= high
    assert {low, high} <= set(minutes)


def test_too_few_times_give_no_range():
    with pytest.raises(ValueError, match="too few"):
        range_of([1.0] * (LEAST - 1))
    assert like(jobs(*[60] * (LEAST - 1)), ["wiped"], "") is None


def test_the_narrowest_set_that_is_large_enough_counts():
    here = jobs(*[30] * 9, board="Brindle F7")
    trouble = jobs(*[60] * 9)
    other = jobs(*[240] * 9, trouble="flips")
    past = [*here, *trouble, *other]
    assert like(past, ["wiped"], "Brindle F7").by == "both"
    assert like(past, ["wiped"], "Brindle F7").high == 30
    assert like(past, ["wiped", "drifts"], "Other").by == "trouble"
    assert like(past, ["wiped"], "").count == 18
    assert like(past, ["no-picture"], "Brindle F7").by == "all"


def test_the_queue_and_the_slow_tenth_are_waited_for():
    """Nine jobs of 60 to 220 min, median 140; 4 ahead on 2 benches wait 280; the slowest is 220:
    500 open minutes after Monday 09:00 is Tuesday 09:20."""
    advice = advise(MONDAY, OPEN, jobs(*range(60, 221, 20)), symptoms=["wiped"], ahead=4, benches=2)
    assert advice.wait == 280
    assert advice.late == datetime(2030, 3, 5, 9, 20, tzinfo=OSLO)
    assert advice.early == datetime(2030, 3, 4, 14, 40, tzinfo=OSLO)
    assert advice.at == datetime(2030, 3, 5, 17, tzinfo=OSLO)


@pytest.mark.parametrize(
    ("now", "promise"),
    [
        # 4 March 2030 is a Monday; Oslo is an hour before UTC in winter, two in summer.
        (datetime(2030, 3, 4, 9, tzinfo=UTC), "2030-03-06T17:00:00+01:00"),
        (datetime(2030, 3, 7, 9, tzinfo=UTC), "2030-03-11T17:00:00+01:00"),
        (datetime(2030, 3, 9, 9, tzinfo=UTC), "2030-03-12T17:00:00+01:00"),
        (datetime(2030, 3, 29, 23, 30, tzinfo=UTC), "2030-04-02T17:00:00+02:00"),
    ],
)
def test_without_history_two_opening_days_are_told_as_such(now, promise):
    advice = advise(now, OPEN, jobs(60, 60), symptoms=["wiped"], ahead=9)
    assert (advice.like, advice.history) == (None, 2)
    assert advice.at.isoformat() == promise


@pytest.mark.parametrize(
    ("events", "minutes"),
    [
        ([later(0, "taken"), later(90, "signed")], 90),
        ([later(0, "booked in"), later(60, "taken"), later(90, "signed")], 30),
        ([later(0, "taken"), later(30, "held"), later(80, "hold ended"), later(90, "signed")], 40),
        ([later(0, "taken"), later(30, "put back"), later(80, "taken"), later(90, "signed")], 40),
        ([later(0, "held"), later(9, "hold ended"), later(60, "taken"), later(70, "signed")], 10),
        (
            [
                later(0, "taken"),
                later(10, "held"),
                later(20, "put back"),
                later(30, "hold ended"),
                later(60, "taken"),
                later(65, "signed"),
            ],
            15,
        ),
        ([later(0, "taken"), later(20, "passed on"), later(60, "signed")], 60),
        ([later(0, "taken"), later(60, "signed"), later(90, "taken"), later(99, "signed")], 60),
        ([later(420, "taken"), later(1440 + 30, "signed")], 90),  # over the night
        ([], 0),
    ],
)
def test_time_on_the_bench_leaves_out_what_rests(events, minutes):
    assert on_bench(events, OPEN) == minutes


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (0, "under 5 min"),
        (4.9, "under 5 min"),
        (5, "5 min"),
        (42, "40 min"),
        (60, "1 h"),
        (88, "1 h 30 min"),
        (599, "10 h"),
        (1230, "21 h"),
    ],
)
def test_lengths_are_told_as_roughly_as_they_are_known(minutes, words):
    assert minutes_in_words(minutes).replace("\N{NO-BREAK SPACE}", " ") == words
