"""The sign page and signed logs for everybody; on both databases."""

import re

import pytest

from server.ledger.document import STATEMENT
from server.trade.power import Act
from server.work.bench import power
from server.work.queue import queue
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
    assert "The supervisor accepts it with a reason" in text


def test_what_is_connected_is_in_the_way_with_its_link(shop, kit):
    number = make.to_sign(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    page = Browser(shop).sign_in("Kit Thorne").get(f"/tickets/{number}/signature")
    assert "In the way of signing: 1" in page.text
    assert f'<a href="/tickets/{number}/power">The craft is on usb: unplug it</a>' in page.text
    assert "Not yet: 1 in the way" in page.text


def test_a_held_ticket_is_in_the_way_with_its_link(shop, kit):
    number = make.to_sign(shop, kit)
    queue.hold(shop, kit, number, reason="a new receiver")
    page = Browser(shop).sign_in("Kit Thorne").get(f"/tickets/{number}/signature")
    assert f'<a href="/tickets/{number}/card">On hold: a new receiver</a>' in page.text


def test_each_thing_in_the_way_is_on_card_and_sign_page(shop, kit):
    number = make.on_the_bench(shop, kit, make.swapped)
    browser = Browser(shop).sign_in("Kit Thorne")
    page, card = (browser.get(f"/tickets/{number}/{at}").text for at in ("signature", "card"))
    stop = f'href="/tickets/{number}/map#finding-1"'
    assert stop in page
    assert stop in card
    assert f'href="/tickets/{number}/map#finding-1"' in page
    assert page.count("to do</a>") == int(re.search(r"(\d+) steps to do, 1.1 first", card)[1])


def test_what_43_9_asks_is_on_the_page_and_that_it_is_no_approval(shop, kit):
    """The four of 14 CFR 43.9(a)(1) to (4), from memory; 43.1(b)(3) takes part 107 out."""
    number = make.to_sign(shop, kit)
    page = Browser(shop).sign_in("Kit Thorne").get(f"/tickets/{number}/signature")
    for label in ("What was done", "When it was finished", "Who did it", "Whose signature"):
        assert f"<dt>{label}</dt>" in page.text
    assert "14 CFR 43.9(a)" in page.text
    assert STATEMENT in page.text


def test_a_wrong_reason_is_told_beside_its_own_caution(shop, lead, kit):
    number = make.to_sign(shop, kit, two_cautions)
    browser = Browser(shop).sign_in("Sunniva Oake")
    page = browser.get(f"/tickets/{number}/signature")
    forms = [form for form in page.forms if form.action.endswith("/acceptances")]
    assert len(forms) > 1
    ids = re.findall(r'id="(f\d+-reason)"', page.text)
    refused = browser.submit(forms[1], "Accept")
    assert refused.status == 422
    assert re.findall(r'id="(f\d+-reason)-error"', refused.text) == [ids[1]]
    assert f'href="#{ids[1]}"' in refused.text
    assert len(set(re.findall(r' id="([^"]+)"', refused.text))) == len(
        re.findall(r' id="([^"]+)"', refused.text)
    )


def test_an_accepted_caution_stays_on_the_page_with_its_reason(shop, lead, kit):
    number = make.to_sign(shop, kit, make.no_telemetry)
    browser = Browser(shop).sign_in("Sunniva Oake")
    form = browser.get(f"/tickets/{number}/signature").form("/acceptances")
    page = browser.submit(form, "Accept", reason="Flies without telemetry by choice.")
    assert "Accepted with a reason" in page.text
    assert "Sunniva Oake: Flies without telemetry by choice." in page.text


def test_a_page_that_is_behind_is_read_again_before_it_is_signed(shop, lead, kit):
    number = make.to_sign(shop, kit)
    browser = Browser(shop).sign_in("Kit Thorne")
    form = browser.get(f"/tickets/{number}/signature").form("/signature")
    power.change(shop, kit, number, act=Act.PLUG_USB)
    power.change(shop, kit, number, act=Act.UNPLUG)
    page = browser.submit(form, "Sign", phrase=make.SIGNING, words="Put back by hand.")
    assert page.status == 409
    assert "The record changed since you read it." in page.text
    assert "Put back by hand." in page.text
    page = browser.submit(page.form("/signature"), "Sign", phrase=make.SIGNING)
    assert make.head(shop, number).state == "ready"


def two_cautions(document):
    """No telemetry, and the talking lead of the video unit left off."""
    make.no_telemetry(document)
    document["wires"] = [
        w for w in document["wires"] if (w["device"], w["lead"]) != ("video unit", "TX")
    ]
