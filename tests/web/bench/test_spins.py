"""The spin recorder: one tap an output, what was expected only after the fourth."""

import html
import re

import pytest

from server.trade.power import Act
from server.work.bench import power
from server.work.shop import Person, Shop
from tests import make
from tests.web.bench.at_the_bench import mark, now, ready, said
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


def link(browser: Browser, number: int, label: str) -> str:
    """The address behind a link of the spins' page."""
    page = browser.get(f"/tickets/{number}/steps/motors/spins")
    found = re.search(rf'href="([^"]+)"[^>]*>{label}<', page.text)
    assert found, label
    return html.unescape(found[1])


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
    assert "Reverse RL, on output 3" in said(page)
    assert "Spin output 3 again; outputs 1, 2 and 4 stay as recorded." in said(page)
    assert "RL wanted counter-clockwise, found clockwise" in page.text


def test_exchanged_outputs_say_where_they_belong(shop, browser, number):
    page = four(browser, number, "RR cw", "FL cw", "RL ccw", "FR ccw")
    assert mark(shop, number, "motors/spins") == "out"
    assert "Give RR, now on output 1, to output 2." in said(page)
    assert "Give FL, now on output 2, to output 1." in said(page)
    assert "As found, output by output: 1 RR, 2 FL, 3 RL, 4 FR." in said(page)


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
    page = browser.get(link(browser, number, "Spin all four again"))
    for output, value in enumerate(("FL cw", "RR cw", "RL ccw", "FR ccw"), 1):
        assert now(page) == f"Spin output {output}. What turned, and which way?"
        assert mark(shop, number, "motors/spins") != "done"
        page = tap(browser, page, value)
    assert mark(shop, number, "motors/spins") == "done"


def test_after_a_change_only_what_changed_is_spun_again(shop, browser, number):
    four(browser, number, "FL cw", "RL ccw", "RR cw", "FR ccw")
    page = browser.get(link(browser, number, "Spin outputs 2 and 3 again"))
    assert now(page) == "Spin output 2. What turned, and which way?"
    page = tap(browser, page, "RR cw")
    # Half way the card says nothing of order: the other output stands from before the change.
    assert mark(shop, number, "motors/spins") == "more"
    assert "It would" not in said(page)
    again = browser.get(f"/tickets/{number}/steps/motors/spins")
    assert now(page) == now(again) == "Spin output 3. What turned, and which way?"
    page = tap(browser, again, "RL ccw")
    assert mark(shop, number, "motors/spins") == "done"
    assert "It would lift level" in said(page)


def test_a_slip_in_a_round_again_is_put_right_within_it(shop, browser, number):
    four(browser, number, "FL cw", "RL ccw", "RR cw", "FR ccw")
    page = browser.get(link(browser, number, "Spin outputs 2 and 3 again"))
    tap(browser, page, "FL cw")
    page = browser.get(f"/tickets/{number}/steps/motors/spins?output=2")
    page = tap(browser, page, "RR cw")
    assert now(page) == "Spin output 3. What turned, and which way?"
    tap(browser, page, "RL ccw")
    assert mark(shop, number, "motors/spins") == "done"


def test_a_new_order_asks_only_for_the_outputs_it_moved(shop, kit, browser, number):
    # The firmware takes a table: what was found is entered, and recorded as what it expects.
    four(browser, number, "FL cw", "RL ccw", "RR cw", "FR ccw")
    power.change(shop, kit, number, act=Act.UNPLUG)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    page = browser.get(f"/tickets/{number}/steps/motors/order")
    form = page.form("/evidence")
    order = {"table[1]": "FL", "table[2]": "RL", "table[3]": "RR", "table[4]": "FR"}
    browser.post(form.action, dict(form.fields) | order)
    assert mark(shop, number, "motors/spins") == "stale"
    power.change(shop, kit, number, act=Act.UNPLUG)
    power.change(shop, kit, number, act=Act.PLUG_BATTERY, propellers=0)
    assert link(browser, number, "Spin outputs 2 and 3 again")


def test_the_verdict_has_its_picture_and_its_loop(browser, number):
    page = four(browser, number, "FL cw", "RR cw", "RL ccw", "FR cw")
    # FR against its propeller pushes down: the craft goes over that corner.
    assert "At take-off, seen from above: over its front right corner" in page.text
    assert "FR pushes down" in page.text
    assert "How the verdict was worked out" in said(page)


def test_two_motors_at_once_give_no_picture(browser, number):
    page = four(browser, number, "FL cw", "RR cw", "two", "FR ccw")
    assert "is not worked out: output 3 turned two motors." in said(page)
    assert "At take-off" not in page.text
    assert "A solder bridge joins two signal pads." in said(page)


def test_a_made_up_tap_is_refused(shop, browser, number):
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.post(form.action, dict(form.fields) | {"tap": "XX cw"})
    assert page.status == 422
    assert mark(shop, number, "motors/spins") == "todo"


def test_the_speed_that_stands_out_has_its_corner_and_causes(shop, kit):
    number = ready(shop, kit, "motors/speeds", Act.PLUG_BATTERY)
    browser = Browser(shop).sign_in("Kit Thorne")
    form = browser.get(f"/tickets/{number}/steps/motors/speeds").form("/evidence")
    rpm = {"1": "9100", "2": "9050", "3": "7020", "4": "9080"}
    page = browser.submit(form, "Record", **{f"values[output-{n}]": v for n, v in rpm.items()})
    assert mark(shop, number, "motors/speeds") == "out"
    words = said(page)
    # The median of the four is 9065; 7020 is 22.6 % under it. Score by hand: the deviations are 35,
    # 15, 2045 and 15, their median 25, so 0.6745 × −2045 / 25 is −55.2.
    assert "3 RL 7020 −22.6 % −55.2, stands out" in words
    assert "1 FL 9100 +0.4 % +0.9 " in words
    assert "Output 3 is the slow one, likeliest first Something rubs" in words


def test_the_other_plan_is_asked_before_four_are_reversed(browser, number):
    page = said(four(browser, number, "FL ccw", "RR ccw", "RL cw", "FR cw"))
    asked = page.index("Check whether the craft is built props-out.")
    assert asked < page.index("Reverse FL, on output 1")
