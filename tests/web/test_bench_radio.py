"""The bench's pages for radio, motor link, readings and first power: what they work out."""

import pytest

from server.trade.power import Act
from server.work.shop import Person, Shop
from tests import make
from tests.web.at_the_bench import ready, said, step_page
from tests.web.client import Browser


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def browser(shop: Shop, kit: Person) -> Browser:
    return Browser(shop).sign_in("Kit Thorne")


def test_the_motor_link_shows_what_fits_and_why(shop, kit, browser):
    number = ready(shop, kit, "motors/link", Act.PLUG_USB)
    page = step_page(browser, number, "motors/link")
    # 16 bits at 300 kbit/s, 30 µs, 21 bits at 375 kbit/s; one period of 4 kHz is 250 µs.
    assert "139.3 µs, 55.7 % 110.7 µs fits speaks it" in said(page)
    assert "DShot300: its frame and the reply take 139.3 µs" in said(page)
    assert "Left of 250 µs" in said(page)


def test_first_power_names_the_parts_before_it_and_the_causes_after(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    page = step_page(browser, number, "motors/first-power")
    # 1.1 A at 10 V, from 25.2 V a third, and from 19.8 V at 80 %: 0.146 and 0.695 A.
    assert "video unit 10V 0.15 A 0.70 A" in said(page)
    assert "likeliest first" not in said(page)
    page = browser.submit(page.form("/evidence"), "Record", **{"values[amps]": "0.15"})
    assert "likeliest first The video unit has no power." in said(page)
    page = browser.submit(page.form("/evidence"), "The limiter tripped")
    assert "Plus and minus are exchanged" in said(page)
