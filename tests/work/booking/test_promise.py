"""The suggested promise from a shop's own past, on both databases."""

from datetime import timedelta

import pytest

from server.records import people
from server.records.engine import reading
from server.work.bench import signing
from server.work.booking import promise
from server.work.office import settings
from server.work.queue import queue
from server.work.shop import Shop
from tests import make


@pytest.fixture
def lead(shop: Shop):
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead):
    return make.staff(shop, lead, "Kit Thorne")


def advice(shop, **told):
    with reading(shop.engine) as connection:
        profile = people.shop(connection)
        return promise.suggested(connection, profile, shop.now(), **told)


def signed(shop, kit, clock, minutes, **told):
    """A ticket that was so long on the bench."""
    number = make.to_sign(shop, kit, **told)
    clock.pass_minutes(minutes)
    signing.sign(shop, kit, number, phrase=make.SIGNING, words="Settings entered anew.")
    return number


def test_a_new_shop_says_that_it_knows_too_little(shop, lead):
    found = advice(shop)
    assert (found.like, found.history, found.ahead) == (None, 0, 0)


def test_past_times_and_the_queue_make_the_promise(shop, lead, kit, clock, monkeypatch):
    monkeypatch.setattr("server.trade.promise.LEAST", 2)
    monkeypatch.setattr("server.trade.promise.TENTHS", 6)
    for minutes in (30, 60):
        signed(shop, kit, clock, minutes)
        clock.at = make.START
    signed(shop, kit, clock, 200, symptoms=["flips"])
    waiting = make.ticket(shop, lead)
    held = make.ticket(shop, lead)
    queue.hold(shop, lead, held, reason="a part")
    found = advice(shop, symptoms=["wiped"], board="Alder & Finch Brindle F7")
    assert (found.like.by, found.like.count, found.ahead) == ("both", 2, 1)
    assert 30 <= found.like.low < 32
    assert 60 <= found.like.high < 62
    assert found.at >= found.late > found.early
    queue.take(shop, kit, waiting)
    assert advice(shop).ahead == 1


def test_a_corrected_log_counts_its_ticket_once(shop, lead, kit, clock):
    number = signed(shop, kit, clock, 45)
    with reading(shop.engine) as connection:
        profile = people.shop(connection)
        rows = promise.past_work.signed(connection)
        past = promise.past(connection, [*rows, *rows], promise.opening_of(profile))
    assert len(past) == 1
    assert make.head(shop, number).state == "ready"


def test_opening_days_are_the_shops_own(shop, lead, clock):
    weekdays = advice(shop).at
    settings.change_shop(shop, lead, {"open_days": "1", "opens_at": "10:00", "closes_at": "14:00"})
    mondays = advice(shop).at
    assert mondays - weekdays > timedelta(days=4)
    assert (mondays.isoweekday(), mondays.hour) == (1, 14)
