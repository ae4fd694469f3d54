"""A clock that is put forward or back: no age holds, and nobody knows what is connected."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from server.ledger.checking.verify import verify_log
from server.records import evidence
from server.records.engine import reading
from server.trade.power import Act
from server.work.bench import not_known, power, recording, signing
from server.work.errors import Locked
from server.work.handover import handover
from server.work.shop import Person, Shop, Watch
from tests import make

SPIN = {"output": 1, "seen": "turned", "corner": "FL", "turn": "cw"}
MOVED = [-180, -2, 2, 180]  # minutes


class Slipping(make.Clock):
    """The test's clock beside a steady one, which goes on with it but when it is put elsewhere."""

    def __init__(self) -> None:
        super().__init__()
        self.slipped = timedelta(0)

    def put(self, minutes: float) -> None:
        """Somebody sets the clock."""
        self.pass_minutes(minutes)
        self.slipped += timedelta(minutes=minutes)

    def steady(self) -> float:
        """Seconds that went by."""
        return (self.at - self.slipped - make.START).total_seconds()


@pytest.fixture
def clock() -> Slipping:
    return Slipping()


@pytest.fixture
def watched(shop: Shop, clock: Slipping) -> Shop:
    """As server/app.py makes it."""
    return started(shop, clock)


def started(shop: Shop, clock: Slipping) -> Shop:
    watch = Watch(clock, clock.steady)
    return replace(shop, now=watch.now, watch=watch)


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


def connected(shop: Shop, kit: Person, act: Act = Act.PLUG_BATTERY) -> int:
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number, until="motors/spins")
    power.change(shop, kit, number, act=act, propellers=0 if act is not Act.PLUG_USB else None)
    return number


def spin(shop: Shop, kit: Person, number: int) -> Any:
    return recording.record(shop, kit, number, "motors/spins", answer=SPIN, act_key=make.key())


def lapsed(shop: Shop, number: int) -> list[str]:
    with reading(shop.engine) as connection:
        events = evidence.events(connection, make.head(shop, number).id)
    return [event.says for event in events if event.kind == "lapsed"]


def known(shop: Shop, number: int) -> tuple[str, bool, bool]:
    """The power on record, whether it is known since when, and whether a look stands."""
    head = make.head(shop, number)
    return head.power, head.power_since is not None, head.props_seen_at is not None


@pytest.mark.parametrize("minutes", MOVED)
def test_a_leap_ends_every_state_and_look_at_once(watched, kit, clock, minutes):
    numbers = [connected(watched, kit), connected(watched, kit, Act.PLUG_USB)]
    clock.put(minutes)
    not_known.end_after_a_leap(watched)
    assert [known(watched, n) for n in numbers] == [
        ("battery", False, False),
        ("usb", False, False),
    ]
    for number in numbers:
        assert lapsed(watched, number)[0].endswith("by more than a minute.")


@pytest.mark.parametrize("minutes", MOVED)
def test_nothing_is_recorded_after_a_leap(watched, kit, clock, minutes):
    number = connected(watched, kit)
    clock.put(minutes)
    with pytest.raises(Locked, match="not known what is connected"):
        spin(watched, kit, number)
    not_known.end_after_a_leap(watched)
    with pytest.raises(Locked, match="not known what is connected"):
        spin(watched, kit, number)


def test_a_look_made_while_the_clock_was_ahead_is_worth_nothing(shop, watched, kit, clock):
    number = connected(watched, kit)
    clock.put(-180)
    anew = started(shop, clock)  # a process that never saw the clock ahead
    with pytest.raises(Locked, match="not known what is connected"):
        spin(anew, kit, number)
    power.look_again(anew, kit, number, propellers=0)
    assert lapsed(anew, number)[0].endswith("The server’s clock was put back.")
    assert spin(anew, kit, number).power == "battery"


@pytest.mark.parametrize("seconds", [-59, 59])
def test_a_clock_put_right_by_seconds_ends_nothing(watched, kit, clock, seconds):
    clock.pass_minutes(2)
    number = connected(watched, kit)
    clock.put(seconds / 60)
    assert spin(watched, kit, number).power == "battery"
    assert lapsed(watched, number) == []


def test_small_moves_add_up_to_a_leap(watched, kit, clock):
    number = connected(watched, kit)
    for _ in range(3):
        clock.put(-0.5)
        watched.now()
    with pytest.raises(Locked, match="not known what is connected"):
        spin(watched, kit, number)


def test_time_that_goes_by_is_no_leap(watched, kit, clock):
    number = connected(watched, kit)
    clock.pass_minutes(29)
    assert spin(watched, kit, number).power == "battery"


def test_moments_never_go_back_without_a_leap(watched, clock):
    before = watched.now()
    clock.put(-0.9)
    assert watched.now() >= before
    assert not watched.watch.leapt


def test_a_look_at_the_craft_makes_it_known_again(watched, kit, clock):
    number = connected(watched, kit)
    clock.put(-180)
    power.look_again(watched, kit, number, propellers=0)
    assert known(watched, number) == ("battery", True, True)
    assert spin(watched, kit, number).power == "battery"


def test_unplugging_makes_it_known_again(watched, kit, clock):
    number = connected(watched, kit, Act.PLUG_USB)
    clock.put(180)
    with pytest.raises(Locked, match="Unplug that first"):
        power.change(watched, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    power.change(watched, kit, number, act=Act.UNPLUG)
    power.change(watched, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    assert spin(watched, kit, number).power == "battery"
    assert len(lapsed(watched, number)) == 1


def test_it_counts_as_connected_for_signing_and_returning(watched, lead, kit, clock):
    number = make.to_sign(watched, kit)
    power.change(watched, kit, number, act=Act.PLUG_USB)
    clock.put(-180)
    with pytest.raises(Locked, match="Unplug it, then sign"):
        signing.sign(watched, kit, number, phrase=make.SIGNING, words="Read back.")
    with pytest.raises(Locked, match="Unplug it at the bench"):
        handover.return_as_is(
            watched, lead, number, to=make.handed(), reason="no part", act_key="once"
        )


def test_the_signed_log_tells_of_it_and_is_sound(watched, kit, clock):
    number = make.to_sign(watched, kit)
    power.change(watched, kit, number, act=Act.PLUG_USB)
    clock.put(-2)
    clock.pass_minutes(3)  # no log is signed before its newest entry
    not_known.end_after_a_leap(watched)
    power.change(watched, kit, number, act=Act.UNPLUG)
    log = signing.sign(watched, kit, number, phrase=make.SIGNING, words="Read back.")
    assert '"event":"lapsed"' in log.document
    assert verify_log(log.document.encode()).problems == ()
