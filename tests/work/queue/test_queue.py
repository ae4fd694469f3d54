"""Acts on the queue, on both databases."""

import threading

import pytest

from server.records import evidence, tickets
from server.records.engine import reading
from server.trade.power import Act
from server.trade.roles import Role
from server.work.bench import power, signing
from server.work.errors import Locked, Missing, NotAllowed, Refused, Taken, Unfit
from server.work.handover import handover
from server.work.permissions import WHO_MAY
from server.work.queue import queue
from server.work.shop import Shop
from tests import make


@pytest.fixture
def lead(shop: Shop):
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead):
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def bo(shop: Shop, lead):
    return make.staff(shop, lead, "Bo Larch")


def test_taking_puts_it_on_the_bench(shop, kit):
    number = make.ticket(shop, kit)
    queue.take(shop, kit, number)
    head = make.head(shop, number)
    assert (head.state, head.holder) == ("bench", "Kit Thorne")


def test_the_second_taker_is_told_who_has_it(shop, kit, bo):
    number = make.ticket(shop, kit)
    queue.take(shop, kit, number)
    with pytest.raises(Taken, match=f"Ticket {number:04d} is on Kit Thorne’s bench"):
        queue.take(shop, bo, number)


def test_of_many_who_take_at_once_one_gets_it(shop, lead, kit):
    number = make.ticket(shop, kit)
    people = [make.staff(shop, lead, f"Racer {i}") for i in range(6)]
    outcomes: list[object] = []
    start = threading.Barrier(len(people))

    def race(person):
        start.wait()
        try:
            outcomes.append(queue.take(shop, person, number).holder_id)
        except Refused as no:
            outcomes.append(no)

    threads = [threading.Thread(target=race, args=(person,)) for person in people]
    [t.start() for t in threads]
    [t.join() for t in threads]
    won = [o for o in outcomes if isinstance(o, int)]
    assert len(won) == 1
    assert sum(isinstance(o, Taken) for o in outcomes) == 5


def test_the_counter_takes_no_ticket(shop, lead):
    ilse = make.staff(shop, lead, "Ilse Brand", "counter")
    number = make.ticket(shop, ilse)
    with pytest.raises(NotAllowed, match="counter cannot work at the bench"):
        queue.take(shop, ilse, number)


def test_an_unknown_ticket_is_missing(shop, kit):
    with pytest.raises(Missing, match="no ticket 0999"):
        queue.take(shop, kit, 999)


