"""A battery on new wiring: its current is read before anything else is recorded under it."""

import pytest

from server.records.engine import reading
from server.trade.card import example
from server.trade.power import Act
from server.work.bench import faults, power, recording
from server.work.bench.progress import work_of
from server.work.errors import Locked
from server.work.shop import Person, Shop
from tests import make

FIRST = "motors/first-power"
NOT_YET = "First power has not passed for this wiring"


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


@pytest.fixture
def number(shop: Shop, kit: Person) -> int:
    """A ticket that is looked over; its limiter is connected for the first time."""
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number, until="keep/settings")
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    return number


def step_of(shop, number, key):
    with reading(shop.engine) as connection:
        work = work_of(connection, make.head(shop, number))
    return next(s for s in work.steps if s.step.key == key)


def record(shop, kit, number, key, answer=None):
    given = answer or example(step_of(shop, number, key).step)[0]
    return recording.record(shop, kit, number, key, answer=given, act_key=make.key())


def proven(shop, kit):
    """A ticket with first power passed, and all that comes before it on the card; it is cold."""
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number, until="motors/spins")
    return number


@pytest.mark.parametrize("key", ["keep/settings", "level/faces", "motors/link", "battery/warnings"])
def test_nothing_comes_before_the_current_on_a_battery(shop, kit, number, key):
    with pytest.raises(Locked, match=NOT_YET) as refused:
        record(shop, kit, number, key)
    assert refused.value.do == "Do step 7.6 first: read the current through the limiter."
    assert not step_of(shop, number, key).entries


def test_after_the_current_the_limiter_serves_for_settings(shop, kit, number):
    record(shop, kit, number, FIRST)
    assert record(shop, kit, number, "keep/settings").power == "limited"


@pytest.mark.parametrize("answer", [{"values": {"amps": "9"}}, {"instead": "tripped"}])
def test_a_current_that_is_wrong_opens_nothing(shop, kit, number, answer):
    record(shop, kit, number, FIRST, answer)
    with pytest.raises(Locked, match=NOT_YET):
        record(shop, kit, number, "keep/settings")
    power.change(shop, kit, number, act=Act.UNPLUG)
    with pytest.raises(Locked, match="first power"):
        power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)


def test_what_needs_no_battery_is_done_without_one(shop, kit, number):
    power.change(shop, kit, number, act=Act.UNPLUG)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    assert record(shop, kit, number, "keep/settings").power == "usb"


def moved(change):
    return pytest.param(change, id=change.__name__)


def another_board(document):
    document["board"]["model"] = "Brindle F7 mk 2"


@pytest.mark.parametrize(
    "change", [moved(make.esc_moved), moved(make.receiver_moved), moved(another_board)]
)
def test_a_moved_wire_asks_for_first_power_again(shop, kit, change):
    number = proven(shop, kit)
    make.mapped(shop, kit, number, change)
    assert not step_of(shop, number, FIRST).done
    with pytest.raises(Locked, match="first power"):
        power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    with pytest.raises(Locked, match=NOT_YET):
        record(shop, kit, number, "battery/warnings")


def test_a_wire_moved_away_and_back_is_a_new_joint(shop, kit):
    number = proven(shop, kit)
    make.mapped(shop, kit, number, make.receiver_moved)
    make.mapped(shop, kit, number)
    assert not step_of(shop, number, FIRST).done
    assert not step_of(shop, number, "before/shorts").done
    assert step_of(shop, number, "radio/ends").done
    with pytest.raises(Locked, match="first power"):
        power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    make.work_through(shop, kit, number, until="motors/spins")
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)


def test_a_map_that_moves_no_wire_keeps_first_power(shop, kit):
    number = proven(shop, kit)
    for name in ("Dunlin", "Knot", "Dunlin"):
        make.mapped(shop, kit, number, lambda d, name=name: d["craft"].update(name=name))
    assert step_of(shop, number, FIRST).done
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)


def test_the_fault_finder_waits_for_the_current_too(shop, kit, number):
    faults.begin(shop, kit, number, symptoms=["one-motor"], act_key=make.key())
    with pytest.raises(Locked, match=NOT_YET):
        faults.answer(shop, kit, number, check="esc-tones", outcome="all", act_key=make.key())


def test_the_check_that_reads_the_current_needs_no_passed_one(shop, kit, number):
    record(shop, kit, number, FIRST, {"instead": "tripped"})
    faults.begin(shop, kit, number, symptoms=["draws-much"], act_key=make.key())
    given = faults.answer(
        shop, kit, number, check="one-part-less", outcome="falls", act_key=make.key()
    )
    assert given.power == "limited"


@pytest.mark.parametrize("key", ["check/again", "check/spins", "check/radio-off", "check/saved"])
def test_the_whole_check_waits_for_what_it_checks(shop, kit, key):
    number = proven(shop, kit)
    step = step_of(shop, number, key).step
    act = Act.PLUG_USB if "usb" in step.states else Act.PLUG_BATTERY
    power.change(shop, kit, number, act=act, propellers=0)
    with pytest.raises(Locked, match=f"Step {step.number} comes after 7.7, 7.8"):
        record(shop, kit, number, key)
