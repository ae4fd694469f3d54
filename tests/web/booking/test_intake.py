"""Book in as somebody at the counter does it, without script."""

import re

import pytest

from server.trade.promise import PastJob
from server.work.shop import Shop
from tests import make
from tests.web.client import Browser

WHO = {"customer_name": "Wren Ashdown", "phone": "+44 20 7946 0777"}
SIX = ("who", "craft", "trouble", "items", "condition", "promise")


@pytest.fixture
def ilse(shop: Shop) -> Browser:
    lead = make.lead(shop)
    make.staff(shop, lead, "Ilse Brandt", "counter")
    return Browser(shop).sign_in("Ilse Brandt")


def begin(browser, **who):
    """The second thought's page, and the booking's address."""
    form = browser.get("/book-in").form("/book-in", "Next")
    page = browser.submit(form, **(who or WHO))
    return page, page.answer.url.path.removesuffix("/craft")


def fill(browser, page, **typed):
    """Send the thought on this page; a list stands for several picks."""
    form = [f for f in page.forms if f.method == "post" and "/book-in/" in f.action][-1]
    return browser.submit(form, **typed)


def through(browser, until="end"):
    """Every thought told, up to `until`."""
    page, here = begin(browser)
    told = {
        "craft": {"craft_name": "Curlew"},
        "trouble": {"symptoms": ["wiped", "no-arm"], "own_words": "It <b>fell</b>"},
        "items": {"items[battery]": "2", "battery_look": "sound"},
        "condition": {"condition": ["lens-scratched"], "condition_words": ""},
        "promise": {"says[0]": "Set-up", "unit[0]": "45,50", "quantity[0]": "2"},
    }
    for key in SIX[1:]:
        if key == until:
            break
        page = fill(browser, page, **told[key])
    return page, here


def test_six_thoughts_make_a_ticket(ilse):
    page, _ = through(ilse)
    assert page.answer.url.path == "/tickets/1"
    assert "Ticket 0001 is booked in" in page.text
    for said in ("Wren Ashdown", "Curlew", "2 × Batteries", "Lens scratched", "91.00"):
        assert said in page.text


def test_what_was_told_is_shown_as_text(ilse):
    page, _ = through(ilse)
    assert "<b>fell</b>" not in page.text
    assert "&lt;b&gt;fell&lt;/b&gt;" in page.text


def test_the_slip_fills_in_as_it_is_told(ilse):
    page, _ = through(ilse, "items")
    slip = page.text[page.text.index('id="slip"') :]
    assert "Wren Ashdown" in slip
    assert "Settings wiped after an update; Does not arm" in slip


def test_a_customer_without_a_name_is_refused_and_kept(ilse):
    form = ilse.get("/book-in").form("/book-in", "Next")
    page = ilse.submit(form, customer_name=" ", phone="555 0100")
    assert (page.status, page.answer.url.path) == (422, "/book-in")
    assert "Write the name, or pick a customer above." in page.text
    assert page.form("/book-in", "Next").value("phone") == "555 0100"


@pytest.mark.parametrize(
    ("key", "typed", "says"),
    [
        ("craft", {"craft_name": ""}, "Write what the craft is called"),
        ("trouble", {}, "Pick what is wrong"),
        ("items", {"items[battery]": "", "battery_look": "none"}, "0 if none."),
        ("items", {"items[battery]": "x", "battery_look": "none"}, "Write a whole number."),
        ("items", {"items[battery]": "100", "battery_look": "none"}, "Write 99 or less."),
        ("items", {"items[battery]": "1", "battery_look": "none"}, "say how they look"),
        ("condition", {}, "Look, then pick"),
        ("condition", {"condition": ["nothing", "wire-loose"]}, "Take off"),
        ("promise", {"promised_at": ""}, "Say when it will be ready."),
        ("promise", {"promised_at": "2029-01-01T10:00"}, "That is past."),
        ("promise", {"unit[0]": "5"}, "Say what this line is for."),
        ("promise", {"says[1]": "Wire"}, "Write a price, 0 if it is free."),
        (
            "promise",
            {"says[0]": "x", "unit[0]": "1.005"},
            "at most 2 places after the point in EUR",
        ),
        ("promise", {"says[0]": "x", "unit[0]": "-1"}, "Write 0 or more."),
    ],
)
def test_a_wrong_answer_is_named_and_kept(ilse, key, typed, says):
    page, here = through(ilse, key)
    page = fill(ilse, page, **typed)
    assert (page.status, page.answer.url.path) == (422, f"{here}/{key}")
    assert says in page.text
    assert "<title>Error: " in page.text
    form = [f for f in page.forms if f.method == "post" and "/book-in/" in f.action][-1]
    for name, value in typed.items():
        if isinstance(value, str) and value.strip() and name in dict(form.fields):
            assert form.value(name) == value


def test_a_swollen_pack_shows_the_warning(ilse):
    page, _ = through(ilse, "items")
    page = fill(ilse, page, **{"items[battery]": "1", "battery_look": "unsafe"})
    assert page.answer.url.path.endswith("/condition")
    assert "signal-warning" in page.text
    assert "stays off the bench" in page.text


def test_more_lines_keep_what_is_written(ilse):
    page, _ = through(ilse, "promise")
    form = page.form("/promise")
    page = ilse.submit(form, "Add three lines", **{"says[0]": "Set-up", "promised_at": "half"})
    form = page.form("/promise")
    assert page.status == 200
    assert form.value("says[0]") == "Set-up"
    assert {f"says[{n}]" for n in range(6)} <= form.names


