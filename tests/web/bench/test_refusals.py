"""What the bench card does not take: twice, too early, without a look, behind another hand."""

import pytest

from server.trade.power import Act
from server.work.bench import power
from server.work.shop import Person, Shop
from tests import make
from tests.web.bench.at_the_bench import entries, mark, now, ready, said, step_page
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


def test_the_same_form_twice_is_one_entry(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    first = browser.submit(form, "0")
    second = browser.submit(form, "0")
    assert (first.status, second.status) == (200, 200)
    assert now(first) == now(second)
    assert entries(shop) == 1


def test_another_tap_of_a_form_that_was_sent_is_shown_the_first(shop, kit, browser):
    number = ready(shop, kit, "motors/spins", Act.PLUG_BATTERY)
    before = entries(shop)
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    browser.post(form.action, dict(form.fields) | {"tap": "FL cw"})
    page = browser.post(form.action, dict(form.fields) | {"tap": "FL ccw"})
    assert page.status == 409
    assert "This form was sent before: Spin the motors one by one: 1 FL clockwise." in said(page)
    assert entries(shop) == before + 1
    fresh = page.form("/evidence")
    assert fresh.value("act_key") != form.value("act_key")


def test_a_step_that_comes_later_is_shut(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    page = step_page(browser, number, "ports/stuck")
    assert not [f for f in page.forms if f.action.endswith("/evidence")]
    assert "Step 4.3 comes after 4.1 and 4.2. Do 4.1 first." in said(page)
    assert f'href="/tickets/{number}/steps/ports/UART1"' in page.text


def test_a_step_for_another_power_links_to_it(shop, kit, browser):
    number = ready(shop, kit, "motors/first-power")
    page = browser.get(f"/tickets/{number}/card")
    assert not [f for f in page.forms if f.action.endswith("/evidence")]
    assert "is not done on cold. Change the power to limited (battery through the" in said(page)
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
    assert "A counter cannot work at the bench." in said(page)
    assert not [f for f in page.forms if f.action.endswith("/evidence")]
