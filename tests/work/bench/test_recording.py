"""Recording evidence: durable, once, current, never overwritten; on both databases."""

import pytest
from sqlalchemy import func
from sqlmodel import select

from server.records.engine import reading
from server.records.tables import Evidence
from server.trade.card import example
from server.trade.power import Act
from server.work.bench import power, recording
from server.work.bench.progress import work_of
from server.work.errors import Locked, Missing, NotAllowed, Spent, Stale, Unfit
from server.work.shop import Person, Shop
from tests import make

CHOICE = "before/looks"


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


def good(shop, number, key):
    step = standing(shop, number, key).step
    return example(step)[0]


def standing(shop, number, key):
    head = make.head(shop, number)
    with reading(shop.engine) as connection:
        work = work_of(connection, head)
    return next(s for s in work.steps if s.step.key == key)


def count(shop) -> int:
    with reading(shop.engine) as connection:
        return connection.execute(select(func.count()).select_from(Evidence)).scalar_one()


def test_a_good_answer_does_the_step(shop, kit):
    number = make.on_the_bench(shop, kit)
    entry = recording.record(
        shop, kit, number, CHOICE, answer=good(shop, number, CHOICE), act_key=make.key()
    )
    assert entry.verdict == "pass"
    assert standing(shop, number, CHOICE).mark == "done"
    assert make.head(shop, number).steps_done == 1


def test_the_same_key_twice_is_one_entry(shop, kit):
    number = make.on_the_bench(shop, kit)
    answer = good(shop, number, CHOICE)
    first = recording.record(shop, kit, number, CHOICE, answer=answer, act_key="once")
    again = recording.record(shop, kit, number, CHOICE, answer=answer, act_key="once")
    assert first.id == again.id
    assert count(shop) == 1


def test_the_same_key_with_another_answer_is_not_swallowed(shop, kit):
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number, until="motors/spins")
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    turned = {"output": 1, "seen": "turned", "corner": "FL", "turn": "cw"}
    recording.record(shop, kit, number, "motors/spins", answer=turned, act_key="once")
    before = count(shop)
    with pytest.raises(Spent, match="sent before"):
        recording.record(
            shop, kit, number, "motors/spins", answer=turned | {"turn": "ccw"}, act_key="once"
        )
    assert count(shop) == before


def test_a_key_of_another_ticket_records_nothing_here(shop, kit):
    first, other = make.on_the_bench(shop, kit), make.on_the_bench(shop, kit)
    answer = good(shop, first, CHOICE)
    recording.record(shop, kit, first, CHOICE, answer=answer, act_key="once")
    with pytest.raises(Spent):
        recording.record(shop, kit, other, CHOICE, answer=answer, act_key="once")
    assert standing(shop, other, CHOICE).mark == "todo"


def test_a_correction_is_a_new_entry_that_names_the_old(shop, kit):
    number = make.on_the_bench(shop, kit)
    answer = good(shop, number, CHOICE)
    first = recording.record(shop, kit, number, CHOICE, answer=answer, act_key=make.key())
    second = recording.record(
        shop, kit, number, CHOICE, answer=answer, act_key=make.key(), seen=first.id
    )
    assert second.replaces_id == first.id
    assert count(shop) == 2


def test_the_second_of_two_people_is_shown_the_first(shop, lead, kit):
    bo = make.staff(shop, lead, "Bo Larch")
    number = make.on_the_bench(shop, kit)
    answer = good(shop, number, CHOICE)
    recording.record(shop, kit, number, CHOICE, answer=answer, act_key=make.key())
    with pytest.raises(Stale, match="Kit Thorne recorded step"):
        recording.record(shop, bo, number, CHOICE, answer=answer, act_key=make.key(), seen=0)
    assert count(shop) == 1


def test_an_answer_for_an_older_target_is_refused(shop, kit):
    number = make.on_the_bench(shop, kit)
    old = standing(shop, number, "radio/ends").step.basis
    make.mapped(shop, kit, number, make.receiver_moved)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    with pytest.raises(Stale, match="The map changed"):
        recording.record(
            shop, kit, number, "radio/ends", answer={"channels": []}, act_key=make.key(), basis=old
        )


def test_out_of_limits_is_recorded_and_fails(shop, kit):
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number, until="motors/first-power")
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    field = standing(shop, number, "motors/first-power").step.evidence.fields[0].name
    entry = recording.record(
        shop,
        kit,
        number,
        "motors/first-power",
        answer={"values": {field: "1.9"}},
        act_key=make.key(),
    )
    assert entry.verdict == "fail"
    assert "1.9" in entry.answer
    assert entry.do
    assert standing(shop, number, "motors/first-power").mark == "out"


def test_what_cannot_be_read_names_its_field(shop, kit):
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number, until="motors/first-power")
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    before = count(shop)
    with pytest.raises(Unfit):
        recording.record(
            shop,
            kit,
            number,
            "motors/first-power",
            answer={"values": {"amps": "lots"}},
            act_key=make.key(),
        )
    assert count(shop) == before


def test_a_step_waits_for_those_before_it(shop, kit):
    number = make.on_the_bench(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    with pytest.raises(Locked, match="comes after"):
        recording.record(
            shop,
            kit,
            number,
            "ports/stuck",
            answer=good(shop, number, "ports/stuck"),
            act_key=make.key(),
        )


def test_an_unknown_step_is_missing(shop, kit):
    number = make.on_the_bench(shop, kit)
    with pytest.raises(Missing, match="no such step"):
        recording.record(
            shop, kit, number, "ports/UART9", answer={"done": True}, act_key=make.key()
        )


def test_the_counter_records_nothing(shop, lead, kit):
    ilse = make.staff(shop, lead, "Ilse Brand", "counter")
    number = make.on_the_bench(shop, kit)
    with pytest.raises(NotAllowed):
        recording.record(shop, ilse, number, CHOICE, answer={"choice": "x"}, act_key=make.key())


def test_a_moved_receiver_reopens_its_steps_only(shop, kit):
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number)

    make.mapped(shop, kit, number, make.receiver_moved)
    assert standing(shop, number, "radio/ends").mark == "stale"
    assert standing(shop, number, "switches/arm").mark == "stale"
    assert standing(shop, number, "level/faces").mark == "done"
    assert standing(shop, number, "ports/UART4").mark == "done"
    assert make.head(shop, number).state == "bench"


def test_a_changed_output_order_asks_for_the_spins_again(shop, kit):
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number)
    assert make.head(shop, number).state == "to-sign"
    power.change(shop, kit, number, act=Act.PLUG_USB)
    other = {"table": {"1": "RR", "2": "FL", "3": "RL", "4": "FR"}}
    last = standing(shop, number, "motors/order").last.id
    recording.record(shop, kit, number, "motors/order", answer=other, act_key=make.key(), seen=last)
    assert standing(shop, number, "motors/spins").mark != "done"
    assert make.head(shop, number).state == "bench"
