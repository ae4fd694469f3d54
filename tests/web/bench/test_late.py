"""What a tablet kept and sends later, through the page's own form."""

import re

import pytest

from server.trade.power import Act
from server.web.site.page import milliseconds
from server.work.bench import power
from server.work.shop import Person, Shop
from tests import make
from tests.web.bench.at_the_bench import entries, ready, said, step_page
from tests.web.client import Browser
from tests.work.bench.test_late import newest

SPINS = "motors/spins"
TAP = "FL, counter-clockwise"


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


@pytest.fixture
def browser(shop: Shop, kit: Person) -> Browser:
    return Browser(shop).sign_in("Kit Thorne")


@pytest.fixture
def number(shop, kit):
    return ready(shop, kit, SPINS, Act.PLUG_BATTERY)


def tap(browser, form, **typed):
    data = browser.filled(form, **typed) | {"tap": "FL ccw"}
    return browser.post(form.action, data)


def test_a_form_carries_the_connection_that_the_page_showed(shop, kit, browser, number):
    form = step_page(browser, number, SPINS).form("/evidence")
    head = make.head(shop, number)
    assert form.value("under").split(" ") == [
        "battery",
        head.power_since.isoformat(),
        head.props_seen_at.isoformat(),
    ]
    assert form.value("made_at") == ""


def test_both_times_are_shown_where_they_differ(shop, kit, browser, number, clock):
    form = step_page(browser, number, SPINS).form("/evidence")
    made = clock()
    clock.pass_minutes(7)
    page = tap(browser, form, made_at=str(milliseconds(made)))
    entry = newest(shop, number)
    assert 6 < (entry.at - entry.made_at).total_seconds() / 60 < 8
    assert milliseconds(entry.made_at) - milliseconds(made) in (0, 1)
    # The shop's own zone, an hour ahead of UTC in March.
    assert "Kit Thorne, 10:00:0" in said(page)
    assert ", arrived 10:07:0" in said(page)
    assert ", arrived 10:07:0" in said(browser.get(f"/tickets/{number}/card"))


def test_the_log_tells_both_times(shop, browser, number, clock):
    form = step_page(browser, number, SPINS).form("/evidence")
    made = clock()
    clock.pass_minutes(7)
    tap(browser, form, made_at=str(milliseconds(made)))
    page = browser.get(f"/tickets/{number}/log-draft")
    assert re.search(r"Kit Thorne 2030-03-04 09:00:0\d arrived 2030-03-04 09:07:0\d", said(page))
    assert said(page).count("arrived") == 1


def test_in_time_one_time_is_shown(browser, number):
    page = tap(browser, step_page(browser, number, SPINS).form("/evidence"))
    assert "arrived" not in said(page)


@pytest.mark.parametrize("sent", ["", "noon", "-5", "1e9", "9" * 15, "9" * 400, "²"])
def test_a_time_that_cannot_be_read_counts_as_none(shop, browser, number, sent):
    tap(browser, step_page(browser, number, SPINS).form("/evidence"), made_at=sent)
    assert newest(shop, number).made_at == newest(shop, number).at


def test_a_form_from_before_the_battery_was_replugged_comes_back(shop, kit, browser, number):
    form = step_page(browser, number, SPINS).form("/evidence")
    before = entries(shop)
    power.change(shop, kit, number, act=Act.UNPLUG)
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    page = tap(browser, form)
    assert (page.status, entries(shop)) == (409, before)
    assert "The craft was unplugged and connected again after this was made." in said(page)
    # The page that comes back is up to date: pressed once more it counts.
    assert tap(browser, page.form("/evidence")).status == 200
    assert entries(shop) == before + 1
