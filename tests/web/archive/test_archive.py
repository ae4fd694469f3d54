"""The archive says what it took the words to mean, and starts a map from a past build."""

from datetime import timedelta

import pytest

from server.demo.bench import work_through
from server.records import builds
from server.records.engine import reading
from server.web.archive.rows import finding_says, lasted, moved
from server.work.bench import signing
from server.work.people import keys
from server.work.shop import Shop
from tests import databases, make
from tests.web.client import Browser


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """A shop with one signed build that was swapped at first, and one ticket on the bench."""
    folder, clock = tmp_path_factory.mktemp("archive"), make.Clock()
    (folder / "files").mkdir()
    shop = Shop(databases.fresh_sqlite(folder), folder / "files", now=clock, quick_phrases=True)
    by = make.lead(shop)
    keys.make_key(shop, by, phrase=make.SIGNING)
    number = make.on_the_bench(shop, by, make.swapped)
    make.mapped(shop, by, number)
    clock.pass_minutes(40)
    work_through(shop, by, number)
    signing.sign(shop, by, number, phrase=make.SIGNING, words="Two leads exchanged.")
    make.on_the_bench(shop, by, craft_name="Gannet")
    yield shop
    shop.engine.dispose()


@pytest.fixture(scope="module")
def browser(kept):
    """The lead's."""
    return Browser(kept).sign_in("Sunniva Oake")


def test_misspelt_board_is_shown_for_the_nearest(browser):
    text = browser.get("/archive?board=brindel+f7").text
    assert "Shown for <b>Brindle F7</b>, 1\N{NO-BREAK SPACE}build." in text
    assert "Nothing is spelled “brindel”." in text
    assert 'href="/archive/2"' in text


def test_build_tells_what_was_wrong_and_took(browser):
    text = browser.get("/archive").text
    assert "Settings wiped after an update." in text
    assert finding_says("lines-swapped") in text
    assert "2\N{NO-BREAK SPACE}leads moved, 40\N{NO-BREAK SPACE}min" in text


def test_usual_counts_come_with_their_interval(browser):
    text = " ".join(browser.get("/archive?board=brindle").text.split())
    assert "Usually, on a Brindle F7" in text
    # One of one: scipy's binomtest(1, 1).proportion_ci(method="wilson") is 0.2065 to 1.
    assert "1 of 1<small>21 to 100 %</small>" in text


def test_pick_narrows_and_leads_back(browser):
    address = "/archive?board=brindle&symptom=wiped"
    text = " ".join(browser.get(address).text.split())
    assert 'href="/archive?board=brindle" aria-current="page">Settings wiped' in text
    assert 'href="/archive/2"' in text
    assert 'href="/archive/2"' not in browser.get("/archive?board=brindle&symptom=drifts").text


@pytest.mark.parametrize("words", ["board=xyzzy", "board=%25", "pad=%25", "device=_"])
def test_words_without_a_match_find_nothing(browser, words):
    page = browser.get(f"/archive?{words}")
    assert page.status == 200
    assert "No signed build is like that" in page.text


@pytest.mark.parametrize("words", ["before=x", "before=-1", "for=", "for=%C2%B2", "strange=1"])
def test_unreadable_address_is_read_without_it(browser, words):
    page = browser.get(f"/archive?{words}")
    assert page.status == 200
    assert 'href="/archive/2"' in page.text


def test_page_before_the_first_build_is_empty(browser):
    assert "No signed build is like that" in browser.get("/archive?before=1").text


def test_map_starts_from_a_past_build(browser, kept):
    page = browser.get("/archive?board=brindle&for=2")
    browser.submit(page.form("/tickets/2/map/start"))
    with reading(kept.engine) as connection:
        draft = builds.draft(connection, make.head(kept, 2).id)
    assert draft is not None
    assert draft.came_from_id == 2


def test_past_build_shows_drawing_table_and_log(browser):
    text = browser.get("/archive/2").text
    assert "<svg" in text
    assert "The same as a table" in text
    assert 'href="/logs/' in text
    assert "Start 0002, Gannet" in text


@pytest.mark.parametrize("build", [1, 3, 99])
def test_build_that_is_not_signed_is_not_found(browser, build):
    page = browser.get(f"/archive/{build}")
    assert page.status == 404
    assert "There is no such past build." in page.text


def test_empty_shop_says_what_will_come_here(shop):
    make.lead(shop)
    page = Browser(shop).sign_in("Sunniva Oake").get("/archive?board=brindle")
    assert "No build is signed yet." in page.text


@pytest.mark.parametrize(
    ("before", "after", "count"),
    [
        ([("a", "TX", "R1")], [("a", "TX", "R1")], 0),
        ([("a", "TX", "R1")], [("a", "TX", "R2")], 1),
        ([("a", "GND", "G"), ("a", "GND", "G2")], [("a", "GND", "G2"), ("a", "GND", "G")], 0),
        ([("a", "TX", "R1")], [("b", "TX", "R1")], 2),
        ([], [("a", "TX", "R1"), ("a", "RX", "T1")], 2),
    ],
)
def test_moved_leads_are_those_on_other_pads(before, after, count):
    assert moved(before, after) == count


@pytest.mark.parametrize(
    ("time", "says"),
    [
        (timedelta(seconds=5), "1 min"),
        (timedelta(minutes=52), "52 min"),
        (timedelta(minutes=84), "1 h 24 min"),
        (timedelta(hours=30), "1 day"),
        (timedelta(days=3), "3 days"),
    ],
)
def test_time_is_said_as_people_do(time, says):
    assert lasted(time).replace("\N{NO-BREAK SPACE}", " ") == says
