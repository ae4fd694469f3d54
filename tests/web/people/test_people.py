"""Setting up, signing in and out; on both databases."""

from server.work.shop import Shop
from tests import make
from tests.journey import LEAD
from tests.web.client import Browser


def test_an_empty_shop_asks_to_be_set_up(shop: Shop):
    page = Browser(shop).get("/queue")
    assert str(page.answer.url).endswith("/set-up")


def test_set_up_signs_its_lead_in(shop: Shop):
    browser = Browser(shop)
    page = browser.submit(browser.get("/set-up").form("/set-up"), "Make", **LEAD)
    assert page.status == 200
    assert "Sunniva Oake" in page.text


def test_set_up_works_once(shop: Shop):
    browser = Browser(shop)
    form = browser.get("/set-up").form("/set-up")
    browser.submit(form, "Make", **LEAD)
    again = Browser(shop).submit(form, "Make", **LEAD)
    assert again.status == 409


def test_a_short_phrase_comes_back_with_the_rest(shop: Shop):
    browser = Browser(shop)
    form = browser.get("/set-up").form("/set-up")
    page = browser.submit(form, "Make", **(LEAD | {"phrase": "short"}))
    assert page.status == 422
    assert "8 characters or more" in page.text
    assert "Sandpiper Bench" in page.text


def test_a_wrong_phrase_and_an_unknown_name_say_the_same(shop: Shop):
    make.lead(shop)
    browser = Browser(shop)
    form = browser.get("/sign-in").form("/sign-in")
    wrong = browser.submit(form, "Sign in", name="Sunniva Oake", phrase="not this one")
    unknown = browser.submit(form, "Sign in", name="Nobody", phrase="not this one")
    assert wrong.status == unknown.status == 422
    says = "The name or the phrase is wrong."
    assert says in wrong.text
    assert says in unknown.text


def test_the_page_asked_for_comes_after_signing_in(shop: Shop):
    make.lead(shop)
    browser = Browser(shop)
    form = browser.get("/archive").form("/sign-in")
    page = browser.submit(form, "Sign in", name="Sunniva Oake", phrase=make.PHRASE)
    assert str(page.answer.url).endswith("/archive")


def test_another_host_is_no_place_to_go_next(shop: Shop):
    make.lead(shop)
    browser = Browser(shop)
    form = browser.get("/sign-in?next=//elsewhere.example/").form("/sign-in")
    page = browser.submit(form, "Sign in", name="Sunniva Oake", phrase=make.PHRASE)
    assert page.status == 422
    assert page.answer.headers.get("location") is None


def test_the_cookie_is_kept_from_scripts_and_other_sites(shop: Shop):
    make.lead(shop)
    browser = Browser(shop)
    answer = browser._send("POST", "/sign-in", data={"name": "sunniva oake", "phrase": make.PHRASE})
    cookie = answer.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=lax" in cookie


def test_signing_out_ends_it_on_the_server(shop: Shop):
    make.lead(shop)
    browser = Browser(shop).sign_in("Sunniva Oake")
    kept = dict(browser.cookies)
    browser.submit(browser.get("/queue").form("/sign-out"), "Sign out")
    browser.cookies = kept
    assert str(browser.get("/queue").answer.url).split("?")[0].endswith("/sign-in")


def test_a_sign_in_ends_overnight(shop: Shop, clock):
    make.lead(shop)
    browser = Browser(shop).sign_in("Sunniva Oake")
    clock.pass_minutes(15 * 60)
    assert str(browser.get("/queue").answer.url).split("?")[0].endswith("/sign-in")
