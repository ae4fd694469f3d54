"""The fault finder's page: a check at a time, the causes with both numbers, nothing under battery
without its safeguards."""

import re
from datetime import timedelta

import pytest
from sqlalchemy import select, update

from server.places import MIGRATIONS
from server.records.columns import core
from server.records.engine import open_engine, reading, writing
from server.records.migrate import bring_up_to_date
from server.records.tables import FaultAnswer, Profile, Ticket
from server.trade.power import Act
from server.work.bench import faults, power, recording
from server.work.bench.fault_search import search_of
from server.work.queue import queue
from server.work.shop import Shop
from tests import make
from tests.web.bench.at_the_bench import ready, said
from tests.web.client import Browser


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """One shop for all, a ticket for each, on one database: tests/work has the acts on both."""
    folder = tmp_path_factory.mktemp("faults")
    engine = open_engine(f"sqlite:///{folder / 'shop.db'}", durable=False)
    bring_up_to_date(engine, MIGRATIONS)
    yield Shop(engine, folder / "files", now=make.Clock(), quick_phrases=True)
    engine.dispose()


@pytest.fixture(scope="module")
def lead(shop):
    return make.lead(shop)


@pytest.fixture(scope="module")
def kit(shop, lead):
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture(scope="module")
def browser(shop, kit):
    return Browser(shop).sign_in("Kit Thorne")


@pytest.fixture
def number(shop, kit):
    return make.first_powered(shop, kit)


@pytest.fixture
def url(number):
    return f"/tickets/{number}/faults"


def pick(browser, url, *symptoms):
    """Choose what is wrong, as ticking the boxes does."""
    form = browser.get(f"{url}?choose=yes").form(url)
    return browser.post(url, browser.filled(form, "Look for") | {"symptoms": list(symptoms)})


def checked(page):
    return re.findall(r'name="symptoms" value="([a-z-]+)"[^>]* checked', page.text)


def asked(page):
    """The question at the top."""
    return re.search(r'id="do-now-title"[^>]*>([^<]*)', page.text)[1].replace("&#39;", "'")


def press(browser, page, url, button, **typed):
    return browser.submit(page.form(f"{url}/answers"), button, **typed)


def past(shop, by, symptom, cause):
    """A closed ticket on the same board with this cause."""
    number = make.on_the_bench(shop, by)
    faults.begin(shop, by, number, symptoms=[symptom], act_key=make.key())
    faults.found(shop, by, number, cause=cause, act_key=make.key())
    with writing(shop.engine) as session:
        one = core(Ticket).c.number == number
        closed = update(core(Ticket)).where(one).values(state="collected", holder_id=None)
        session.connection().execute(closed)
    return number


def search(shop, number):
    with reading(shop.engine) as connection:
        return search_of(connection, make.head(shop, number))


def test_the_card_leads_to_the_page(browser, number, url):
    assert f'href="{url}"' in browser.get(f"/tickets/{number}/card").text


def test_what_the_counter_picked_is_ticked_already(shop, kit, browser):
    number = make.on_the_bench(shop, kit, symptoms=["motor-silent", "flips", "wiped"])
    assert checked(browser.get(f"/tickets/{number}/faults")) == ["one-motor", "flips"]


TAPS = (
    {"output": 1, "seen": "nothing"},
    {"output": 2, "seen": "stuttered"},
    {"output": 3, "seen": "two"},
    {"output": 4, "seen": "turned", "corner": "FL", "turn": "cw"},
)


def spun(shop, kit, *taps):
    """A ticket whose spins showed this."""
    number = ready(shop, kit, "motors/spins", Act.PLUG_BATTERY)
    for tap in taps:
        recording.record(shop, kit, number, "motors/spins", answer=tap, act_key=make.key())
    return number


def test_what_the_spins_showed_is_ticked_already(shop, kit, browser):
    page = browser.get(f"/tickets/{spun(shop, kit, *TAPS)}/faults")
    assert checked(page) == ["one-motor", "stutter", "two-turn"]


