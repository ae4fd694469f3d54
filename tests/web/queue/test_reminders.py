"""Reminders by their pages."""

from datetime import timedelta

import pytest

from server.work.shop import Shop
from tests import make
from tests.web.client import Browser


@pytest.fixture
def lead(shop: Shop):
    return make.lead(shop)


@pytest.fixture
def ilse(shop: Shop, lead) -> Browser:
    make.staff(shop, lead, "Ilse Brandt", "counter")
    return Browser(shop).sign_in("Ilse Brandt")


def test_a_late_craft_has_a_text_to_copy_and_is_noted(shop, lead, ilse):
    late = shop.now() - timedelta(hours=1)
    number = make.ticket(shop, lead, promised_at=late, phone="020 7946 0911", craft_name="<b>Knot")
    assert 'href="/reminders"' in ilse.get("/queue").text
    page = ilse.get("/reminders")
    assert "Nothing is sent by itself." in page.text
    assert "Hello Perrin, we promised your &lt;b&gt;Knot (ticket 0001)" in page.text
    assert "020 7946 0911" in page.text
    page = ilse.submit(page.form(f"/tickets/{number}/reminders"))
    assert page.answer.url.path == "/reminders"
    assert "<b>Told Mon" in page.text
    assert "The customer was told by Ilse Brandt" in ilse.get(f"/tickets/{number}").text


def test_empty_groups_say_so(ilse):
    text = ilse.get("/reminders").text
    assert text.count("0\N{NO-BREAK SPACE}tickets") == 3
    assert "Every promise can still be kept." in text


def test_the_lead_writes_what_they_say(shop, lead):
    sunniva = Browser(shop).sign_in("Sunniva Oake")
    page = sunniva.get("/reminders/messages")
    assert page.form("/messages").value("ready").startswith("Hello {name}")
    page = sunniva.submit(page.form("/messages"), late="Dear {customer}")
    assert page.status == 422
    assert "Nothing fills {customer}. Use the gaps that are listed." in page.text
    assert page.form("/messages").value("late") == "Dear {customer}"
    page = sunniva.submit(page.form("/messages"), late="Dear {name}", held="")
    assert page.form("/messages").value("late") == "Dear {name}"
    assert page.form("/messages").value("held").startswith("Hello {name}")


def test_who_may_not_is_told_so(shop, lead, ilse):
    make.staff(shop, lead, "Kit Thorne")
    kit = Browser(shop).sign_in("Kit Thorne")
    assert kit.get("/reminders").status == 403
    assert 'href="/reminders"' not in kit.get("/queue").text
    assert ilse.get("/reminders/messages").status == 403