def test_a_suggested_time_says_why(ilse):
    page, _ = through(ilse, "promise")
    text = page.text.replace("\N{NO-BREAK SPACE}", " ")
    assert page.form("/promise").value("promised_at") == "2030-03-06T17:00"
    assert "Suggested: Wed 6 Mar 17:00, two opening days from now." in text
    assert "0 finished crafts to go by, and it takes 9." in text


def test_a_suggestion_from_the_past_tells_its_range(ilse, monkeypatch):
    past = [PastJob(float(m), frozenset({"other"}), "") for m in range(60, 240, 20)]
    monkeypatch.setattr("server.work.booking.promise.past", lambda *_: past)
    page, _ = through(ilse, "promise")
    text = page.text.replace("\N{NO-BREAK SPACE}", " ")
    assert page.form("/promise").value("promised_at") == "2030-03-04T17:00"
    assert "Nothing stands before it. Then 1 h to 3 h 40 min, as eight of ten took" in text
    assert "9 past crafts with any trouble, as too few had this one. Range: Mon 4 Mar." in text


def test_going_back_shows_what_was_told(ilse):
    _, here = through(ilse, "items")
    page = ilse.get(f"{here}/who")
    assert page.form("/who", "Next").value("customer_name") == "Wren Ashdown"


def test_the_last_thought_goes_back_to_a_gap(ilse):
    page, here = begin(ilse)
    page = ilse.get(f"{here}/promise")
    assert fill(ilse, page).answer.url.path == f"{here}/craft"


def test_a_returning_craft_fills_in_its_items(ilse):
    through(ilse)
    page = ilse.get("/book-in?q=0777")
    page = ilse.submit(page.form("/book-in", "Curlew"), "Curlew")
    assert page.answer.url.path == "/book-in/2/trouble"
    page = fill(ilse, page, own_words="Again")
    assert page.form("/items").value("items[battery]") == "2"
    page = fill(ilse, page, battery_look="worn")
    page = fill(ilse, page, condition=["nothing"])
    form = page.form("/promise")
    assert (form.value("says[0]"), form.value("unit[0]")) == ("Set-up", "45.50")


def test_one_box_finds_a_craft_by_any_of_them(ilse):
    page, _ = begin(ilse)
    page = fill(ilse, page, craft_name="Curlew", mark="WA-9")
    for told in (
        {"own_words": "x"},
        {"items[battery]": "0", "battery_look": "none"},
        {"condition": ["nothing"]},
        {},
    ):
        page = fill(ilse, page, **told)
    for words in (
        "wren",
        "0777",
        "020 7946 0777",
        "%2B44 (0)20 7946-0777",
        "0044 20 79460777",
        "curlew",
        "wa-9",
        "0001",
        "%231",
    ):
        page = ilse.get(f"/book-in?q={words}")
        assert "Wren Ashdown" in page.text, words
        assert "020 7946 0777" in page.text, words
        assert page.form("/book-in", "Curlew"), words


@pytest.mark.parametrize(
    ("words", "name"), [("Odile Marsh", "customer_name"), ("555 0142", "phone")]
)
def test_words_that_find_nobody_begin_a_new_customer(ilse, words, name):
    page = ilse.get(f"/book-in?q={words}")
    assert "Nobody is found" in page.text
    assert page.form("/book-in", "Next").value(name) == words


def test_another_craft_of_the_same_customer_is_asked_for(ilse):
    through(ilse)
    page = ilse.get("/book-in?q=wren")
    page = ilse.submit(page.form("/book-in", "Another craft"), "Another craft")
    assert page.answer.url.path == "/book-in/2/craft"
    assert "Wren Ashdown" in page.text


def test_another_customer_has_other_crafts(ilse):
    through(ilse)
    page = ilse.get("/book-in?q=wren")
    ilse.submit(page.form("/book-in", "Curlew"), "Curlew")
    page = ilse.get("/book-in/2/who")
    page = ilse.submit(page.form("/who", "Next"), "Next", customer_name="Somebody Else")
    assert "Curlew" not in page.text


def test_a_number_that_is_none_is_kept_with_a_note(ilse):
    page, _ = begin(ilse, customer_name="Odile Marsh", phone="555 0142")
    assert "555 0142 (kept as typed: no number of GB" in page.text


def test_a_finished_booking_opens_its_ticket(ilse):
    _, here = through(ilse)
    assert ilse.get(f"{here}/who").answer.url.path == "/tickets/1"


@pytest.mark.parametrize("path", ["/book-in/999/who", "/book-in/1/what", "/tickets/999"])
def test_what_is_not_there_is_a_page(ilse, path):
    begin(ilse)
    page = ilse.get(path)
    assert page.status == 404
    assert "<h1" in page.text


def test_the_status_page_says_no_more_than_it_may(shop, ilse):
    through(ilse)
    head = make.head(shop, 1)
    page = Browser(shop).get(f"/status/{head.status_code}")
    assert page.status == 200
    assert "noindex" in page.answer.headers["X-Robots-Tag"]
    assert "Waiting for a free bench" in page.text
    assert "Wren" in page.text
    for private in ("Ashdown", "7946", "Curlew", "fell"):
        assert private not in page.text


def test_an_unknown_code_is_not_found(shop, ilse):
    page = Browser(shop).get("/status/not-a-code")
    assert page.status == 404


def test_the_ticket_page_names_its_papers(ilse):
    page, _ = through(ilse)
    papers = re.findall(r'href="(/tickets/1/[a-z-]+\.pdf)"', page.text)
    assert papers == [f"/tickets/1/{name}.pdf" for name in ("claim-slip", "bag-tag", "estimate")]
