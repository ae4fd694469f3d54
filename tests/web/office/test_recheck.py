"""The lead has past builds looked at again, in bounded runs, and sees whose quads are touched."""

from html import unescape

import pytest
from sqlalchemy import delete, update

from server.records.columns import core
from server.records.engine import writing
from server.records.tables import Build, BuildFinding
from server.web.office import recheck
from tests import make
from tests.web.client import Browser

URL = "/office/recheck"


@pytest.fixture
def lead(shop):
    return make.lead(shop)


@pytest.fixture
def browser(shop, lead):
    return Browser(shop).sign_in("Sunniva Oake")


def past(shop, by, *owners, change=None):
    """A signed build for each owner, with what was found on it forgotten."""
    numbers = [make.on_the_bench(shop, by, change, customer_name=owner) for owner in owners]
    with writing(shop.engine) as session:
        session.connection().execute(update(core(Build)).values(signed_at=shop.now()))
        session.connection().execute(delete(core(BuildFinding)))
    return numbers


@pytest.mark.parametrize("role", ["counter", "technician"])
def test_the_page_is_the_lead_s_only(shop, lead, role):
    make.staff(shop, lead, "Kit Thorne", role)
    page = Browser(shop).sign_in("Kit Thorne").get(URL)
    assert page.status == 403
    assert "Past builds under" not in page.text


@pytest.mark.parametrize("role", ["counter", "technician"])
def test_others_cannot_start_a_run(shop, lead, role):
    make.staff(shop, lead, "Kit Thorne", role)
    browser = Browser(shop).sign_in("Kit Thorne")
    csrf = browser.get("/office/key").form("/sign-out").value("csrf")
    assert browser.post(URL, {"csrf": csrf}).status == 403


def test_the_office_leads_to_the_page(browser):
    assert f'href="{URL}"' in browser.get("/office").text


def test_without_signed_builds_nothing_is_offered(browser):
    page = browser.get(URL)
    assert "No build is signed yet" in page.text
    assert all(not form.action.endswith(URL) for form in page.forms)


def test_what_is_new_stands_by_board_and_customer(shop, lead, browser):
    first, second = past(shop, lead, "Odile Marsh", "Perrin Vale", change=make.swapped)
    page = browser.submit(browser.get(URL).form(URL), "Begin")
    board = make.sheet().board
    assert f"<h2>{board.maker} {board.model}</h2>" in unescape(page.text)
    assert "<b>stop</b> on video unit" in page.text
    customers = page.text.split("By customer")[1]
    for owner, number in (("Odile Marsh", first), ("Perrin Vale", second)):
        assert f'<span>{owner}</span> <span><a class="action" href="/tickets/{number}"' in customers
    assert "2 builds looked at" in page.text
    assert page.form(URL, "Look at all again")


def test_nothing_new_is_said_plainly(shop, lead, browser):
    make.on_the_bench(shop, lead)
    with writing(shop.engine) as session:
        session.connection().execute(update(core(Build)).values(signed_at=shop.now()))
    page = browser.submit(browser.get(URL).form(URL), "Begin")
    assert "1 build looked at, nothing new." in page.text


def test_a_bound_run_offers_to_go_on(shop, lead, browser, monkeypatch):
    monkeypatch.setattr(recheck, "AT_A_TIME", 2)
    past(shop, lead, "Odile Marsh", "Perrin Vale", "Wren Pike")
    page = browser.submit(browser.get(URL).form(URL), "Begin")
    assert "2 of 3 builds looked at" in page.text
    page = browser.submit(page.form(URL, "Go on"), "Go on")
    assert "3 builds looked at" in page.text
    assert page.form(URL, "Look at all again")


def test_a_long_list_says_what_it_leaves_out(shop, lead, browser, monkeypatch):
    monkeypatch.setattr(recheck, "SHOWN", 1)
    past(shop, lead, "Odile Marsh", "Perrin Vale", change=make.swapped)
    page = browser.submit(browser.get(URL).form(URL), "Begin")
    assert "The first 1 of " in page.text
    assert "quadwright recheck --json" in page.text
