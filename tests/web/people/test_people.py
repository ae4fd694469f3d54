"""Setting up, signing in and out; on both databases."""

import pytest

from server.web.site import security
from server.work.people.hashing import DOOR
from server.work.shop import Shop
from tests import make
from tests.journey import LEAD
from tests.web.client import Browser

NEW = "plover over grey water"


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


def test_a_short_password_comes_back_with_the_rest(shop: Shop):
    browser = Browser(shop)
    form = browser.get("/set-up").form("/set-up")
    page = browser.submit(form, "Make", **(LEAD | {"password": "short"}))
    assert page.status == 422
    assert "10 characters or more" in page.text
    assert "Sandpiper Bench" in page.text


def test_a_wrong_password_and_an_unknown_name_say_the_same(shop: Shop):
    make.lead(shop)
    browser = Browser(shop)
    form = browser.get("/sign-in").form("/sign-in")
    wrong = browser.submit(form, "Sign in", name="Sunniva Oake", password="not this one")
    unknown = browser.submit(form, "Sign in", name="Nobody", password="not this one")
    assert wrong.status == unknown.status == 422
    says = "The name or the password is wrong."
    assert says in wrong.text
    assert says in unknown.text


def test_the_page_asked_for_comes_after_signing_in(shop: Shop):
    make.lead(shop)
    browser = Browser(shop)
    form = browser.get("/archive").form("/sign-in")
    page = browser.submit(form, "Sign in", name="Sunniva Oake", password=make.PASSWORD)
    assert str(page.answer.url).endswith("/archive")


def test_another_host_is_no_place_to_go_next(shop: Shop):
    make.lead(shop)
    browser = Browser(shop)
    form = browser.get("/sign-in?next=//elsewhere.example/").form("/sign-in")
    page = browser.submit(form, "Sign in", name="Sunniva Oake", password=make.PASSWORD)
    assert page.status == 422
    assert page.answer.headers.get("location") is None


def test_the_cookie_is_kept_from_scripts_and_other_sites(shop: Shop):
    make.lead(shop)
    browser = Browser(shop)
    answer = browser._send(
        "POST", "/sign-in", data={"name": "sunniva oake", "password": make.PASSWORD}
    )
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


@pytest.fixture
def at_once(monkeypatch):
    """No answer is kept back: that is tested where it is done."""
    monkeypatch.setattr(security, "MOST_HELD", 0)


@pytest.mark.parametrize("name", ["Sunniva Oake", "Nobody"])
def test_too_many_wrong_passwords_are_told_how_long_to_wait(shop: Shop, at_once, name):
    make.lead(shop)
    browser = Browser(shop)
    form = browser.get("/sign-in").form("/sign-in")
    for _ in range(5):
        assert browser.submit(form, "Sign in", name=name, password="not this one").status == 422
    page = browser.submit(form, "Sign in", name=name, password=make.PASSWORD)
    assert page.status == 429
    assert 50 <= int(page.answer.headers["retry-after"]) <= 60
    said = page.text.split('id="password-error"')[1].split("</p>")[0]
    assert "Too many wrong tries for this name, or from this device. Wait " in said
    assert page.form("/sign-in").value("name") == name
    assert "quadwright" not in browser.cookies


def test_who_finds_the_door_crowded_is_told_to_come_back(shop: Shop, at_once, monkeypatch):
    make.lead(shop)
    monkeypatch.setattr(DOOR.places, "acquire", lambda **_: False)
    browser = Browser(shop)
    form = browser.get("/sign-in").form("/sign-in")
    page = browser.submit(form, "Sign in", name="Sunniva Oake", password=make.PASSWORD)
    assert (page.status, page.answer.headers["retry-after"]) == (503, "5")
    assert "Too many people are signing in at this moment. Wait 5 seconds" in page.text


def test_everybody_changes_their_own_password(shop: Shop):
    make.staff(shop, make.lead(shop), "Ilse Dahl", "counter")
    here, there = Browser(shop).sign_in("Ilse Dahl"), Browser(shop).sign_in("Ilse Dahl")
    assert 'href="/password"' in here.get("/office").text
    typed = {"password": make.PASSWORD, "new_password": NEW, "again": NEW}
    page = here.submit(here.get("/password").form("/password"), "Change", **typed)
    assert "Your password is changed." in page.text
    assert "Sign in" in there.get("/password").text
    theirs = Browser(shop)
    theirs.post("/sign-in", {"name": "ilse dahl", "password": NEW})
    assert "quadwright" in theirs.cookies


@pytest.mark.parametrize(
    ("wrong", "field", "says"),
    [
        ({"password": "not this one"}, "password", "That is not your password."),
        ({"again": "not the same"}, "again", "The two passwords differ."),
        ({"new_password": "basketball", "again": "basketball"}, "new_password", "guessed first"),
        ({"new_password": "x" * 257, "again": "x" * 257}, "new_password", "256"),
        ({"password": ""}, "password", "Say your password as it is now."),
    ],
)
def test_what_is_wrong_with_a_password_is_told_beside_its_field(shop: Shop, wrong, field, says):
    make.lead(shop)
    browser = Browser(shop).sign_in("Sunniva Oake")
    typed = {"password": make.PASSWORD, "new_password": NEW, "again": NEW} | wrong
    page = browser.submit(browser.get("/password").form("/password"), "Change", **typed)
    assert page.status == 422
    assert says in page.text.split(f'id="{field}-error"')[1].split("</p>")[0]
    for secret in filter(None, typed.values()):
        assert secret not in page.text
