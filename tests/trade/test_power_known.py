"""What the record still tells of the power, by the moments it holds. Common practice, no source."""

from datetime import UTC, datetime, timedelta

import pytest

from server.trade.power import Power, before_its_time, known, leapt

AT = datetime(2030, 3, 4, 9, tzinfo=UTC)
EARLIER, LATER = AT - timedelta(minutes=5), AT + timedelta(milliseconds=1)


@pytest.mark.parametrize(
    ("seconds", "leap"), [(0, False), (60, False), (-60, False), (60.1, True), (-60.1, True)]
)
def test_more_than_a_minute_apart_is_a_leap(seconds, leap):
    assert leapt(timedelta(seconds=seconds)) is leap


def test_a_moment_to_come_is_before_its_time():
    assert before_its_time(AT, EARLIER, LATER)
    assert not before_its_time(AT, None, EARLIER, AT)


@pytest.mark.parametrize("state", [Power.USB, Power.LIMITED, Power.BATTERY])
@pytest.mark.parametrize(
    ("since", "seen", "tells"),
    [
        (EARLIER, None, True),
        (EARLIER, AT, True),
        (None, None, False),
        (None, EARLIER, False),
        (LATER, None, False),
        (EARLIER, LATER, False),
    ],
)
def test_a_connection_is_known_by_past_moments_only(state, since, seen, tells):
    assert known(state, since, seen, AT) is tells


def test_a_cold_craft_is_known_whatever_the_clock():
    assert known(Power.COLD, None, None, AT)
