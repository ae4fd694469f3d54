"""A customer's data by its pages: looked at, taken along, erased after two questions."""

import io
import zipfile

import pytest

from server.work.handover import handover
from server.work.shop import Shop
from tests import make
from tests.web.client import Browser


@pytest.fixture
def lead(shop: Shop):
    return make.lead(shop)


@pytest.fixture
def sunniva(shop: Shop, lead) -> Browser:
    return Browser(shop).sign_in("Sunniva Oake")


@pytest.fixture
def gone(shop: Shop, lead) -> int:
    """A closed ticket."""
    number = make.ticket(shop, lead, own_words="It fell off the shed.")
    handover.return_as_is(shop, lead, number, to=make.handed(), reason="Not wanted.", act_key="r")
    return number


def test_the_ticket_leads_to_what_is_held(sunniva, gone):
    assert 'href="/customers/1"' in sunniva.get(f"/tickets/{gone}").text
    text = sunniva.get("/customers/1").text.replace("\N{NO-BREAK SPACE}", " ")
    assert "What is held on Perrin Vale" in text
    assert "their name in every note of 1 ticket." in text


def test_an_export_is_a_zip_that_nobody_caches(sunniva, gone):
    answer = sunniva.get("/customers/1/held.zip").answer
    assert answer.headers["content-type"] == "application/zip"
    assert answer.headers["cache-control"] == "no-store"
    assert "held.json" in zipfile.ZipFile(io.BytesIO(answer.content)).namelist()


def test_erasing_asks_twice_and_lists_both_times(shop, sunniva, gone):
    page = sunniva.get("/customers/1/erasure")
    page = sunniva.submit(page.form("/erasure"), named="Perrin Wale")
    assert (page.status, page.form("/erasure").value("named")) == (422, "Perrin Wale")
    assert "That is not this customer’s name." in page.text
    page = sunniva.submit(page.form("/erasure"), named="perrin vale")
    assert page.status == 200
    for said in ("What goes, for good", "What stays, under a number", "For the second time"):
        assert said in page.text
    assert make.head(shop, gone).customer == "Perrin Vale"
    page = sunniva.submit(page.form("/erasure"), "Erase Perrin Vale for good")
    assert page.answer.url.path == "/customers/1"
    assert "Customer 1 is erased." in page.text
    assert make.head(shop, gone).customer == "Customer 1"
    assert sunniva.get("/customers/1/erasure").answer.url.path == "/customers/1"
    shown = sunniva.get(f"/tickets/{gone}").text
    assert "Perrin" not in shown
    assert "shed" not in shown


def test_papers_of_an_erased_customer_still_print(sunniva, gone):
    page = sunniva.submit(sunniva.get("/customers/1/erasure").form("/erasure"), named="Perrin Vale")
    sunniva.submit(page.form("/erasure"))
    for paper in ("claim-slip", "returned", "estimate"):
        assert sunniva.get(f"/tickets/{gone}/{paper}.pdf").answer.content[:5] == b"%PDF-"


def test_an_open_ticket_is_named_as_in_the_way(shop, lead, sunniva):
    number = make.ticket(shop, lead)
    assert f"ticket {number:04d}" in sunniva.get("/customers/1").text
    page = sunniva.submit(sunniva.get("/customers/1/erasure").form("/erasure"), named="Perrin Vale")
    page = sunniva.submit(page.form("/erasure"))
    assert page.status == 409
    assert "Ticket 0001 is still open." in page.text


@pytest.mark.parametrize("role", ["counter", "technician"])
@pytest.mark.parametrize("page", ["", "/held.zip", "/erasure"])
def test_nobody_but_the_lead_sees_it(shop, lead, gone, role, page):
    make.staff(shop, lead, "Ilse Brandt", role)
    ilse = Browser(shop).sign_in("Ilse Brandt")
    assert ilse.get(f"/customers/1{page}").status == 403
    assert "/customers/" not in ilse.get(f"/tickets/{gone}").text


def test_a_customer_who_is_none_is_missing(sunniva):
    assert sunniva.get("/customers/4711").status == 404