def test_one_dead_output_is_no_dead_craft(shop, kit, browser):
    assert checked(browser.get(f"/tickets/{spun(shop, kit, TAPS[0])}/faults")) == ["one-motor"]


def test_four_dead_outputs_are_no_motor_at_all(shop, kit, browser):
    number = spun(shop, kit, *({"output": n, "seen": "nothing"} for n in range(1, 5)))
    assert checked(browser.get(f"/tickets/{number}/faults")) == ["no-motor"]
    assert (
        f'href="/tickets/{number}/faults"'
        in browser.get(f"/tickets/{number}/steps/motors/spins").text.split('id="stage-strip"')[0]
    )


def test_a_search_goes_from_check_to_cause(shop, browser, number, url):
    page = pick(browser, url, "one-motor")
    assert asked(page) == "Has the signal lead contact, and to its own pad alone?"
    assert "No closed ticket with a Brindle F7 has a cause put down" in said(page)
    page = press(browser, page, url, "Open")
    assert "Recorded: Open." in said(page)
    first = said(page).split("Causes, likeliest first")[1]
    assert re.search(r"For: One motor does not turn\. 9\d %: The signal lead of that output", first)
    page = browser.submit(page.form(f"{url}/causes", "Record"), "Record")
    assert asked(page) == "The signal lead of that output is off its pad or broken."
    assert "Shown by: Has the signal lead contact, and to its own pad alone? Open." in said(page)
    assert search(shop, number).row.found.cause == "signal-lead-off"


def test_a_reload_keeps_every_answer(browser, url):
    page = pick(browser, url, "one-motor")
    press(browser, page, url, "Could not tell")
    page = browser.get(url)
    assert "could not tell, KT" in said(page)
    assert asked(page) != "Has the signal lead contact, and to its own pad alone?"
    assert asked(browser.get(f"{url}/answers")) == asked(page)  # a reload of what was posted


def test_both_numbers_stand_with_their_tickets(shop, kit, browser, url):
    one, two = (
        past(shop, kit, "two-turn", "signal-forked"),
        past(shop, kit, "two-turn", "signal-forked"),
    )
    page = pick(browser, url, "two-turn")
    text = said(page)
    assert "One signal lead goes to two ESC channels." in text
    assert "Common practice: 1.5 of 10." in text
    assert f"This shop: 2 of 2 closed tickets, {one:04d}, {two:04d}." in text
    assert "2 closed tickets with a Brindle F7 have a cause put down for this" in text
    assert f'href="/tickets/{one}/faults"' in page.text
    there = browser.get(f"/tickets/{one}/faults")
    assert asked(there) == "One signal lead goes to two ESC channels."
    assert all("/faults" not in form.action for form in there.forms)


def test_another_check_can_be_chosen(browser, url):
    page = pick(browser, url, "one-motor")
    href = re.search(rf'href="({url}\?check=three-leads)"', page.text)[1]
    assert asked(browser.get(href)) == "Do the motor’s three leads read alike?"


def test_an_answer_is_corrected_by_a_new_one(shop, browser, number, url):
    page = press(browser, pick(browser, url, "one-motor"), url, "Open")
    again = browser.get(re.search(rf'href="({url}\?check=signal-contact)"', page.text)[1])
    assert "Answered; a new answer corrects it" in said(again)
    press(browser, again, url, "Under 1")
    assert search(shop, number).row.answers["signal-contact"].outcome == "own"


UNDER_BATTERY = "neighbour-motor"


def no_form(page, url):
    return all(not form.action.endswith(f"{url}/answers") for form in page.forms)


def test_a_check_under_battery_offers_no_answer_without_one(browser, number, url):
    pick(browser, url, "one-motor")
    page = browser.get(f"{url}?check={UNDER_BATTERY}")
    assert no_form(page, url)
    assert "WARNING" in said(page)
    assert "This check is not done on cold. Change the power to limited (battery" in said(page)
    assert f'href="/tickets/{number}/power?step=faults/{UNDER_BATTERY}"' in page.text
    assert "Or, with the power as it is: Has the signal lead contact" in said(page)


