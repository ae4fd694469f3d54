"""The estimate over the counter and on the customer's own page."""

import pytest

from server.records.engine import reading
from server.records.people import shop as profile_of
from server.work.estimate.estimates import EstimateItem
from server.work.handover import handover
from server.work.office import settings
from server.work.shop import Shop
from server.work.ticket.account import account_of
from tests import make
from tests.web.client import Browser

SET_UP = EstimateItem(says="Set-up", quantity=1, unit_minor=4800)


@pytest.fixture
def lead(shop: Shop):
    found = make.lead(shop)
    settings.change_shop(shop, found, {"tax_bp": 2500})
    return found


@pytest.fixture
def ilse(shop: Shop, lead) -> Browser:
    make.staff(shop, lead, "Ilse Brandt", "counter")
    return Browser(shop).sign_in("Ilse Brandt")


@pytest.fixture
def number(shop, lead) -> int:
    return make.ticket(
        shop, lead, lines=[SET_UP], phone="020 7946 0911", own_words="It fell into the Sound"
    )


def status_address(shop, number):
    return f"/status/{make.head(shop, number).status_code}"


def standing(shop, number):
    with reading(shop.engine) as connection:
        return account_of(connection, number, profile_of(connection)).standing


def test_lines_are_changed_and_agreed_to_anew(shop, ilse, number):
    page = ilse.get("/tickets/1/estimate")
    assert page.form("/estimate").value("unit[0]") == "48.00"
    page = ilse.submit(page.form("/agreements"), "Write", how="telephone")
    assert "Agreed by telephone by Perrin Vale" in page.text
    assert "up to EUR\u00a060.00; written down by Ilse Brandt" in page.text
    form = page.form("/estimate")
    page = ilse.submit(form, "Save", **{"says[1]": "Receiver", "unit[1]": "19", "part[1]": "yes"})
    assert "To be agreed to again:" in page.text
    assert "83.75" in page.text
    assert page.form("/agreements").value("up_to") == "83.75"
    assert "To be agreed to again:" in ilse.get("/tickets/1").text
    page = ilse.submit(page.form("/agreements"), "Write", how="counter", up_to="100")
    assert "up to EUR\u00a0100.00" in page.text
    assert "Earlier answers" in page.text


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({"says[0]": ""}, "Say what this line is for."),
        ({"unit[0]": ""}, "Write a price, 0 if it is free."),
        ({"unit[0]": "1.005"}, "at most 2 places after the point in EUR"),
        ({"quantity[0]": "0"}, "Write 1 or more."),
    ],
)
def test_a_wrong_line_is_named_and_kept(ilse, number, typed, says):
    page = ilse.submit(ilse.get("/tickets/1/estimate").form("/estimate"), "Save", **typed)
    assert page.status == 422
    assert says in page.text
    for name, value in typed.items():
        assert page.form("/estimate").value(name) == value


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ({}, "Say how they agreed."),
        ({"how": "message", "up_to": "59.99"}, "less than the EUR\u00a060.00"),
        ({"how": "message", "who": ""}, "Say who agreed."),
        ({"how": "message", "up_to": "60.001"}, "at most 2 places"),
    ],
)
def test_half_a_yes_is_refused_at_its_field(shop, ilse, number, typed, says):
    page = ilse.submit(ilse.get("/tickets/1/estimate").form("/agreements"), "Write", **typed)
    assert page.status == 422
    assert says in page.text
    assert standing(shop, 1).agreed is None


def test_two_people_at_one_estimate_do_not_overwrite(ilse, number):
    first, second = (ilse.get("/tickets/1/estimate").form("/estimate") for _ in range(2))
    ilse.submit(first, "Save", **{"unit[0]": "50"})
    page = ilse.submit(second, "Save", **{"unit[0]": "60"})
    assert page.status == 409
    assert "changed meanwhile" in page.text
    assert page.form("/estimate").value("unit[0]") == "60"


