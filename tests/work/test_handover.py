"""Handing over, on both databases."""

import pytest

from server.records import counter as kept
from server.records.engine import reading
from server.trade.power import Act
from server.work import handover, power, signing
from server.work.errors import Locked, NotAllowed, Spent, Unfit
from server.work.shop import Shop
from tests import make


@pytest.fixture
def lead(shop: Shop):
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead):
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def ilse(shop: Shop, lead):
    return make.staff(shop, lead, "Ilse Brandt", "counter")


@pytest.fixture
def ready(shop: Shop, kit):
    number = make.to_sign(shop, kit)
    signing.sign(shop, kit, number, phrase=make.SIGNING, words="Settings entered anew.")
    return number


def collect(shop, by, number, **other):
    given = {"collected_by": "Perrin Vale", "act_key": make.key()} | other
    return handover.collect(shop, by, number, **given)


def give_back(shop, by, number, **other):
    given = {"collected_by": "Perrin Vale", "reason": "Not wanted.", "act_key": make.key()} | other
    return handover.return_as_is(shop, by, number, **given)


def paid(shop, number):
    with reading(shop.engine) as connection:
        rows = kept.payments(connection, make.head(shop, number).id)
    return [(row.kind, row.amount_minor) for row in rows]


def test_collecting_closes_the_ticket(shop, ilse, ready):
    collect(shop, ilse, ready)
    head = make.head(shop, ready)
    assert (head.state, head.collected_by) == ("collected", "Perrin Vale")
    assert head.collected_at is not None


def test_the_same_hand_over_twice_takes_money_once(shop, ilse, ready):
    for _ in range(2):
        collect(shop, ilse, ready, paid_minor=4800, act_key="one hand over")
    assert paid(shop, ready) == [("balance", 4800)]


def test_a_second_hand_over_is_refused(shop, ilse, ready):
    collect(shop, ilse, ready)
    with pytest.raises(Locked):
        collect(shop, ilse, ready)


def test_a_craft_without_a_log_is_not_collected(shop, ilse, kit):
    number = make.on_the_bench(shop, kit)
    with pytest.raises(Locked, match="not signed"):
        collect(shop, ilse, number)
    assert make.head(shop, number).state == "bench"


def test_a_technician_does_not_hand_over(shop, kit, ready):
    with pytest.raises(NotAllowed):
        collect(shop, kit, ready)


def test_somebody_has_to_collect_it(shop, ilse, ready):
    with pytest.raises(Unfit, match="who collects"):
        collect(shop, ilse, ready, collected_by="  ")


@pytest.mark.parametrize("state", ["waiting", "bench", "ready"])
def test_any_open_ticket_is_returned_as_is(shop, ilse, kit, state, request):
    makers = {
        "waiting": lambda: make.ticket(shop, ilse),
        "bench": lambda: make.on_the_bench(shop, kit),
        "ready": lambda: request.getfixturevalue("ready"),
    }
    number = makers[state]()
    give_back(shop, ilse, number)
    assert (make.head(shop, number).state, make.head(shop, number).holder) == ("returned", None)


def test_a_return_needs_its_reason(shop, ilse):
    with pytest.raises(Unfit, match="why it goes back"):
        give_back(shop, ilse, make.ticket(shop, ilse), reason=" ")


def test_a_craft_with_power_is_not_returned(shop, ilse, kit):
    number = make.on_the_bench(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    with pytest.raises(Locked, match="usb"):
        give_back(shop, ilse, number)


def test_an_old_power_state_does_not_keep_a_craft(shop, ilse, kit, clock):
    number = make.on_the_bench(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    clock.pass_minutes(61)
    give_back(shop, ilse, number)
    assert (make.head(shop, number).state, make.head(shop, number).power) == ("returned", "cold")


def test_a_closed_ticket_is_not_returned_again(shop, ilse):
    number = make.ticket(shop, ilse)
    give_back(shop, ilse, number)
    with pytest.raises(Locked, match="closed"):
        give_back(shop, ilse, number)


def test_the_same_payment_twice_is_one(shop, ilse):
    number = make.ticket(shop, ilse)
    for _ in range(2):
        handover.take_money(
            shop, ilse, number, kind="deposit", amount_minor=600, act_key="one payment"
        )
    assert paid(shop, number) == [("deposit", 600)]


def test_another_amount_in_the_same_form_is_not_swallowed(shop, ilse):
    number = make.ticket(shop, ilse)
    given = {"kind": "deposit", "act_key": "one payment"}
    handover.take_money(shop, ilse, number, amount_minor=600, **given)
    with pytest.raises(Spent, match="deposit of 600"):
        handover.take_money(shop, ilse, number, amount_minor=700, **given)
    assert paid(shop, number) == [("deposit", 600)]


@pytest.mark.parametrize("amount", [0, -5])
def test_nothing_is_no_payment(shop, ilse, amount):
    number = make.ticket(shop, ilse)
    with pytest.raises(Unfit, match="above zero"):
        handover.take_money(shop, ilse, number, kind="deposit", amount_minor=amount, act_key="x")
