"""The spin recorder: one tap an output, what was expected only after the fourth."""

import pytest

from server.trade.power import Act
from server.work.shop import Person, Shop
from tests import make
from tests.web.at_the_bench import mark, now, ready, said
from tests.web.client import Browser, Page

# The order that is recorded before is 1 FL, 2 RR, 3 RL, 4 FR, the plan is props-in.


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


@pytest.fixture
def browser(shop: Shop, kit: Person) -> Browser:
    return Browser(shop).sign_in("Kit Thorne")


@pytest.fixture
def number(shop: Shop, kit: Person) -> int:
    return ready(shop, kit, "motors/spins", Act.PLUG_BATTERY)


def tap(browser: Browser, page: Page, value: str) -> Page:
    """Press the button of that value, as the page offers it."""
    form = page.form("/evidence")
    assert value in [v for _, v, _ in form.buttons]
    return browser.post(form.action, dict(form.fields) | {"tap": value})


def four(browser: Browser, number: int, *values: str) -> Page:
    page = browser.get(f"/tickets/{number}/card")
    for value in values:
        page = tap(browser, page, value)
    return page


def test_a_tap_records_and_brings_the_next_output(browser, number):
    page = browser.get(f"/tickets/{number}/card")
    assert now(page) == "Spin output 1. What turned, and which way?"
    page = tap(browser, page, "FL cw")
    assert now(page) == "Spin output 2. What turned, and which way?"
    assert "Recorded: output 1: FL clockwise, Kit Thorne" in said(page)
    assert "Correct output 1" in said(page)


def test_nothing_expected_shows_before_the_fourth(browser, number):
    page = four(browser, number, "FL ccw", "RR ccw", "RL cw")
    assert "wanted" not in said(page).lower()
    assert "Reverse output" not in said(page)


def test_four_right_taps_pass_and_show_both(shop, browser, number):
    page = four(browser, number, "FL cw", "RR cw", "RL ccw", "FR ccw")
    assert mark(shop, number, "motors/spins") == "done"
    assert "It would lift level" in said(page)
    assert "FL wanted clockwise, found clockwise" in page.text
    assert "Go on" in said(page)


def test_a_wrong_turn_says_which_to_reverse(shop, browser, number):
    page = four(browser, number, "FL cw", "RR cw", "RL cw", "FR ccw")
    assert mark(shop, number, "motors/spins") == "out"
    assert "Reverse output 3." in said(page)
    assert "RL wanted counter-clockwise, found clockwise" in page.text


def test_exchanged_outputs_say_where_they_belong(shop, browser, number):
    page = four(browser, number, "RR cw", "FL cw", "RL ccw", "FR ccw")
    assert mark(shop, number, "motors/spins") == "out"
    assert "What output 1 drives belongs on output 2." in said(page)
    assert "What output 2 drives belongs on output 1." in said(page)


def test_a_silent_motor_lists_likely_causes(shop, browser, number):
    page = four(browser, number, "FL cw", "nothing", "RL ccw", "FR ccw")
    assert mark(shop, number, "motors/spins") == "out"
    assert "Nothing turned on output 2." in said(page)
    assert "The signal lead of that output is off its pad or broken." in said(page)


def test_a_correction_of_one_output_decides_anew(shop, browser, number):
    four(browser, number, "FL cw", "RR cw", "RL cw", "FR ccw")
    page = browser.get(f"/tickets/{number}/steps/motors/spins?output=3")
    assert now(page) == "Spin output 3. What turned, and which way?"
    page = tap(browser, page, "RL ccw")
    assert mark(shop, number, "motors/spins") == "done"
    assert "It would lift level" in said(page)


def test_a_second_round_goes_through_all_four(shop, browser, number):
    four(browser, number, "FL cw", "RR cw", "RL cw", "FR ccw")
    page = browser.get(f"/tickets/{number}/steps/motors/spins?output=1&again=yes")
    for output, value in enumerate(("FL cw", "RR cw", "RL ccw", "FR ccw"), 1):
        assert now(page) == f"Spin output {output}. What turned, and which way?"
        page = tap(browser, page, value)
    assert mark(shop, number, "motors/spins") == "done"


def test_a_made_up_tap_is_refused(shop, browser, number):
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.post(form.action, dict(form.fields) | {"tap": "XX cw"})
    assert page.status == 422
    assert mark(shop, number, "motors/spins") == "todo"
