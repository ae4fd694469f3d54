"""The bench card: every kind of evidence through its own form, refusals where the act was."""

import hashlib
import html
import re

import pytest
from sqlalchemy import func
from sqlmodel import select

from server.records.engine import reading
from server.records.tables import Evidence
from server.trade.power import Act
from server.work import files, power
from server.work.shop import Person, Shop
from server.work.standing_of import work_of
from tests import make
from tests.web.client import Browser, Page


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def browser(shop: Shop, kit: Person) -> Browser:
    return Browser(shop).sign_in("Kit Thorne")


def ready(shop: Shop, kit: Person, key: str, act: Act | None = None) -> int:
    """A ticket worked through up to `key`, with the power that it wants."""
    number = make.on_the_bench(shop, kit)
    make.work_through(shop, kit, number, until=key)
    if act is not None:
        power.change(shop, kit, number, act=act, propellers=0)
    return number


def mark(shop: Shop, number: int, key: str) -> str:
    with reading(shop.engine) as connection:
        work = work_of(connection, make.head(shop, number))
    return next(s.mark for s in work.steps if s.step.key == key)


def entries(shop: Shop) -> int:
    with reading(shop.engine) as connection:
        return connection.execute(select(func.count()).select_from(Evidence)).scalar_one()


def said(page: Page) -> str:
    """The page as it is read: no tags, single spaces."""
    text = html.unescape(re.sub(r"<[^>]+>", " ", page.text)).replace("\N{NO-BREAK SPACE}", " ")
    return " ".join(text.split()).replace(" ,", ",").replace(" .", ".")


def now(page: Page) -> str:
    """The title of the card at the top."""
    title = re.search(r'id="do-now-title"[^>]*>([^<]*)', page.text)
    assert title, "no Do now card"
    return html.unescape(title[1])


def step_page(browser: Browser, number: int, key: str) -> Page:
    return browser.get(f"/tickets/{number}/steps/{key}")


def test_the_first_open_step_stands_at_the_top(shop, kit, browser):
    page = browser.get(f"/tickets/{make.on_the_bench(shop, kit)}/card")
    assert page.status == 200
    assert now(page) == "Take the propellers off and put them away"


