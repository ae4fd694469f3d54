"""The bench's pages for radio, motor link, readings and first power: what they work out."""

import pytest

from server.records import evidence
from server.records.engine import reading
from server.trade.power import Act
from server.work.shop import Person, Shop
from tests import make
from tests.web.bench.at_the_bench import mark, now, ready, said, step_page
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


def test_a_switch_shows_its_range_with_every_margin(shop, kit, browser):
    number = ready(shop, kit, "switches/arm", Act.PLUG_USB)
    form = step_page(browser, number, "switches/arm").form("/evidence")
    browser.submit(form, "Record", rest="1001", armed="2000", middle="1500", radio_off="988")
    page = step_page(browser, number, "switches/arm")
    # Half way from 1500 to 2000: 250 µs to both; rest 749 and radio off 762 µs further down.
    assert "Set arming to 1750 µs and up: 250 µs of room." in said(page)
    assert "rest 1001 µs 749 µs under it" in said(page)
    assert "radio off 988 µs 762 µs under it" in said(page)
    assert "armed 2000 µs inside, 250 µs from the low end" in said(page)
    # The range stands in the card's own column of what was found, and at the step that sets it.
    assert "arms at 1750 µs and up" in said(browser.get(f"/tickets/{number}/card"))
    page = step_page(browser, number, "switches/range")
    assert "From 6.1: Set arming to 1750 µs and up" in said(page)
    assert "arms at 1750 µs and up</title>" in page.text


def test_a_range_in_half_microseconds_is_given_in_whole_ones(shop, kit, browser):
    number = ready(shop, kit, "switches/arm", Act.PLUG_USB)
    form = step_page(browser, number, "switches/arm").form("/evidence")
    page = browser.submit(form, "Record", rest="1000", armed="1081", silent="yes")
    # 81 µs apart: the end at 1040.5 is set as 1041, 40 µs under 1081 and 41 µs over 1000.
    assert "Set arming to 1041 µs and up: 40 µs of room." in said(page)


ROWS = {"channel": "5", "does[1]": "beeper", "on[1]": "5", "low[1]": "1300", "high[1]": "1600"}


def test_what_comes_on_with_arming_is_named(shop, kit, browser):
    number = ready(shop, kit, "switches/others", Act.PLUG_USB)
    form = step_page(browser, number, "switches/others").form("/evidence")
    page = browser.submit(form, "Record what", **ROWS)
    assert mark(shop, number, "switches/others") == "out"
    # The demo's switch arms from 1500 µs, half way from 1000 to 2000.
    assert "beeper comes on with arming: both hold 1500 to 1600 µs on channel 5" in said(page)
    assert "beeper 5 1300 to 1600 µs yes" in said(page)
    # Noted again it stands filled in; moved to another channel it passes.
    form = page.form("/evidence")
    assert form.value("does[1]") == "beeper"
    browser.submit(form, "Record what", **{"on[1]": "6"})
    assert mark(shop, number, "switches/others") == "done"


def test_a_new_arming_range_asks_for_the_others_again(shop, kit, browser):
    number = ready(shop, kit, "switches/others", Act.PLUG_USB)
    form = step_page(browser, number, "switches/others").form("/evidence")
    browser.submit(form, "Record what", **ROWS | {"high[1]": "1400"})
    assert mark(shop, number, "switches/others") == "done"
    # 1300 µs is half way from 1000 to 1600: now the beeper's 1300 to 1400 µs arms too.
    form = step_page(browser, number, "switches/arm").form("/evidence")
    browser.submit(form, "Record", rest="1000", armed="1600", radio_off="988")
    assert mark(shop, number, "switches/others") == "stale"


def test_nothing_else_on_a_switch_is_one_tap(shop, kit, browser):
    number = ready(shop, kit, "switches/others", Act.PLUG_USB)
    form = step_page(browser, number, "switches/others").form("/evidence")
    browser.submit(form, "Nothing else")
    assert mark(shop, number, "switches/others") == "done"


