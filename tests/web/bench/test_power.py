"""Changing the power: through cold only, and for a battery the propeller question each time."""

from dataclasses import replace

import pytest

from server.trade.power import Act
from server.work.bench import power, recording
from server.work.errors import Locked
from server.work.shop import Person, Shop, Watch
from tests import make
from tests.web.bench.at_the_bench import now, ready, said, step_page
from tests.web.client import Browser, Page

QUESTION = "Look at the craft. How many propellers are on it now?"


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


@pytest.fixture
def browser(shop: Shop, kit: Person) -> Browser:
    return Browser(shop).sign_in("Kit Thorne")


def state(shop: Shop, number: int) -> str:
    return make.head(shop, number).power


def answer(browser: Browser, page: Page, act: str, count: int) -> Page:
    """Press one of the five buttons of the question that comes with `act`."""
    form = next(f for f in page.forms if ("act", act) in f.fields)
    assert [label for name, _, label in form.buttons if name == "propellers"] == list("01234")
    return browser.post(form.action, dict(form.fields) | {"propellers": str(count)})


def test_usb_is_one_button_without_the_question(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    page = browser.get(f"/tickets/{number}/power")
    form = next(f for f in page.forms if ("act", "plug-usb") in f.fields)
    assert "propellers" not in [name for name, _, _ in form.buttons]
    page = browser.submit(form, "Connect the USB lead")
    assert state(shop, number) == "usb"
    assert "Power is now: USB" in said(page)


def test_no_propeller_connects_and_is_noted_by_name(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power")
    page = browser.get(f"/tickets/{number}/power?step=motors/first-power")
    assert QUESTION in said(page)
    page = answer(browser, page, "plug-limiter", 0)
    assert state(shop, number) == "limited"
    assert now(page) == "First power: read the current at rest"
    assert "0 propellers on the craft, seen by Kit Thorne" in said(page)


@pytest.mark.parametrize("count", [1, 2, 3, 4])
def test_any_propeller_refuses_and_says_what_to_do(shop, kit, browser, count):
    number = ready(shop, kit, "motors/first-power")
    page = answer(browser, browser.get(f"/tickets/{number}/power"), "plug-limiter", count)
    assert page.status == 409
    assert state(shop, number) == "cold"
    assert "Take all four off, put them away, and look again." in said(page)
    assert QUESTION in said(page)


def test_the_battery_is_locked_before_first_power(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power")
    page = browser.get(f"/tickets/{number}/power")
    assert not [f for f in page.forms if ("act", "plug-battery") in f.fields]
    assert "The first power through the current limiter has not passed." in said(page)
    assert f'href="/tickets/{number}/steps/motors/first-power"' in page.text


def test_a_finding_that_bars_it_locks_both_batteries(shop, kit, browser):
    number = make.on_the_bench(shop, kit, make.fed_by_the_pack)
    page = browser.get(f"/tickets/{number}/power")
    acts = [value for f in page.forms for name, value in f.fields if name == "act"]
    assert acts == ["plug-usb"]
    assert said(page).count("The map has 1 finding at stop") == 2
    assert f'href="/tickets/{number}/map"' in page.text


def test_another_source_only_through_unplug(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    page = browser.get(f"/tickets/{number}/power")
    acts = [value for f in page.forms for name, value in f.fields if name == "act"]
    assert acts == ["unplug"]
    page = browser.submit(page.form("/power"), "Unplug")
    assert state(shop, number) == "cold"
    acts = [value for f in page.forms for name, value in f.fields if name == "act"]
    assert "plug-usb" in acts
    assert "plug-limiter" in acts


def test_a_second_look_keeps_the_connection(shop, kit, browser, clock):
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    clock.pass_minutes(31)
    page = browser.get(f"/tickets/{number}/power")
    assert "no look holds now" in said(page)
    form = page.form("/propellers")
    browser.post(form.action, dict(form.fields) | {"propellers": "0"})
    card = browser.get(f"/tickets/{number}/card")
    assert [f for f in card.forms if f.action.endswith("/evidence")]


def test_a_propeller_at_a_live_battery_says_unplug(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    form = browser.get(f"/tickets/{number}/power").form("/propellers")
    page = browser.post(form.action, dict(form.fields) | {"propellers": "1"})
    assert page.status == 409
    assert "Unplug the battery now." in said(page)
    assert state(shop, number) == "cold"


def test_the_heartbeat_answers_only_news(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    first = browser.get(f"/tickets/{number}/power?seen=")
    mark = first.text.split('data-mark="')[1].split('"')[0]
    assert browser.get(f"/tickets/{number}/power?seen={mark}").status == 204
    power.change(shop, kit, number, act=Act.PLUG_USB)
    again = browser.get(f"/tickets/{number}/power?seen={mark}")
    assert (again.status, 'data-state="usb"' in again.text) == (200, True)


def test_the_same_form_twice_connects_once(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power")
    page = browser.get(f"/tickets/{number}/power")
    form = next(f for f in page.forms if ("act", "plug-limiter") in f.fields)
    sent = dict(form.fields) | {"propellers": "0"}
    first, second = browser.post(form.action, sent), browser.post(form.action, sent)
    assert (first.status, second.status) == (200, 200)
    assert state(shop, number) == "limited"


def test_an_unknown_act_is_said_in_words(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    form = browser.get(f"/tickets/{number}/power").form("/power")
    page = browser.post(form.action, dict(form.fields) | {"act": "plug-sun"})
    assert page.status == 422
    assert "Pick one of the answers shown." in said(page)


def test_the_counter_changes_no_power(shop):
    lead = make.lead(shop)
    make.staff(shop, lead, "Ilse Brand", "counter")
    number = make.on_the_bench(shop, lead)
    page = Browser(shop).sign_in("Ilse Brand").get(f"/tickets/{number}/power")
    assert "Power is changed by a technician or the supervisor." in said(page)
    assert not [f for f in page.forms if f.action.endswith("/power")]


def test_a_moved_clock_shows_the_power_as_not_known(shop, kit, clock):
    number = ready(shop, kit, "motors/spins", Act.PLUG_BATTERY)
    browser = Browser(shop).sign_in("Kit Thorne")
    clock.pass_minutes(-5)
    page = browser.get(f"/tickets/{number}/power")
    assert 'data-state="unknown"' in page.text
    assert "Not known before: battery direct, motors can start" in said(page)
    assert "The server’s clock was moved. Look at the craft" in said(page)
    step = said(browser.get(f"/tickets/{number}/steps/motors/spins"))
    assert "It is not known what is connected to the craft; it was battery." in step
    page = browser.submit(page.form("/power", "Unplug"), "Unplug")
    assert state(shop, number) == "cold"


def test_a_page_after_a_leap_shows_no_power_of_before(shop, kit, clock):
    number = ready(shop, kit, "motors/spins", Act.PLUG_BATTERY)
    went_by = 0.0
    watch = Watch(clock, lambda: went_by)
    browser = Browser(replace(shop, watch=watch, now=watch.now)).sign_in("Kit Thorne")
    clock.pass_minutes(2)
    assert "Not known" in said(browser.get(f"/tickets/{number}/card"))
    went_by = 120.0  # the next leap, of the steady clock alone
    power.change(shop, kit, number, act=Act.UNPLUG)
    assert "Cold" in said(browser.get(f"/tickets/{number}/card"))


def test_a_step_on_a_battery_says_what_the_act_says_before_first_power(shop, kit, browser):
    number = ready(shop, kit, "keep/settings", Act.PLUG_LIMITER)
    page = step_page(browser, number, "level/flat")
    with pytest.raises(Locked) as refused:
        recording.record(shop, kit, number, "level/flat", answer={"done": True}, act_key="one")
    assert f"{refused.value.says} {refused.value.do}" in said(page)
    assert f'href="/tickets/{number}/steps/motors/first-power"' in page.text
    assert "Go to 7.6" in said(page)
    assert now(browser.get(f"/tickets/{number}/card")) == "First power: read the current at rest"


def test_the_limiter_is_not_offered_for_settings_before_first_power(shop, kit, browser):
    number = ready(shop, kit, "keep/settings")
    page = said(step_page(browser, number, "keep/settings"))
    assert "is not done on cold. Change the power to usb (USB lead only)." in page


def test_the_first_battery_leads_to_reading_its_current(shop, kit, browser):
    number = ready(shop, kit, "keep/settings")
    page = browser.get(f"/tickets/{number}/power?step=keep/settings")
    page = answer(browser, page, "plug-limiter", 0)
    assert now(page) == "First power: read the current at rest"
