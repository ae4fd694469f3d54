"""What the record still tells of the power, by the moments it holds. Common practice, no source."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import pytest

from server.trade.gate import PowerLimits, power_now
from server.trade.power import Power, leapt

AT = datetime(2030, 3, 4, 9, tzinfo=UTC)
EARLIER, LATER = AT - timedelta(minutes=5), AT + timedelta(milliseconds=1)
LIMITS = PowerLimits(power=60, props=30)


@dataclass(frozen=True)
class Recorded:
    power: str
    power_since: datetime | None
    props_seen_at: datetime | None


@pytest.mark.parametrize(
    ("seconds", "leap"), [(0, False), (60, False), (-60, False), (60.1, True), (-60.1, True)]
)
def test_more_than_a_minute_apart_is_a_leap(seconds, leap):
    assert leapt(timedelta(seconds=seconds)) is leap


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
    assert power_now(Recorded(state, since, seen), LIMITS, AT).known is tells


@pytest.mark.parametrize("state", [Power.USB, Power.LIMITED, Power.BATTERY])
def test_a_clock_that_leapt_leaves_nothing_known(state):
    assert not power_now(Recorded(state, EARLIER, AT), LIMITS, AT, leapt=True).known


def test_a_cold_craft_is_known_whatever_the_clock():
    assert power_now(Recorded(Power.COLD, None, None), LIMITS, AT, leapt=True).known