def test_a_choice_brings_the_next_step(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    page = browser.get(f"/tickets/{number}/card")
    after = browser.submit(page.form("/evidence"), "0")
    assert after.status == 200
    assert now(after) == "Look the craft over"
    assert mark(shop, number, "before/propellers") == "done"
    assert "1.1 recorded: 0 propellers on the craft" in said(after)


def test_a_choice_that_fails_stays_with_what_to_do(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    page = browser.get(f"/tickets/{number}/card")
    after = browser.submit(page.form("/evidence"), "2")
    assert mark(shop, number, "before/propellers") == "out"
    assert now(after) == "Take the propellers off and put them away"
    assert "Out of limits." in said(after)
    assert "Take every propeller off" in said(after)


def test_a_tick_is_one_tap(shop, kit, browser):
    number = ready(shop, kit, "level/flat", Act.PLUG_USB)
    page = browser.get(f"/tickets/{number}/card")
    browser.submit(page.form("/evidence"), "Record: level set")
    assert mark(shop, number, "level/flat") == "done"


def test_a_value_takes_a_comma_and_shows_its_limits(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    page = browser.get(f"/tickets/{number}/card")
    assert "Target 0.21 to 1.11 A" in said(page)
    browser.submit(page.form("/evidence"), "Record", **{"values[amps]": "0,41"})
    assert mark(shop, number, "motors/first-power") == "done"
    assert "0.41 A" in said(browser.get(f"/tickets/{number}/card"))


def test_a_value_out_of_limits_is_recorded_as_it_is(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    page = browser.get(f"/tickets/{number}/card")
    after = browser.submit(page.form("/evidence"), "Record", **{"values[amps]": "1.9"})
    assert mark(shop, number, "motors/first-power") == "out"
    assert "1.9 A is 0.79 A over the limit" in said(after)
    assert "Unplug. Look for a hot part" in said(after)


def test_a_tripped_limiter_is_one_tap(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    page = browser.get(f"/tickets/{number}/card")
    after = browser.submit(page.form("/evidence"), "The limiter tripped")
    assert mark(shop, number, "motors/first-power") == "out"
    assert "Find the short" in said(after)


def test_a_value_that_cannot_be_read_is_kept(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    before = entries(shop)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.submit(form, "Record", **{"values[amps]": "about 0.4"})
    again = page.form("/evidence")
    assert page.status == 422
    assert again.value("values[amps]") == "about 0.4"
    assert again.value("act_key") == form.value("act_key")
    assert 'href="#values-amps"' in page.text
    assert 'aria-invalid="true"' in page.text
    assert "<title>Error: " in page.text
    assert entries(shop) == before


def test_an_order_is_recorded_from_its_table(shop, kit, browser):
    number = ready(shop, kit, "motors/order", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    table = {"table[1]": "FL", "table[2]": "RR", "table[3]": "RL", "table[4]": "FR"}
    browser.submit(form, "Record the order", **table)
    assert mark(shop, number, "motors/order") == "done"


def test_a_corner_named_twice_is_said_beside_it(shop, kit, browser):
    number = ready(shop, kit, "motors/order", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    table = {"table[1]": "FL", "table[2]": "FL", "table[3]": "RL", "table[4]": "FR"}
    page = browser.submit(form, "Record the order", **table)
    assert page.status == 422
    assert "FL is named on outputs 1 and 2." in said(page)
    assert page.form("/evidence").value("table[3]") == "RL"


def test_three_faces_pass_and_a_contradiction_names_both(shop, kit, browser):
    number = ready(shop, kit, "level/faces", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.submit(form, "Record the three", **{
        "face[level]": "bottom", "face[nose-down]": "bottom", "face[right-down]": "right",
    })  # fmt: skip
    assert mark(shop, number, "level/faces") == "out"
    assert "Out of limits." in said(page)
    form = page.form("/evidence")
    browser.submit(form, "Record the three", **{
        "face[level]": "bottom", "face[nose-down]": "nose", "face[right-down]": "right",
    })  # fmt: skip
    assert mark(shop, number, "level/faces") == "done"


def test_a_turned_board_gives_its_angles(shop, kit, browser):
    """Nose down on the bench shows left down on screen: the board is yawed by a quarter turn."""
    number = ready(shop, kit, "level/faces", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.submit(form, "Record the three", **{
        "face[level]": "bottom", "face[nose-down]": "left", "face[right-down]": "nose",
    })  # fmt: skip
    assert "Yaw 90°, roll 0°, pitch 0°" in said(page)


def test_a_missing_face_is_asked_for(shop, kit, browser):
    number = ready(shop, kit, "level/faces", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.submit(form, "Record the three", **{"face[level]": "bottom"})
    assert page.status == 422
    assert page.form("/evidence").value("face[level]") == "bottom"
    assert page.text.count("Choose the part that points at the ground.") == 4


def channels(low: str, centre: str, high: str) -> dict[str, str]:
    names = ("roll", "pitch", "yaw", "throttle")
    places = {"low": low, "centre": centre, "high": high}
    return {f"{place}[{n}]": text for place, text in places.items() for n in names}


def test_channels_say_what_to_change_after_a_fail(shop, kit, browser):
    number = ready(shop, kit, "radio/ends", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.submit(form, "Record the readings", **channels("975", "1500", "2025"))
    assert mark(shop, number, "radio/ends") == "out"
    # 500 µs of wanted throw over 525 µs of present throw is 95.24 %.
    assert said(page).count("95 %") >= 8
    browser.submit(page.form("/evidence"), "Record", **channels("1000", "1500", "2000"))
    assert mark(shop, number, "radio/ends") == "done"


def test_a_channel_with_a_part_of_a_microsecond_is_refused(shop, kit, browser):
    number = ready(shop, kit, "radio/ends", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.submit(form, "Record", **channels("1000", "1500", "2000") | {"high[yaw]": "2.0"})
    page = browser.submit(
        page.form("/evidence"), "Record", **{"high[yaw]": "2000.5", "low[roll]": ""}
    )
    assert page.status == 422
    assert page.form("/evidence").value("high[yaw]") == "2000.5"
    assert 'href="#low-roll"' in page.text
    assert 'href="#high-yaw"' in page.text


def test_a_switch_gives_the_range_to_the_next_step(shop, kit, browser):
    number = ready(shop, kit, "switches/arm", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.submit(form, "Record", rest="1000", armed="2000", radio_off="988")
    assert mark(shop, number, "switches/arm") == "done"
    # Half way between rest and armed, to the open end of travel.
    assert "From 6.1: Set arming to 1500 to 2100 µs" in said(page)
    assert "Switch: rest 1000 µs" in step_page(browser, number, "switches/arm").text


def test_a_switch_too_near_has_no_range(shop, kit, browser):
    number = ready(shop, kit, "switches/arm", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.submit(form, "Record", rest="1000", armed="1020", silent="yes")
    assert mark(shop, number, "switches/arm") == "out"
    assert "no safe range for arming" in page.text


def test_a_file_is_kept_byte_for_byte(shop, kit, browser):
    number = ready(shop, kit, "keep/settings", Act.PLUG_USB)
    data = b"\x00set nothing\r\n\xff"
    form = browser.get(f"/tickets/{number}/card").form("/file")
    sent = {"file": ("../old settings.txt", data, "text/plain")}
    page = browser.submit(form, "Keep the file", files=sent)
    assert mark(shop, number, "keep/settings") == "done"
    assert files.path_of(shop, hashlib.sha256(data).hexdigest()).read_bytes() == data
    assert "2.1 recorded: old settings.txt" in said(page)


def test_a_reason_stands_in_for_a_file(shop, kit, browser):
    number = ready(shop, kit, "keep/settings", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/file")
    browser.submit(form, "Record that there is none", none="The settings were erased.")
    assert mark(shop, number, "keep/settings") == "done"


def test_neither_file_nor_reason_is_asked_for(shop, kit, browser):
    number = ready(shop, kit, "keep/settings", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/file")
    page = browser.submit(form, "Keep the file")
    assert page.status == 422
    assert "Choose a file, or say why there is none." in said(page)


def test_a_file_over_the_limit_is_refused(shop, kit, browser):
    number = ready(shop, kit, "keep/settings", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/file")
    sent = {"file": ("large.bin", bytes(files.MOST_BYTES + 1), "application/octet-stream")}
    page = browser.submit(form, "Keep the file", files=sent)
    assert page.status == 422
    assert "Keep the file under 5 MiB." in said(page)


def test_the_same_form_twice_is_one_entry(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    first = browser.submit(form, "0")
    second = browser.submit(form, "0")
    assert (first.status, second.status) == (200, 200)
    assert now(first) == now(second)
    assert entries(shop) == 1


def test_a_step_that_comes_later_is_shut(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    page = step_page(browser, number, "ports/stuck")
    assert not [f for f in page.forms if f.action.endswith("/evidence")]
    assert "Opens when 4.1 and 4.2 are done." in said(page)
    assert f'href="/tickets/{number}/steps/ports/UART1"' in page.text


def test_a_step_for_another_power_links_to_it(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power")
    page = browser.get(f"/tickets/{number}/card")
    assert not [f for f in page.forms if f.action.endswith("/evidence")]
    assert "Done on limited (battery through the current limiter)." in said(page)
    assert f'href="/tickets/{number}/power?step=motors/first-power"' in page.text


def test_a_powered_form_is_refused_once_unplugged(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    before = entries(shop)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    power.change(shop, kit, number, act=Act.UNPLUG)
    page = browser.submit(form, "Record", **{"values[amps]": "0.41"})
    assert page.status == 409
    assert "Not recorded: amps 0.41" in said(page)
    assert not [f for f in page.forms if f.action.endswith("/evidence")]
    assert entries(shop) == before


def test_a_powered_step_is_shut_without_a_live_look(shop, kit, browser, clock):
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    before = entries(shop)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    clock.pass_minutes(31)  # a look holds for 30 min, a connection for 60
    page = browser.get(f"/tickets/{number}/card")
    assert not [f for f in page.forms if f.action.endswith("/evidence")]
    assert "Nobody has looked at the propellers for this connection" in said(page)
    sent = browser.submit(form, "Record", **{"values[amps]": "0.41"})
    assert sent.status == 409
    assert entries(shop) == before


def test_another_hand_is_shown_and_can_be_corrected(shop, lead, kit, browser):
    make.staff(shop, lead, "Bo Larch")
    number = ready(shop, kit, "motors/first-power", Act.PLUG_LIMITER)
    bo = Browser(shop).sign_in("Bo Larch")
    late = bo.get(f"/tickets/{number}/card").form("/evidence")
    mine = browser.get(f"/tickets/{number}/card").form("/evidence")
    browser.submit(mine, "Record", **{"values[amps]": "0.41"})
    before = entries(shop)

    page = bo.submit(late, "Record", **{"values[amps]": "0.52"})
    assert page.status == 409
    assert "Theirs: 0.41 A, Kit Thorne" in said(page)
    assert "Yours: amps 0.52" in said(page)
    assert "Use theirs" in said(page)
    assert entries(shop) == before

    bo.submit(page.form("/evidence"), "Record as correction")
    assert entries(shop) == before + 1
    assert "0.52 A" in said(bo.get(f"/tickets/{number}/card"))


def test_another_hands_tap_can_be_corrected_by_the_same_tap(shop, lead, kit, browser):
    make.staff(shop, lead, "Bo Larch")
    number = make.on_the_bench(shop, kit)
    bo = Browser(shop).sign_in("Bo Larch")
    late = bo.get(f"/tickets/{number}/card").form("/evidence")
    browser.submit(browser.get(f"/tickets/{number}/card").form("/evidence"), "0")
    page = bo.submit(late, "1")
    bo.submit(page.form("/evidence"), "Record as correction")
    assert mark(shop, number, "before/propellers") == "out"


def test_a_changed_map_shows_the_step_anew(shop, kit, browser):
    number = ready(shop, kit, "radio/protocol", Act.PLUG_USB)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    make.mapped(shop, kit, number, make.receiver_moved)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    page = browser.submit(form, "Channels move")
    assert page.status == 409
    assert "The map changed, and with it step" in said(page)


def test_a_stale_step_comes_first_and_says_why(shop, kit, browser):
    number = ready(shop, kit, "motors/link")
    make.mapped(shop, kit, number, make.receiver_moved)
    page = browser.get(f"/tickets/{number}/card")
    assert "To do again. Map revision 2 changed what this step rests on." in said(page)
    assert 'data-state="stale"' in page.text
    assert "<s>channels move with the sticks</s>" in page.text


def test_an_unknown_step_is_not_found(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    assert step_page(browser, number, "ports/UART9").status == 404
    assert browser.get(f"/tickets/{number}/card?step=nothing").status == 404
    assert browser.get("/tickets/999/card").status == 404


def test_a_ticket_without_a_map_leads_to_it(shop, lead, kit, browser):
    number = make.ticket(shop, lead)
    assert now(browser.get(f"/tickets/{number}/card")) == "Nobody has taken this ticket"
    page = browser.get(f"/tickets/{number}/card")
    page = browser.submit(page.form("/holder"), f"Take ticket {number:04d}")
    assert now(page) == "Enter the port map first"
    assert f'href="/tickets/{number}/map"' in page.text


def test_all_done_leads_to_the_signature(shop, kit, browser):
    number = ready(shop, kit, "")
    page = browser.get(f"/tickets/{number}/card")
    assert now(page) == "All steps are done"
    assert f'href="/tickets/{number}/signature"' in page.text


def test_the_counter_reads_and_records_nothing(shop, lead, kit):
    make.staff(shop, lead, "Ilse Brand", "counter")
    number = make.on_the_bench(shop, kit)
    page = Browser(shop).sign_in("Ilse Brand").get(f"/tickets/{number}/card")
    assert "A counter does not work at the bench." in said(page)
    assert not [f for f in page.forms if f.action.endswith("/evidence")]


def test_htmx_gets_what_changed_and_no_more(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.submit(form, "0", headers={"HX-Request": "true"})
    assert "<html" not in page.text
    ids = set(re.findall(r'id="([\w-]+)"[^>]*hx-swap-oob', page.text))
    # First power waits for the stage before power, so the motors' rows change with it.
    slots = {"slot-before", "slot-motors"}
    assert ids == slots | {"stage-strip", "before-signing", "said", "strip"}
    assert page.answer.headers["HX-Replace-Url"] == f"/tickets/{number}/card"
    assert "HX-Request" in page.answer.headers["Vary"]


def test_deference_and_the_counters_words_stand_once(shop, kit, browser):
    number = make.on_the_bench(shop, kit, None, own_words="It fell into a hedge & stopped.")
    page = browser.get(f"/tickets/{number}/card")
    assert said(page).count("This card does not replace the shop's own rules") == 1
    assert "“It fell into a hedge & stopped.”" in said(page)
    assert "Settings wiped after an update" in said(page)