def test_a_customer_agrees_on_their_own_page(shop, ilse, number):
    address = status_address(shop, number)
    stranger = Browser(shop)
    page = stranger.get(address)
    for said in ("You are asked", "Set-up", "60.00"):
        assert said in page.text
    page = stranger.submit(page.form("/agreement"), "I agree, up to EUR")
    assert page.answer.url.path == address
    assert "The estimate was agreed to" in page.text
    assert "You are asked" not in page.text
    said = standing(shop, number).agreed
    assert (said.how, said.by_name) == ("status page", None)
    assert "on their status page by the customer" in ilse.get("/tickets/1").text


def test_lines_that_changed_meanwhile_are_asked_again(shop, ilse, number):
    stranger, address = Browser(shop), status_address(shop, number)
    seen = stranger.get(address).form("/agreement")
    form = ilse.get("/tickets/1/estimate").form("/estimate")
    ilse.submit(form, "Save", **{"unit[0]": "500"})
    page = stranger.submit(seen, "I agree")
    assert "changed meanwhile" in page.text
    assert "625.00" in page.text
    assert standing(shop, number).agreed is None


def test_the_page_says_nothing_of_who_it_is(shop, lead, number):
    answer = Browser(shop).get(status_address(shop, number)).answer
    assert "for Perrin" in answer.text
    # 'Perrin Vale', phone, craft, own words: all of them are the customer's or the shop's own.
    for private in ("Vale", "7946", "Kittiwake", "Sound", "wiped", "Sunniva"):
        assert private not in answer.text


def test_no_search_engine_keeps_the_page(shop, number):
    answer = Browser(shop).get(status_address(shop, number)).answer
    assert answer.headers["x-robots-tag"] == "noindex, nofollow"
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert answer.headers["cache-control"] == "no-store"
    assert '<meta name="robots" content="noindex, nofollow">' in answer.text
    robots = Browser(shop).get("/robots.txt").answer
    assert robots.headers["content-type"].startswith("text/plain")
    assert robots.text.splitlines() == ["User-agent: *", "Disallow: /", "Allow: /status/"]


def test_a_withdrawn_page_is_as_one_that_never_was(shop, ilse, number):
    address, stranger = status_address(shop, number), Browser(shop)
    form = stranger.get(address).form("/agreement")
    page = ilse.submit(ilse.get("/tickets/1").form("/page/end"), "Withdraw")
    assert "its address answers no more" in page.text
    gone, never = stranger.get(address), stranger.get("/status/never-was-one")
    assert (gone.status, never.status) == (404, 404)
    said = [page.text.split("<main")[1].split("Request")[0] for page in (gone, never)]
    assert said[0] == said[1]
    assert stranger.submit(form, "I agree").status == 404
    page = ilse.submit(ilse.get("/tickets/1").form("/page"), "Give it a new address")
    fresh = status_address(shop, number)
    assert fresh != address
    assert (stranger.get(fresh).status, stranger.get(address).status) == (200, 404)


def test_codes_are_long_and_unlike(shop, lead):
    codes = {make.head(shop, make.ticket(shop, lead)).status_code for _ in range(20)}
    assert len(codes) == 20
    assert min(map(len, codes)) >= 22  # 128 bits in base64, RFC 4648
    assert len({code[:6] for code in codes}) == 20


def test_a_closed_ticket_asks_nothing(shop, lead, ilse, number):
    form = ilse.get("/tickets/1/estimate").form("/estimate")
    address = status_address(shop, number)
    stranger = Browser(shop)
    asked = stranger.get(address).form("/agreement")
    returned(shop, lead)
    assert ilse.submit(form, "Save", **{"unit[0]": "1"}).status == 409
    assert "You are asked" not in stranger.get(address).text
    assert 'href="/book-in?q=1"' in ilse.get("/tickets/1").text
    assert 'href="/book-in?q=it%20is"' in ilse.get("/find?q=it is").text
    assert "is closed" in stranger.submit(asked, "I agree").text


def returned(shop, by):
    """Ticket 1 leaves as it is."""
    handover.return_as_is(shop, by, 1, to=make.handed(), reason="x", act_key=make.key())
