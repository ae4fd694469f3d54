"""Handing over and printing as somebody at the counter does it."""

import io
import re

import pytest
from pypdf import PdfReader

from server.demo.bench import work_through
from server.work.bench import signing
from server.work.booking import intake
from server.work.people import keys
from server.work.shop import Shop
from tests import make
from tests.web.client import Browser

LINES = [intake.EstimateItem(says="Set-up", quantity=1, unit_minor=4500)]
GIVEN = {"shown": "slip", "on_paper": "yes"}
TOLD = {"items": {"craft": 1, "radio": 1}, "lines": LINES}


@pytest.fixture
def kit(shop: Shop):
    lead = make.lead(shop)
    make.staff(shop, lead, "Ilse Brandt", "counter")
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def ilse(shop: Shop, kit) -> Browser:
    return Browser(shop).sign_in("Ilse Brandt")


@pytest.fixture
def ready(shop: Shop, kit) -> int:
    number = make.to_sign(shop, kit, **TOLD)
    signing.sign(shop, kit, number, phrase=make.SIGNING, words="Settings entered anew.")
    return number


def pdf_text(page) -> str:
    assert page.status == 200
    assert page.answer.headers["content-type"] == "application/pdf"
    assert page.answer.headers["content-disposition"].startswith("inline")
    pages = PdfReader(io.BytesIO(page.answer.content)).pages
    return re.sub(r"\s+", " ", " ".join(p.extract_text() for p in pages))


def test_a_ready_craft_is_handed_over_with_its_money(shop, ilse, ready):
    page = ilse.get(f"/tickets/{ready}/collection")
    assert "1 × Radio" in page.text
    page = ilse.submit(page.form("/collection"), shown="slip", paid="45,00", on_paper="yes")
    assert page.answer.url.path == f"/tickets/{ready}"
    assert make.head(shop, ready).state == "collected"
    assert "Balance EUR\N{NO-BREAK SPACE}45.00" in page.text


@pytest.mark.parametrize("paid", ["0", "-3", "12.345", "much"])
def test_money_that_is_none_is_refused(shop, ilse, ready, paid):
    page = ilse.get(f"/tickets/{ready}/collection")
    page = ilse.submit(page.form("/collection"), paid=paid)
    assert page.status == 422
    assert page.form("/collection").value("paid") == paid
    assert make.head(shop, ready).state == "ready"


def test_a_craft_that_is_not_ready_says_why(shop, ilse, kit):
    number = make.ticket(shop, kit)
    page = ilse.get(f"/tickets/{number}/collection")
    assert "its test log is not signed" in page.text
    assert not [f for f in page.forms if f.action.endswith("/collection")]


def test_a_return_needs_a_reason_and_keeps_what_was_typed(shop, ilse, kit):
    number = make.ticket(shop, kit)
    page = ilse.get(f"/tickets/{number}/return")
    page = ilse.submit(page.form("/return"), collected_by="A Friend", reason="")
    assert page.status == 422
    assert page.form("/return").value("collected_by") == "A Friend"
    page = ilse.submit(page.form("/return"), reason="Not wanted any more.", **GIVEN)
    assert make.head(shop, number).state == "returned"
    assert f"/tickets/{number}/returned.pdf" in page.text


def test_a_deposit_is_written_down_once(ilse, shop, kit):
    number = make.ticket(shop, kit, **TOLD)
    form = ilse.get(f"/tickets/{number}/payments").form("/payments")
    for _ in range(2):
        page = ilse.submit(form, kind="deposit", amount="6.00")
    assert page.text.count("Deposit EUR\N{NO-BREAK SPACE}6.00") == 1
    assert "39.00" in page.text


def test_a_technician_is_told_who_hands_over(shop, kit, ready):
    page = Browser(shop).sign_in("Kit Thorne").get(f"/tickets/{ready}/collection")
    assert page.status == 403
    assert "Ask the counter or the supervisor." in page.text


def test_the_claim_slip_holds_what_was_told(shop, ilse, kit):
    number = make.ticket(shop, kit, own_words="It will not arm.", **TOLD)
    text = pdf_text(ilse.get(f"/tickets/{number}/claim-slip.pdf"))
    for said in ("Claim slip", "0001", "Perrin Vale", "It will not arm.", "1 × Radio", "45.00"):
        assert said in text


def test_the_pickup_sheet_says_what_was_proven(shop, ilse, ready):
    text = pdf_text(ilse.get(f"/tickets/{ready}/pickup.pdf"))
    for said in (
        "Settings entered anew.",
        "CRSF on UART1",
        "FL and RR: clockwise.",
        "arms at 1500 µs and up",
        "WARNING",
        "Port map",
    ):
        assert said in text
    assert re.search(r"\b(\d\d) of \1\b", text), "not every step is told as done"


