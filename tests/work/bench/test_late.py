"""Acts that arrive later than they were made: under the same power, at a time that can be true."""

from datetime import timedelta

import pytest

from server.records import evidence
from server.records.engine import reading
from server.trade.gate import connection_of
from server.trade.power import Act
from server.work.bench import late, power, recording
from server.work.errors import Locked
from server.work.shop import Person, Shop
from tests import make
from tests.web.bench.at_the_bench import entries, ready

LOOKS, SPINS = "before/looks", "motors/spins"
TAP = {"output": 1, "seen": "turned", "corner": "FL", "turn": "ccw"}


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


def record(shop, kit, number, key=SPINS, **more):
    answer = TAP if key == SPINS else {"choice": "sound"}
    return recording.record(shop, kit, number, key, answer=answer, act_key=make.key(), **more)


def under(shop, number):
    return connection_of(make.head(shop, number))


def newest(shop, number):
    with reading(shop.engine) as connection:
        return evidence.entries(connection, make.head(shop, number).id)[-1]


def spinning(shop, kit):
    return ready(shop, kit, SPINS, Act.PLUG_BATTERY)


def test_an_act_in_time_was_made_when_it_arrived(shop, kit):
    number = spinning(shop, kit)
    record(shop, kit, number, under=under(shop, number))
    assert newest(shop, number).made_at == newest(shop, number).at


def test_a_late_act_keeps_both_times(shop, kit, clock):
    number = spinning(shop, kit)
    was, made = under(shop, number), clock()
    clock.pass_minutes(9)
    record(shop, kit, number, under=was, made_at=made)
    entry = newest(shop, number)
    assert entry.made_at == made
    assert timedelta(minutes=9) <= entry.at - made < timedelta(minutes=9, seconds=1)


@pytest.mark.parametrize("ahead", [timedelta(seconds=1), timedelta(days=4000)])
def test_a_clock_that_is_ahead_gives_the_time_of_arrival(shop, kit, clock, ahead):
    number = spinning(shop, kit)
    record(shop, kit, number, under=under(shop, number), made_at=clock() + ahead)
    assert newest(shop, number).made_at == newest(shop, number).at


def test_a_powered_act_is_never_older_than_the_look_it_stands_under(shop, kit, clock):
    number = spinning(shop, kit)
    record(shop, kit, number, under=under(shop, number), made_at=clock() - timedelta(days=4000))
    assert newest(shop, number).made_at == make.head(shop, number).props_seen_at


def test_no_act_is_older_than_a_week(shop, kit, clock):
    number = make.on_the_bench(shop, kit)
    looks(shop, kit, number, made_at=clock() - timedelta(days=8))
    entry = newest(shop, number)
    assert entry.at - entry.made_at == late.KEPT_AT_MOST == timedelta(days=7)


def looks(shop, kit, number, **more):
    return record(shop, kit, number, LOOKS, **more)


def refused(shop, kit, number, **more):
    before = entries(shop)
    with pytest.raises(Locked) as no:
        (looks if more.pop("cold", False) else record)(shop, kit, number, **more)
    assert entries(shop) == before
    assert no.value.do == "Nothing is recorded. Look at the craft, then do it again."
    return no.value.says


def test_unplugged_meanwhile_is_refused(shop, kit):
    number = spinning(shop, kit)
    was = under(shop, number)
    power.change(shop, kit, number, act=Act.UNPLUG)
    says = refused(shop, kit, number, under=was)
    assert says == "This was made on battery, and the craft is on cold now."


def test_connected_again_meanwhile_is_refused(shop, kit):
    number = spinning(shop, kit)
    was = under(shop, number)
    power.change(shop, kit, number, act=Act.UNPLUG)
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    says = refused(shop, kit, number, under=was)
    assert says == "The craft was unplugged and connected again after this was made."


def test_another_look_meanwhile_is_refused(shop, kit):
    number = spinning(shop, kit)
    was = under(shop, number)
    power.look_again(shop, kit, number, propellers=0)
    assert "looked at anew" in refused(shop, kit, number, under=was)


def test_a_state_that_lapsed_meanwhile_is_refused(shop, kit, clock):
    number = spinning(shop, kit)
    was, made = under(shop, number), clock()
    clock.pass_minutes(61)  # the shop's limit is 60
    assert "is on cold now" in refused(shop, kit, number, under=was, made_at=made)


def test_a_look_that_lapsed_meanwhile_is_refused(shop, kit, clock):
    number = spinning(shop, kit)
    was, made = under(shop, number), clock()
    clock.pass_minutes(31)  # the shop's limit is 30: at the server's clock, not at the tablet's
    with pytest.raises(Locked, match="Nobody has looked at the propellers"):
        record(shop, kit, number, under=was, made_at=made)


def test_power_that_came_and_went_is_refused_to_a_cold_act(shop, kit, clock):
    number = make.on_the_bench(shop, kit)
    made = clock()
    power.change(shop, kit, number, act=Act.PLUG_USB)
    power.change(shop, kit, number, act=Act.UNPLUG)
    says = refused(shop, kit, number, cold=True, under="cold", made_at=made)
    assert says == "Power was connected after this was made, and taken off again."


def test_power_before_it_was_made_stands_in_no_ones_way(shop, kit, clock):
    number = make.on_the_bench(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    power.change(shop, kit, number, act=Act.UNPLUG)
    looks(shop, kit, number, under="cold", made_at=clock())
    assert newest(shop, number).verdict == "pass"


def test_sent_twice_it_counts_once_even_after_the_power_moved(shop, kit):
    number = spinning(shop, kit)
    was = under(shop, number)
    first = recording.record(shop, kit, number, SPINS, answer=TAP, act_key="once", under=was)
    power.change(shop, kit, number, act=Act.UNPLUG)
    again = recording.record(shop, kit, number, SPINS, answer=TAP, act_key="once", under=was)
    assert again.id == first.id
