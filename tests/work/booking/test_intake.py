"""Booking in, on both databases."""

import json

import pytest

from server.records import counter as kept
from server.records import customers
from server.records.engine import reading
from server.work import phones
from server.work.booking import intake
from server.work.errors import Locked, Missing
from server.work.estimate.estimates import EstimateItem
from server.work.shop import Shop
from server.work.ticket.account import account_of
from tests import make


@pytest.fixture
def lead(shop: Shop):
    return make.lead(shop)


@pytest.fixture
def ilse(shop: Shop, lead):
    return make.staff(shop, lead, "Ilse Brandt", "counter")


def found(shop, text):
    with reading(shop.engine) as connection:
        runs = phones.searched(text, "GB")
        return [c.name for c in customers.search(connection, text, runs)]


def test_what_was_told_before_stays(shop, ilse):
    booking = intake.begin(shop, ilse)
    intake.tell(shop, ilse, booking.id, {"customer_name": "Perrin Vale"})
    told = intake.tell(shop, ilse, booking.id, {"craft_name": "Kittiwake"})
    assert json.loads(told.answers) == {
        "customer_name": "Perrin Vale",
        "craft_name": "Kittiwake",
    }


def test_booking_twice_makes_one_ticket(shop, ilse):
    booking = intake.begin(shop, ilse)
    told = intake.Intake(customer_name="Perrin Vale", craft_name="Kittiwake")
    first = intake.book(shop, ilse, booking.id, told)
    assert intake.book(shop, ilse, booking.id, told).number == first.number


def test_a_booking_that_is_a_ticket_takes_no_more(shop, ilse):
    booking = intake.begin(shop, ilse)
    intake.book(shop, ilse, booking.id, intake.Intake(customer_name="A", craft_name="B"))
    with pytest.raises(Locked, match="is a ticket already"):
        intake.tell(shop, ilse, booking.id, {"own_words": "too late"})


def test_a_craft_of_somebody_else_is_refused(shop, ilse):
    make.ticket(shop, ilse)
    make.ticket(shop, ilse, customer_name="Tamsin Rook", craft_name="Dunlin")
    rook = make.head(shop, 2)
    with pytest.raises(Missing, match="not this customer’s"):
        make.ticket(shop, ilse, customer_id=rook.customer_id, craft_id=make.head(shop, 1).craft_id)


def test_particulars_are_kept_in_their_order(shop, ilse, lead):
    lines = [
        EstimateItem(says="Set-up", quantity=1, unit_minor=4500),
        EstimateItem(says="Wire", quantity=3, unit_minor=125, kind="parts"),
    ]
    number = make.ticket(shop, ilse, lines=lines, items={"radio": 1, "craft": 1, "case": 0})
    with reading(shop.engine) as connection:
        rows = kept.lines(connection, make.head(shop, number).id)
        assert kept.items(connection, make.head(shop, number).id) == {"radio": 1, "craft": 1}
    assert [tuple(row) for row in rows] == [
        ("Set-up", 1, 4500, "labour"),
        ("Wire", 3, 125, "parts"),
    ]


@pytest.mark.parametrize(
    "text", ["vale", "PERRIN", "0911", "+44 20 7946 0911", "kitti", "pv-7", "1"]
)
def test_a_customer_is_found_by_any_of_them(shop, ilse, text):
    make.ticket(shop, ilse, phone="020 7946 0911", mark="PV-7")
    make.ticket(shop, ilse, customer_name="Tamsin Rook", craft_name="Dunlin", phone="020 7946 0777")
    assert found(shop, text) == ["Perrin Vale"]


@pytest.mark.parametrize("text", ["%", "_", "91", "nobody", "\\"])
def test_what_nobody_has_finds_nobody(shop, ilse, text):
    make.ticket(shop, ilse, phone="020 7946 0911")
    assert found(shop, text) == []


def test_a_returning_craft_brings_its_last_build(shop, lead):
    make.on_the_bench(shop, lead)
    make.ticket(shop, lead, customer_id=make.head(shop, 1).customer_id, craft_name="Second")
    with reading(shop.engine) as connection:
        rows = customers.crafts(connection, make.head(shop, 1).customer_id)
    assert [(r.name, r.number, r.board_model) for r in rows] == [
        ("Kittiwake", 1, "Brindle F7"),
        ("Second", 2, None),
    ]


def test_the_first_thought_that_is_missing_is_named():
    told = {"customer_name": "A", "craft_name": "B"}
    assert intake.missing({}) == "who"
    assert intake.missing(told) == "items"
    assert intake.missing(told | {"battery_look": "none", "promised_at": "x"}) is None


def test_an_account_of_no_ticket_is_missing(shop, lead):
    with reading(shop.engine) as connection, pytest.raises(Missing):
        account_of(connection, 99, None)