def test_power_for_a_check_asks_for_propellers_and_comes_back(shop, browser, number, url):
    pick(browser, url, "one-motor")
    gate = browser.get(f"/tickets/{number}/power?step=faults/{UNDER_BATTERY}")
    assert "The check ‘Does a neighbour’s motor turn" in said(gate)
    form = next(f for f in gate.forms if ("act", "plug-limiter") in f.fields)
    page = browser.post(form.action, browser.filled(form, "0"))
    assert asked(page) == "Does a neighbour’s motor turn on that ESC channel?"
    press(browser, page, url, "It turns")
    row = search(shop, number).row.answers[UNDER_BATTERY]
    assert (row.outcome, row.power) == ("turns", "limited")


def test_after_unplugging_a_cold_check_comes_back(shop, kit, browser, number, url):
    pick(browser, url, "one-motor")
    power.change(shop, kit, number, act=Act.PLUG_USB)
    page = browser.get(f"{url}?check=signal-contact")
    assert no_form(page, url)
    gate = browser.get(f"/tickets/{number}/power?step=faults/signal-contact")
    page = browser.submit(gate.form("/power", "Unplug"), "Unplug")
    assert asked(page) == "Has the signal lead contact, and to its own pad alone?"
    assert not no_form(page, url)


def test_an_answer_sent_past_the_page_is_refused_in_the_server(shop, kit, browser, number, url):
    """The form is real, and the battery comes off, or the look gets old, before it is sent."""
    pick(browser, url, "one-motor")
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    form = browser.get(f"{url}?check={UNDER_BATTERY}").form(f"{url}/answers")
    power.change(shop, kit, number, act=Act.UNPLUG)
    page = browser.submit(form, "It turns")
    assert page.status == 409
    assert "the craft is on cold now" in said(page)
    page = browser.post(form.action, browser.filled(form, "It turns") | {"under": ""})
    assert page.status == 409
    assert "This check is not done on cold." in said(page)
    assert search(shop, number).row.answers == {}


def test_an_old_look_shuts_a_check(shop, kit, browser, number, url):
    pick(browser, url, "one-motor")
    power.change(shop, kit, number, act=Act.PLUG_LIMITER, propellers=0)
    assert not no_form(browser.get(f"{url}?check={UNDER_BATTERY}"), url)
    with reading(shop.engine) as connection:
        holds = connection.execute(select(core(Profile).c.props_minutes)).scalar_one()
    shop.now.pass_minutes(holds + 1)
    page = browser.get(f"{url}?check={UNDER_BATTERY}")
    assert no_form(page, url)
    assert "Nobody has looked at the propellers for this connection" in said(page)


def test_a_double_tap_is_one_answer(shop, browser, number, url):
    form = pick(browser, url, "one-motor").form(f"{url}/answers")
    for _ in range(2):
        browser.submit(form, "Open")
    with reading(shop.engine) as connection:
        answers = connection.execute(core(FaultAnswer).select()).mappings().all()
    key = form.value("act_key")
    assert [a["outcome"] for a in answers if a["act_key"] == key] == ["open"]
    assert len(search(shop, number).row.answers) == 1


def test_a_cause_outside_the_list_wants_words(shop, browser, number, url):
    page = pick(browser, url, "one-motor")
    form = next(f for f in page.forms if ("cause", "other") in f.fields)
    page = browser.submit(form, "Record", words=" ")
    assert page.status == 422
    assert "Write down in words what it was." in said(page)
    assert page.text.count("field-error") == 1
    form = next(f for f in page.forms if ("cause", "other") in f.fields)
    page = browser.submit(form, "Record", words="An ant under the coating.")
    assert "An ant under the coating." in said(page)
    assert search(shop, number).row.found.cause == "other"


