"""What a tablet kept and sends by itself: taken once, refused in words, and under no other name."""

import json

import pytest

from server.trade.power import Act
from server.work.bench import power
from server.work.shop import Person, Shop
from tests import make
from tests.web.bench.at_the_bench import entries, ready, step_page
from tests.web.client import Browser

SPINS = "motors/spins"
KEPT = {"X-Kept": "1"}


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


@pytest.fixture
def browser(shop: Shop, kit: Person) -> Browser:
    return Browser(shop).sign_in("Kit Thorne")


@pytest.fixture
def number(shop, kit):
    return ready(shop, kit, SPINS, Act.PLUG_BATTERY)


@pytest.fixture
def form(browser, number):
    return step_page(browser, number, SPINS).form("/evidence")


def send(browser, form, tap="FL ccw", **more):
    data = browser.filled(form) | {"tap": tap} | more
    answer = browser.post(form.action, data, **KEPT).answer
    assert answer.headers["cache-control"] == "no-store"
    return answer.status_code, answer.json()


def here(browser):
    return browser.get("/here").answer.json()


def test_it_is_taken_by_its_key_and_once(shop, browser, form):
    before, told = entries(shop), {"taken": form.value("act_key")}
    assert send(browser, form) == (200, told)
    assert send(browser, form) == (200, told)
    assert entries(shop) == before + 1


def test_a_refusal_says_what_and_what_to_do(shop, kit, browser, number, form):
    power.change(shop, kit, number, act=Act.UNPLUG)
    status, told = send(browser, form)
    assert (status, told) == (
        409,
        {
            "says": "This was made on battery, and the craft is on cold now. "
            "Nothing is recorded. Look at the craft, then do it again.",
        },
    )


def test_what_cannot_be_used_is_said_too(browser, form):
    status, told = send(browser, form, tap="up left")
    assert status == 422
    assert told["says"].strip()


def test_a_ticket_that_is_gone_is_said_too(browser, form):
    form.action = "/tickets/99/steps/motors/spins/evidence"
    assert send(browser, form) == (
        404,
        {"says": "There is no ticket 0099. Look in the queue, or search the name."},
    )


def test_signed_out_it_waits(shop, browser, form):
    before = entries(shop)
    browser.submit(browser.get("/queue").form("/sign-out"))
    assert here(browser) == {"by": ""}
    assert send(browser, form) == (401, {"says": "Sign in first."})
    assert entries(shop) == before


def test_under_another_sign_in_it_waits(shop, kit, browser, form):
    make.staff(shop, make_lead(shop), "Bo Larch")
    before = entries(shop)
    browser.sign_in("Bo Larch")
    assert here(browser)["by"] != str(kit.id)
    assert send(browser, form) == (401, {"says": "Sign in first."})
    assert entries(shop) == before


def make_lead(shop):
    return Person(1, "Sunniva Oake", "SO", "lead")


def test_signed_in_anew_it_goes_with_the_new_token(shop, kit, browser, form):
    browser.sign_in("Kit Thorne")
    told = here(browser)
    assert told["by"] == str(kit.id)
    status, answer = send(browser, form, csrf=told["csrf"])
    assert (status, answer) == (200, {"taken": form.value("act_key")})


def test_somebody_without_the_role_is_told(shop, browser, form):
    make.staff(shop, make_lead(shop), "Ilse Brand", "counter")
    browser.sign_in("Ilse Brand")
    status, told = send(browser, form, csrf=here(browser)["csrf"])
    assert status == 403
    assert "Ask the lead or the technician." in told["says"]


def test_a_page_after_its_sign_in_ended_leads_to_the_door_and_back(browser, number, form):
    browser.submit(browser.get("/queue").form("/sign-out"))
    at = f"http://shop/tickets/{number}/steps/motors/spins?output=2"
    data = browser.filled(form) | {"tap": "FL ccw"}
    answer = browser.post(form.action, data, **{"HX-Request": "true", "HX-Current-URL": at}).answer
    assert answer.status_code == 204
    assert answer.headers["hx-redirect"] == f"/sign-in?next=/tickets/{number}/steps/motors/spins"


def test_the_page_for_no_network_is_the_same_for_everybody(shop, browser, number):
    mine, theirs = browser.get("/offline"), Browser(shop).get("/offline")
    assert mine.text == theirs.text
    assert "Kit Thorne" not in mine.text
    assert "not known here" in mine.text


def test_the_worker_names_its_files_and_only_static_ones(browser):
    page = browser.get("/service-worker.js")
    assert page.answer.headers["content-type"].startswith("text/javascript")
    first = page.text.splitlines()[0]
    files = json.loads(first[first.index("[") : first.index("]") + 1])
    assert len(files) == 7
    for address in files:
        assert address.startswith("/assets/")
        answer = browser.get(address).answer
        assert (answer.status_code, "immutable" in answer.headers["cache-control"]) == (200, True)


def test_the_manifest_is_one_that_a_browser_takes(browser):
    answer = browser.get("/manifest.webmanifest").answer
    assert answer.headers["content-type"] == "application/manifest+json"
    told = answer.json()
    assert (told["start_url"], told["scope"], told["display"]) == ("/queue", "/", "standalone")
    assert browser.get(told["icons"][0]["src"]).status == 200
    assert '<link rel="manifest" href="/manifest.webmanifest">' in browser.get("/queue").text