def test_put_back_is_free_and_cold(shop, kit, bo):
    number = make.on_the_bench(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    queue.put_back(shop, kit, number)
    head = make.head(shop, number)
    assert (head.state, head.holder, head.power) == ("waiting", None, "cold")
    assert queue.take(shop, bo, number).holder_id == bo.id


def test_a_hold_needs_a_reason(shop, kit):
    number = make.on_the_bench(shop, kit)
    with pytest.raises(Unfit, match="what the ticket waits for"):
        queue.hold(shop, kit, number, reason="  ")


def test_a_held_ticket_comes_back_to_its_holder(shop, kit):
    number = make.on_the_bench(shop, kit)
    queue.hold(shop, kit, number, reason="waiting for a receiver")
    assert make.head(shop, number).hold_reason == "waiting for a receiver"
    queue.end_hold(shop, kit, number)
    assert (make.head(shop, number).state, make.head(shop, number).holder) == (
        "bench",
        "Kit Thorne",
    )


def test_a_held_ticket_cannot_be_taken(shop, kit):
    number = make.ticket(shop, kit)
    queue.hold(shop, kit, number, reason="the customer has the battery")
    with pytest.raises(Locked):
        queue.take(shop, kit, number)


def test_the_counter_ends_a_hold(shop, lead, kit):
    ilse = make.staff(shop, lead, "Ilse Brand", "counter")
    number = make.on_the_bench(shop, kit)
    queue.hold(shop, kit, number, reason="waiting for a part")
    queue.end_hold(shop, ilse, number)
    assert make.head(shop, number).state == "bench"


def test_only_roles_of_the_table_end_a_hold(shop, kit, monkeypatch):
    number = make.on_the_bench(shop, kit)
    queue.hold(shop, kit, number, reason="waiting for a part")
    monkeypatch.setitem(WHO_MAY, "hold work", frozenset({Role.SUPERVISOR}))
    with pytest.raises(NotAllowed, match="technician cannot hold work"):
        queue.end_hold(shop, kit, number)
    assert make.head(shop, number).state == "on-hold"


def test_a_finished_card_taken_again_waits_for_its_signature(shop, kit, bo):
    number = make.to_sign(shop, kit)
    queue.put_back(shop, kit, number)
    assert make.head(shop, number).state == "waiting"
    queue.take(shop, bo, number)
    assert make.head(shop, number).state == "to-sign"
    queue.hold(shop, bo, number, reason="the customer thinks it over")
    queue.end_hold(shop, bo, number)
    assert make.head(shop, number).state == "to-sign"


def test_a_signed_ticket_is_not_handed_on(shop, kit, bo):
    number = make.to_sign(shop, kit)
    signing.sign(shop, kit, number, phrase=make.SIGNING, words="Settings entered anew.")
    with pytest.raises(Locked, match="is ready and cannot be passed on"):
        queue.hand_on(shop, kit, number, to=bo.id)
    assert make.head(shop, number).holder is None


def test_handing_on_changes_the_holder(shop, kit, bo):
    number = make.on_the_bench(shop, kit)
    queue.hand_on(shop, kit, number, to=bo.id)
    assert make.head(shop, number).holder == "Bo Larch"


def test_only_the_lead_moves_another_bench(shop, lead, kit, bo):
    number = make.on_the_bench(shop, kit)
    with pytest.raises(NotAllowed, match="Kit Thorne"):
        queue.put_back(shop, bo, number)
    queue.put_back(shop, lead, number)
    assert make.head(shop, number).holder is None


def test_a_ticket_that_nobody_works_on_is_cancelled_once(shop, lead, kit):
    number = make.ticket(shop, kit)
    queue.cancel(shop, lead, number, reason=" Booked in twice. ")
    queue.cancel(shop, lead, number, reason="Again.")
    head = make.head(shop, number)
    assert head.state == "cancelled"
    with reading(shop.engine) as connection:
        history = [(row.kind, row.says) for row in evidence.events(connection, head.id)]
        assert tickets.queue(connection) == []
    assert history[1:] == [("cancelled", "Cancelled by Sunniva Oake: Booked in twice.")]
    with pytest.raises(Locked, match="is closed"):
        queue.take(shop, kit, number)


def test_a_ticket_on_hold_is_cancelled_where_nobody_has_it(shop, lead, kit):
    number = make.on_the_bench(shop, kit)
    with pytest.raises(Locked, match="is on the bench and cannot be cancelled"):
        queue.cancel(shop, lead, number, reason="Not wanted.")
    queue.hold(shop, kit, number, reason="an answer")
    with pytest.raises(Locked, match="is on Kit Thorne’s bench"):
        queue.cancel(shop, lead, number, reason="Not wanted.")
    queue.put_back(shop, kit, number)
    assert make.head(shop, number).state == "on-hold"
    queue.cancel(shop, lead, number, reason="Not wanted.")
    assert make.head(shop, number).state == "cancelled"


def test_cancelling_asks_for_a_reason_a_role_and_an_empty_till(shop, lead, kit):
    number = make.ticket(shop, kit)
    with pytest.raises(Unfit, match="why it is cancelled"):
        queue.cancel(shop, lead, number, reason=" ")
    with pytest.raises(NotAllowed, match="technician cannot cancel"):
        queue.cancel(shop, kit, number, reason="Not wanted.")
    handover.take_money(shop, lead, number, kind="deposit", amount_minor=500, act_key="till")
    with pytest.raises(Locked, match=f"Money was taken for ticket {number:04d}"):
        queue.cancel(shop, lead, number, reason="Not wanted.")
    assert make.head(shop, number).state == "waiting"
