"""House wording by its pages."""

from server.work.shop import Shop
from tests import make
from tests.journey import Seat
from tests.web.client import Browser


def test_words_entered_in_the_office_stand_on_the_card(shop: Shop) -> None:
    boss = make.lead(shop)
    number = make.on_the_bench(shop, boss)
    seat = Seat(Browser(shop).sign_in("Sunniva Oake"))
    page = seat.get("/office/wording")
    seat.send(page, "/office/wording", family="Plover", **{"words[motor-link]": "ESC wire"})
    seat.send(seat.get(f"/tickets/{number}/moves"), "/family", family="Plover")
    text = seat.get(f"/tickets/{number}/steps/motors/link").text
    assert "you call it: ESC wire" in text


def test_a_technician_is_kept_from_the_words(shop: Shop) -> None:
    make.staff(shop, make.lead(shop), "Kit Thorne")
    browser = Browser(shop).sign_in("Kit Thorne")
    assert browser.get("/office/wording").status == 403


def test_words_without_a_family_come_back(shop: Shop) -> None:
    make.lead(shop)
    browser = Browser(shop).sign_in("Sunniva Oake")
    form = browser.get("/office/wording").form("/office/wording")
    page = browser.submit(form, "Keep", **{"words[motor-link]": "ESC wire"})
    assert page.status == 422
    assert "ESC wire" in page.text