@pytest.mark.parametrize(
    ("typed", "at"),
    [
        ({"channel": ""}, "channel"),
        ({"channel": "4"}, "channel"),
        ({"does[1]": ""}, "does-1"),
        ({"on[1]": "19"}, "on-1"),
        ({"high[1]": "1200"}, "high-1"),
        ({"does[1]": "Arming"}, "does-1"),
        # The second row is left blank, and the mistake is named in the third.
        ({"does[3]": "lights", "on[3]": "6", "low[3]": "1.5", "high[3]": "2000"}, "low-3"),
        ({"does[1]": "", "on[1]": "", "low[1]": "", "high[1]": ""}, "does-1"),
    ],
)
def test_a_mistake_in_a_range_is_named_in_its_row(shop, kit, browser, typed, at):
    number = ready(shop, kit, "switches/others", Act.PLUG_USB)
    form = step_page(browser, number, "switches/others").form("/evidence")
    page = browser.submit(form, "Record what", **ROWS | typed)
    assert page.status == 422
    assert f'href="#{at}"' in page.text
    assert page.form("/evidence").value("low[1]") == (ROWS | typed)["low[1]"]


def one(low: str, centre: str, high: str, name: str) -> dict[str, str]:
    return {f"low[{name}]": low, f"centre[{name}]": centre, f"high[{name}]": high}


def test_channels_are_stepped_through_one_by_one(shop, kit, browser):
    number = ready(shop, kit, "radio/ends", Act.PLUG_USB)
    page = step_page(browser, number, "radio/ends")
    for name, low in (("roll", "925"), ("pitch", "1000"), ("yaw", "1000"), ("throttle", "1000")):
        assert now(page) == f"Read {name}: both ends and between"
        form = page.form("/evidence")
        page = browser.submit(form, "Record", **one(low, "1500", "2000", name))
    assert mark(shop, number, "radio/ends") == "out"
    # Only the one that is out is asked for again, and of it only the end that is: 500 / 575.
    assert "roll 925 / 1500 / 2000 low end 87 % (86.96) pitch" in said(page)
    assert "pitch 1000 / 1500 / 2000 leave it" in said(page)
    assert now(page) == "Read roll: both ends and between"
    browser.submit(page.form("/evidence"), "Record", **one("1000", "1500", "2000", "roll"))
    assert mark(shop, number, "radio/ends") == "done"
    with reading(shop.engine) as connection:
        rows = evidence.entries(connection, make.head(shop, number).id)
    assert sum(row.key == "radio/ends" for row in rows) == 5


def test_a_mistake_in_one_channel_keeps_what_was_typed(shop, kit, browser):
    number = ready(shop, kit, "radio/ends", Act.PLUG_USB)
    form = step_page(browser, number, "radio/ends", "?part=yaw").form("/evidence")
    page = browser.submit(form, "Record", **one("1000", "", "2000", "yaw"))
    assert page.status == 422
    assert now(page) == "Read yaw: both ends and between"
    assert page.form("/evidence").value("high[yaw]") == "2000"
    assert 'href="#centre-yaw"' in page.text


def test_a_correction_names_the_channel_that_it_replaces(shop, kit, browser):
    number = ready(shop, kit, "radio/ends", Act.PLUG_USB)
    page = step_page(browser, number, "radio/ends")
    for name in ("roll", "pitch", "roll"):
        page = step_page(browser, number, "radio/ends", f"?part={name}")
        browser.submit(page.form("/evidence"), "Record", **one("1000", "1500", "2000", name))
    with reading(shop.engine) as connection:
        rows = evidence.entries(connection, make.head(shop, number).id)
    first, second, third = [row for row in rows if row.key == "radio/ends"]
    assert (first.replaces_id, second.replaces_id, third.replaces_id) == (None, None, first.id)


def push(browser, number: int, **taps: str):
    page = step_page(browser, number, "radio/sticks")
    for stick in taps:
        form = page.form("/evidence")
        assert form.value("stick") == stick
        page = browser.post(form.action, dict(form.fields) | {"tap": taps[stick]})
    return page


def test_four_taps_tell_crossed_and_reversed_channels(shop, kit, browser):
    number = ready(shop, kit, "radio/sticks", Act.PLUG_USB)
    page = push(
        browser,
        number,
        roll="yaw rose",
        pitch="pitch fell",
        yaw="roll rose",
        throttle="throttle rose",
    )
    assert mark(shop, number, "radio/sticks") == "out"
    # The board takes A, E, T, R; the radio sends R, E, T, A: worked out by hand.
    assert "Where the board’s channel order is AETR now, set RETA." in said(page)
    assert "The pitch stick makes its channel fall." in said(page)
    assert "roll moves yaw, which rises" in page.text
    # Only the three that were wrong are asked for again.
    push(browser, number, roll="roll rose", pitch="pitch rose", yaw="yaw rose")
    assert mark(shop, number, "radio/sticks") == "done"