def test_it_was_not_that_goes_on(shop, kit, browser, number, url):
    pick(browser, url, "one-motor")
    faults.found(shop, kit, number, cause="motor-dead", act_key=make.key())
    page = browser.get(url)
    page = browser.submit(page.form(f"{url}/causes/end"), "It was not that")
    assert asked(page) == "Has the signal lead contact, and to its own pad alone?"


def test_the_next_fault_starts_afresh_and_names_the_first(shop, kit, browser, number, url):
    pick(browser, url, "one-motor")
    faults.found(shop, kit, number, cause="motor-dead", act_key=make.key())
    page = pick(browser, url, "flips")
    assert "For: Flips at take-off." in said(page)
    before = said(page).split("Found before on this ticket")[1]
    assert "The motor’s winding is open" in before


def test_nothing_picked_is_said_beside_the_picks(browser, url):
    page = pick(browser, url)
    assert page.status == 422
    assert "Choose what is wrong." in said(page)


def test_symptoms_that_share_no_cause_are_said_so(browser, url):
    page = pick(browser, url, "no-motor", "no-picture")
    assert "No single cause of the table does all of this." in said(page)


def test_a_symptom_that_the_map_rules_out_is_not_offered(browser, url):
    assert 'value="no-overlay"' in browser.get(url).text
    assert 'value="no-position"' not in browser.get(url).text


def test_the_counter_reads_and_does_not_act(shop, lead, browser, url):
    pick(browser, url, "one-motor")
    make.staff(shop, lead, "Ilse Brand", "counter")
    page = Browser(shop).sign_in("Ilse Brand").get(url)
    assert "A counter cannot work at the bench." in said(page)
    assert all("/faults" not in form.action for form in page.forms)


def test_a_held_ticket_shows_and_does_not_take(shop, kit, browser, number, url):
    pick(browser, url, "one-motor")
    queue.hold(shop, kit, number, reason="a part")
    page = browser.get(url)
    assert "is not on a bench: it waits for " in said(page)
    assert all("/faults" not in form.action for form in page.forms)


def test_another_hand_s_answer_is_shown(shop, lead, browser, number, url):
    form = pick(browser, url, "one-motor").form(f"{url}/answers")
    faults.answer(shop, lead, number, check="signal-contact", outcome="own", act_key=make.key())
    page = browser.submit(form, "Open")
    assert page.status == 409
    assert "Sunniva Oake answered this first: Under 1" in said(page)


def test_an_answer_that_a_tablet_kept_arrives_with_its_own_time(shop, browser, number, url):
    form = pick(browser, url, "one-motor").form(f"{url}/answers")
    made = shop.now.at
    shop.now.pass_minutes(5)
    sent = browser.filled(form, "Open") | {"made_at": str(round(made.timestamp() * 1000))}
    told = browser.post(form.action, sent, **{"X-Kept": "1"})
    assert told.answer.json() == {"taken": form.value("act_key")}
    row = search(shop, number).row.answers["signal-contact"]
    assert abs(row.made_at - made) < timedelta(seconds=1)
    assert row.at - row.made_at > timedelta(minutes=4)


def test_a_kept_answer_that_is_not_taken_says_why(shop, kit, browser, number, url):
    form = pick(browser, url, "one-motor").form(f"{url}/answers")
    power.change(shop, kit, number, act=Act.PLUG_USB)
    told = browser.post(form.action, browser.filled(form, "Open"), **{"X-Kept": "1"})
    assert told.status == 409
    assert "the craft is on usb now" in told.answer.json()["says"]
    assert search(shop, number).row.answers == {}


def test_with_script_a_refusal_comes_in_the_place_of_the_check(shop, kit, browser, number, url):
    form = pick(browser, url, "one-motor").form(f"{url}/answers")
    power.change(shop, kit, number, act=Act.PLUG_USB)
    page = browser.post(form.action, browser.filled(form, "Open"), **{"HX-Request": "true"})
    assert page.status == 409
    assert "<html" not in page.text
    assert 'id="do-now"' in page.text
    assert "the craft is on usb now" in said(page)