def test_what_shows_only_in_flight_is_not_said_to_be_done(shop, ilse, kit):
    number = make.to_sign(shop, kit, symptoms=["wiped", "drifts"])
    signing.sign(shop, kit, number, phrase=make.SIGNING, words="Settings entered anew.")
    text = pdf_text(ilse.get(f"/tickets/{number}/pickup.pdf"))
    assert "Not flown: whether it still drifts shows only in flight." in text


def test_the_pickup_sheet_tells_of_the_moved_leads(shop, ilse, kit):
    number = make.on_the_bench(shop, kit, make.swapped)
    make.mapped(shop, kit, number)
    work_through(shop, kit, number)
    keys.make_key(shop, kit, phrase=make.SIGNING)
    signing.sign(shop, kit, number, phrase=make.SIGNING, words="Two wires exchanged.")
    text = pdf_text(ilse.get(f"/tickets/{number}/pickup.pdf"))
    assert "Video unit: TX moved from T4 to R4." in text
    assert "Video unit: RX moved from R4 to T4." in text


@pytest.mark.parametrize("paper", ["port-map", "bench-card", "pickup", "test-log", "returned"])
def test_a_paper_without_its_record_is_refused(shop, ilse, kit, paper):
    number = make.ticket(shop, kit)
    page = ilse.get(f"/tickets/{number}/{paper}.pdf")
    assert page.status == 409


@pytest.mark.parametrize("paper", ["bag-tag", "estimate", "port-map", "bench-card", "test-log"])
def test_every_other_paper_is_a_pdf(ilse, ready, paper):
    assert "Kittiwake" in pdf_text(ilse.get(f"/tickets/{ready}/{paper}.pdf"))


def test_the_returned_sheet_says_what_is_unsafe(shop, ilse, kit):
    number = make.on_the_bench(shop, kit, make.swapped)
    form = ilse.get(f"/tickets/{number}/return").form("/return")
    ilse.submit(form, reason="The repair was not wanted.", **GIVEN)
    text = pdf_text(ilse.get(f"/tickets/{number}/returned.pdf"))
    assert "The repair was not wanted." in text
    assert "The video unit's TX is on T4" in text
    assert "Before power: 5 of 5 steps" in text


def test_there_is_no_paper_of_another_name(ilse, ready):
    assert ilse.get(f"/tickets/{ready}/invoice.pdf").status == 404


def test_who_collects_signs_and_pays_is_asked_at_once(ilse, shop, ready):
    page = ilse.get(f"/tickets/{ready}/collection")
    assert "To pay: 45.00." in page.text
    page = ilse.submit(page.form("/collection"))
    assert page.status == 422
    assert "Say how you know that they may." in page.text
    page = ilse.submit(page.form("/collection"), shown="slip", paid="5")
    assert "Let them sign here, or tick that they sign the printed sheet." in page.text
    page = ilse.submit(page.form("/collection"), signature="40 150 80 60 900 9")
    assert "The signature leaves its box. Clear it and sign again." in page.text
    page = ilse.submit(page.form("/collection"), signature="40 150 80 60 300 90")
    assert "EUR\N{NO-BREAK SPACE}40.00 is still to pay." in page.text
    assert page.form("/collection").value("signature") == "40 150 80 60 300 90"
    page = ilse.submit(page.form("/collection"), owed_note="Pays on Friday.")
    assert make.head(shop, ready).state == "collected"
    text = pdf_text(ilse.get(f"/tickets/{ready}/pickup.pdf"))
    assert "left open: Pays on Friday." in text


def test_what_is_kept_back_stands_on_either_sheet(ilse, shop, kit, ready):
    kept = {"kept_back": "Swollen battery, to be thrown away safely", "owed_note": "Free."} | GIVEN
    ilse.submit(ilse.get(f"/tickets/{ready}/collection").form("/collection"), **kept)
    number = make.ticket(shop, kit)
    page = ilse.get(f"/tickets/{number}/return")
    ilse.submit(page.form("/return"), reason="Not wanted.", **kept)
    for paper in (f"{ready}/pickup", f"{number}/returned"):
        text = pdf_text(ilse.get(f"/tickets/{paper}.pdf"))
        assert "Kept back by the shop • Swollen battery, to be thrown away safely" in text


def test_a_return_shows_what_remains_unsafe(shop, ilse, kit):
    number = make.on_the_bench(shop, kit, make.swapped)
    text = ilse.get(f"/tickets/{number}/return").text
    assert "Stop: The video unit&#39;s TX is on T4" in text
    assert "Stop: Not proven, in whole or in part: Before power, " in text
    bare = make.ticket(shop, kit)
    assert "Nothing was proven, so all of it" in ilse.get(f"/tickets/{bare}/return").text


def test_only_the_customer_is_known_by_sight(shop, ilse, kit):
    number = make.ticket(shop, kit)
    form = ilse.get(f"/tickets/{number}/return").form("/return")
    page = ilse.submit(form, collected_by="A Friend", reason="x", shown="known", on_paper="yes")
    assert (page.status, make.head(shop, number).state) == (422, "waiting")
    assert "A Friend is not the customer, Perrin Vale." in page.text