def test_a_stick_that_moves_nothing_is_recorded_in_a_tap(shop, kit, browser):
    number = ready(shop, kit, "radio/sticks", Act.PLUG_USB)
    page = push(
        browser, number, roll="nothing", pitch="several", yaw="yaw rose", throttle="throttle rose"
    )
    assert "The roll stick moves no channel." in said(page)
    assert "Take every mix off the pitch stick" in said(page)


def test_sticks_at_rest_give_a_deadband(shop, kit, browser):
    number = ready(shop, kit, "radio/rest", Act.PLUG_USB)
    form = step_page(browser, number, "radio/rest").form("/evidence")
    typed = {f"low[{name}]": "1497" for name in ("roll", "pitch", "yaw")}
    typed |= {f"high[{name}]": "1502" for name in ("roll", "pitch", "yaw")}
    page = browser.submit(form, "Record", **typed | {"high[yaw]": "1490"})
    assert page.status == 422
    assert 'href="#high-yaw"' in page.text
    assert page.form("/evidence").value("low[roll]") == "1497"
    page = browser.submit(page.form("/evidence"), "Record", **typed | {"high[yaw]": "1515"})
    assert mark(shop, number, "radio/rest") == "out"
    assert "yaw moves by 18 µs on its own." in said(page)
    assert "likeliest first A hand or the neck strap" in said(page)
    browser.submit(page.form("/evidence"), "Record", **typed)
    assert mark(shop, number, "radio/rest") == "done"
    page = step_page(browser, number, "radio/rest")
    # 3 µs from 1500 is the furthest, and one over.
    assert "roll 1499.5 µs 2.5 µs 4 µs" in said(page)
    assert "At rest: roll 1497 to 1502 µs, deadband 4 µs" in page.text


def test_the_radio_off_is_recorded_channel_by_channel(shop, kit, browser):
    number = ready(shop, kit, "radio/loss", Act.PLUG_USB)
    form = step_page(browser, number, "radio/loss").form("/evidence")
    did = {f"did[{name}]": "rest" for name in ("roll", "pitch", "yaw", "throttle")}
    page = browser.submit(form, "The loss, within", **{"did[roll]": "stayed"})
    assert page.status == 422
    assert said(page).count("Choose what yaw did.") == 2
    assert page.form("/evidence").value("did[roll]") == "stayed"
    form = page.form("/evidence")
    page = browser.submit(form, "The loss, within", **did | {"did[roll]": "stayed"})
    assert mark(shop, number, "radio/loss") == "out"
    assert "roll stays where it was no" in said(page)
    browser.submit(page.form("/evidence"), "The loss, within", **did)
    assert mark(shop, number, "radio/loss") == "done"


def test_a_pack_shows_which_counts_its_volts_may_be(shop, kit, browser):
    number = ready(shop, kit, "before/pack")
    form = step_page(browser, number, "before/pack").form("/evidence")
    page = browser.submit(form, "Record", cells="6.5", volts="")
    assert page.status == 422
    assert 'href="#volts"' in page.text
    page = browser.submit(page.form("/evidence"), "Record", cells="6", volts="25,3")
    assert mark(shop, number, "before/pack") == "out"
    browser.submit(page.form("/evidence"), "Record", cells="6", volts="25.2")
    assert mark(shop, number, "before/pack") == "done"
    page = step_page(browser, number, "before/pack")
    assert "7S 21 to 29.4 V may be" in said(page)
    assert "5S 15 to 21 V cannot be" in said(page)


def test_a_current_scale_is_worked_out_from_a_charge(shop, kit, browser):
    number = ready(shop, kit, "battery/current")
    form = step_page(browser, number, "battery/current").form("/evidence")
    typed = {"values[charger]": "1100", "values[craft]": "1000", "values[scale]": ""}
    page = browser.submit(form, "Record the readings", **typed)
    assert mark(shop, number, "battery/current") == "out"
    assert "Multiply the scale of the current reading by 1.1000" in said(page)
    browser.submit(page.form("/evidence"), "There is no flight")
    assert mark(shop, number, "battery/current") == "done"
