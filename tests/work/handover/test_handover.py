"""Handing over, on both databases."""

import pytest

from server.records import counter as kept
from server.records import leaving
from server.records.engine import reading
from server.trade.power import Act
from server.work.bench import power, signing
from server.work.booking import intake
from server.work.errors import Locked, NotAllowed, Spent, Unfit
from server.work.handover import handover
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


def collect(shop, by, number, *, act_key=None, **to):
    to = {"owed_note": ""} | to
    return handover.collect(shop, by, number, to=make.handed(**to), act_key=act_key or make.key())


def give_back(shop, by, number, *, reason="Not wanted.", **to):
    return handover.return_as_is(
        shop, by, number, to=make.handed(**to), reason=reason, act_key=make.key()
    )


def receipt(shop, number):
    with reading(shop.engine) as connection:
        return leaving.receipt(connection, make.head(shop, number).id)


def payments(shop, number):
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
        collect(shop, ilse, ready, paid_minor=4800, owed_note="A tip.", act_key="one hand over")
    assert payments(shop, ready) == [("balance", 4800)]


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
        collect(shop, ilse, ready, name="  ")


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
    with pytest.raises(Unfit, match="why it is returned unrepaired"):
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
    assert payments(shop, number) == [("deposit", 600)]


def test_another_amount_in_the_same_form_is_not_swallowed(shop, ilse):
    number = make.ticket(shop, ilse)
    given = {"kind": "deposit", "act_key": "one payment"}
    handover.take_money(shop, ilse, number, amount_minor=600, **given)
    with pytest.raises(Spent, match="deposit of 600"):
        handover.take_money(shop, ilse, number, amount_minor=700, **given)
    assert payments(shop, number) == [("deposit", 600)]


@pytest.mark.parametrize("amount", [0, -5])
def test_nothing_is_no_payment(shop, ilse, amount):
    number = make.ticket(shop, ilse)
    with pytest.raises(Unfit, match="above zero"):
        handover.take_money(shop, ilse, number, kind="deposit", amount_minor=amount, act_key="x")


SET_UP = [intake.EstimateItem(says="Set-up", quantity=1, unit_minor=4800)]
WAVE = "40 150 180 40;230 90 540 100"


def test_a_signature_is_kept_as_it_was_drawn(shop, ilse, ready):
    collect(shop, ilse, ready, signature=f" {WAVE} ; ", kept_back="Swollen battery\n")
    kept = receipt(shop, ready)
    assert (kept.shown, kept.signed, kept.signature) == ("slip", "tablet", WAVE)
    assert kept.kept_back == "Swollen battery"


def test_without_a_drawn_signature_it_is_on_paper(shop, ilse):
    number = make.ticket(shop, ilse)
    give_back(shop, ilse, number)
    assert (receipt(shop, number).signed, receipt(shop, number).signature) == ("paper", "")


@pytest.mark.parametrize(
    "drawn", ["10 10", "10 10 12 12", "a b", "1 2 3", "9 9 9 999", "1 1 " * 9999]
)
def test_what_is_no_signature_is_refused(shop, ilse, drawn):
    number = make.ticket(shop, ilse)
    with pytest.raises(Unfit) as no:
        give_back(shop, ilse, number, signature=drawn)
    assert no.value.field == "signature"
    assert make.head(shop, number).state == "waiting"


@pytest.mark.parametrize(
    ("name", "shown", "may"),
    [
        ("Perrin Vale", "known", True),
        ("perrin vale ", "known", True),
        ("A Friend", "known", False),
        ("A Friend", "slip", True),
        ("A Friend", "word", True),
        ("A Friend", "face", False),
        ("", "slip", False),
    ],
)
def test_only_who_may_collect_is_handed_it(shop, ilse, name, shown, may):
    number = make.ticket(shop, ilse)
    if may:
        give_back(shop, ilse, number, name=name, shown=shown)
    else:
        with pytest.raises(Unfit):
            give_back(shop, ilse, number, name=name, shown=shown)
    assert make.head(shop, number).state == ("returned" if may else "waiting")


@pytest.mark.parametrize(
    ("paid", "note", "says"),
    [
        (0, "", "48.00 is still to pay"),
        (4700, "", "1.00 is still to pay"),
        (4900, "", "1.00 is to give back"),
        (4800, "", None),
        (0, "Pays on Friday.", None),
    ],
)
def test_a_balance_is_settled_or_noted(shop, ilse, paid, note, says):
    number = make.ticket(shop, ilse, lines=SET_UP)
    if says:
        with pytest.raises(Unfit, match=says) as no:
            give_back(shop, ilse, number, paid_minor=paid, owed_note=note)
        assert no.value.field == "owed_note"
    else:
        give_back(shop, ilse, number, paid_minor=paid, owed_note=note)
        assert receipt(shop, number).owed_note == note
    assert len(payments(shop, number)) == (1 if paid and not says else 0)


def test_a_deposit_counts_towards_the_balance(shop, ilse):
    number = make.ticket(shop, ilse, lines=SET_UP)
    handover.take_money(shop, ilse, number, kind="deposit", amount_minor=4800, act_key="d")
    give_back(shop, ilse, number, owed_note="")
    assert make.head(shop, number).state == "returned"
