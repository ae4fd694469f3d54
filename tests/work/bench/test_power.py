"""No battery without the safeguards: every refusal, on both databases."""

import pytest

from server.records import evidence
from server.records.engine import reading
from server.trade.power import Act
from server.work.bench import power, recording
from server.work.errors import Locked, Spent, Stale
from server.work.queue import queue
from server.work.shop import Person, Shop
from tests import make

POWERED = [Act.PLUG_LIMITER, Act.PLUG_BATTERY]


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


def events(shop: Shop, number: int) -> list[evidence.EventRow]:
    head = make.head(shop, number)
    with reading(shop.engine) as connection:
        return evidence.events(connection, head.id)


def proven(shop: Shop, kit: Person) -> int:
    """A ticket whose first power through the limiter has passed; it is cold again."""
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number, until="motors/spins")
    return number


@pytest.mark.parametrize("act", POWERED)
def test_no_battery_before_a_map(shop, kit, act):
    number = make.ticket(shop, kit)
    queue.take(shop, kit, number)
    with pytest.raises(Locked, match="no port map"):
        power.change(shop, kit, number, act=act, propellers=0)
    assert make.head(shop, number).power == "cold"


@pytest.mark.parametrize("act", POWERED)
def test_no_battery_while_a_finding_bars_it(shop, kit, act):
    number = make.on_the_bench(shop, kit, make.fed_by_the_pack)
    with pytest.raises(Locked, match="at stop"):
        power.change(shop, kit, number, act=act, propellers=0)
    assert make.head(shop, number).power == "cold"


def test_usb_is_free_of_the_propeller_question(shop, kit):
    number = make.on_the_bench(shop, kit, make.swapped)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    assert make.head(shop, number).power == "usb"


@pytest.mark.parametrize("seen", [None, 1, 2, 3, 4])
def test_no_battery_unless_no_propeller_was_seen(shop, kit, seen):
    number = make.on_the_bench(shop, kit)
    with pytest.raises(Locked, match="ropeller"):
        power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=seen)
    assert make.head(shop, number).power == "cold"
    assert events(shop, number)[-1].kind == "power refused"


def test_no_direct_battery_before_first_power_passed(shop, kit):
    number = make.on_the_bench(shop, kit)
    with pytest.raises(Locked, match="first power"):
        power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)


def test_direct_battery_after_first_power_passed(shop, kit):
    number = proven(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    head = make.head(shop, number)
    assert (head.power, head.props_by) == ("battery", "Kit Thorne")


def test_a_changed_map_asks_for_first_power_again(shop, kit):
    number = proven(shop, kit)

    def heavier(document):
        document["devices"][0]["amps"] = 0.25

    make.mapped(shop, kit, number, heavier)
    with pytest.raises(Locked, match="first power"):
        power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)


def test_from_usb_to_battery_only_through_cold(shop, kit):
    number = proven(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    with pytest.raises(Locked, match="Unplug that first"):
        power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)


def test_unplugging_twice_says_it_is_cold(shop, kit):
    number = make.on_the_bench(shop, kit)
    with pytest.raises(Stale, match="cold already"):
        power.change(shop, kit, number, act=Act.UNPLUG)


def test_a_powered_step_needs_its_state(shop, kit):
    number = proven(shop, kit)
    with pytest.raises(Locked, match="not done on cold"):
        spin(shop, kit, number)


def test_the_look_at_the_propellers_grows_old(shop, kit, clock):
    number = proven(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    clock.pass_minutes(31)
    with pytest.raises(Locked, match="looked at the propellers"):
        spin(shop, kit, number)
    power.look_again(shop, kit, number, propellers=0)
    assert spin(shop, kit, number).power == "battery"


def test_propellers_seen_under_power_end_the_connection(shop, kit):
    number = proven(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    with pytest.raises(Locked, match="2 propellers are on the craft"):
        power.look_again(shop, kit, number, propellers=2)
    assert make.head(shop, number).power == "cold"


def test_an_old_state_falls_back_to_cold_and_says_so(shop, kit, clock):
    number = proven(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    clock.pass_minutes(61)
    with pytest.raises(Locked, match="not done on cold"):
        spin(shop, kit, number)


def test_another_bench_asks_again(shop, kit):
    number = proven(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    elsewhere = Person(kit.id, kit.name, kit.initials, kit.role, bench="Bench 2")
    queue.take(shop, elsewhere, number)
    assert make.head(shop, number).power == "cold"


def test_saving_a_map_unplugs_on_the_record(shop, kit):
    number = proven(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    make.mapped(shop, kit, number, make.swapped)
    assert make.head(shop, number).power == "cold"
    assert any("The map changed." in e.says for e in events(shop, number))


def test_every_change_of_state_is_in_the_history(shop, kit):
    number = make.on_the_bench(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    power.change(shop, kit, number, act=Act.UNPLUG)
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    moves = [(e.kind, e.power) for e in events(shop, number) if e.kind in ("power", "props")]
    assert moves == [
        ("power", "usb"),
        ("power", "cold"),
        ("power", "limited"),
        ("props", "limited"),
    ]


def test_the_same_form_twice_is_one_change(shop, kit):
    number = make.on_the_bench(shop, kit)
    for _ in range(2):
        power.change(shop, kit, number, act=Act.PLUG_USB, act_key="once")
    assert [e.kind for e in events(shop, number)].count("power") == 1


def test_a_form_sent_for_another_act_is_not_a_repeat(shop, kit):
    number = make.on_the_bench(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB, act_key="once")
    with pytest.raises(Spent, match="From cold to usb"):
        power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0, act_key="once")
    assert make.head(shop, number).power == "usb"


def test_a_refused_form_sent_again_is_asked_anew(shop, kit):
    number = make.on_the_bench(shop, kit)
    for _ in range(2):
        with pytest.raises(Locked, match="2 propellers"):
            power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=2, act_key="once")
    assert [e.kind for e in events(shop, number)].count("power refused") == 1
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0, act_key="once")
    assert make.head(shop, number).power == "limited"


def test_propellers_seen_are_refused_each_time(shop, kit):
    number = proven(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    for _ in range(2):
        with pytest.raises(Locked, match="Unplug the battery now"):
            power.look_again(shop, kit, number, propellers=2, act_key="once")


@pytest.mark.parametrize("act", [None, Act.PLUG_USB])
def test_without_a_battery_nothing_is_looked_at_again(shop, kit, act):
    number = make.on_the_bench(shop, kit)
    if act:
        power.change(shop, kit, number, act=act)
    with pytest.raises(Stale, match="No battery is connected"):
        power.look_again(shop, kit, number, propellers=0)
    assert "props" not in [e.kind for e in events(shop, number)]


def test_nothing_is_connected_off_the_bench(shop, kit):
    number = make.on_the_bench(shop, kit)
    queue.hold(shop, kit, number, reason="waiting for a part")
    with pytest.raises(Locked, match="not on a bench"):
        power.change(shop, kit, number, act=Act.PLUG_USB)
    queue.end_hold(shop, kit, number)
    queue.put_back(shop, kit, number)
    with pytest.raises(Locked, match="not on a bench"):
        power.change(shop, kit, number, act=Act.PLUG_USB)


def spin(shop, kit, number):
    answer = {"output": 1, "seen": "turned", "corner": "FL", "turn": "cw"}
    return recording.record(shop, kit, number, "motors/spins", answer=answer, act_key=make.key())
