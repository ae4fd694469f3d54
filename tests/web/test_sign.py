"""The sign page and signed logs for everybody; on both databases."""

import pytest

from server.work.shop import Person, Shop
from tests import make
from tests.web.client import Browser


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


def test_what_is_in_the_way_is_listed_with_links(shop, kit):
    number = make.on_the_bench(shop, kit, make.swapped)
    text = Browser(shop).sign_in("Kit Thorne").get(f"/tickets/{number}/signature").text
    assert f'href="/tickets/{number}/map#finding-1"' in text
    assert f'href="/tickets/{number}/steps/before/looks"' in text


def test_the_button_is_inert_until_nothing_is_in_the_way(shop, kit):
    number = make.on_the_bench(shop, kit)
    make.keys.make_key(shop, kit, phrase=make.SIGNING)
    page = Browser(shop).sign_in("Kit Thorne").get(f"/tickets/{number}/signature")
    assert f"Sign ticket {number:04d}" in page.text
    assert 'aria-disabled="true"' in page.text


def test_one_phrase_signs(shop, kit):
    number = make.to_sign(shop, kit)
    browser = Browser(shop).sign_in("Kit Thorne")
    form = browser.get(f"/tickets/{number}/signature").form("/signature")
    page = browser.submit(form, "Sign", phrase=make.SIGNING)
    assert page.status == 200
    assert make.head(shop, number).state == "ready"


def test_a_wrong_phrase_keeps_the_words_and_not_the_phrase(shop, kit):
    number = make.to_sign(shop, kit)
    browser = Browser(shop).sign_in("Kit Thorne")
    form = browser.get(f"/tickets/{number}/signature").form("/signature")
    page = browser.submit(form, "Sign", phrase="a wrong phrase here", words="Put back by hand.")
    assert page.status == 403
    assert "Put back by hand." in page.text
    assert "a wrong phrase here" not in page.text


def test_the_lead_accepts_a_caution_on_the_page(shop, lead, kit):
    number = make.to_sign(shop, kit, make.no_telemetry)
    browser = Browser(shop).sign_in("Sunniva Oake")
    form = browser.get(f"/tickets/{number}/signature").form("/acceptances")
    refused = browser.submit(form, "Accept")
    assert refused.status == 422
    page = browser.submit(form, "Accept", reason="Flies without telemetry by choice.")
    assert "Nothing is in the way" in page.text


def test_a_technician_gets_no_accept_form(shop, lead, kit):
    number = make.to_sign(shop, kit, make.no_telemetry)
    text = Browser(shop).sign_in("Kit Thorne").get(f"/tickets/{number}/signature").text
    assert "/acceptances" not in text
    assert "The lead accepts it with a reason" in text
