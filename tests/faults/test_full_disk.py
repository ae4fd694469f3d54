"""A full disk, a database that takes nothing: the act is refused whole, and what was typed stays.

SQLite is told to let its file grow no further, and to write nothing; what it answers then is what
it answers on such a disk (SQLITE_FULL, SQLITE_READONLY). The file system itself is not filled.
"""

import errno
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from sqlalchemy import event
from sqlalchemy.exc import OperationalError
from sqlmodel import func, select

from server.records.engine import reading
from server.records.tables import Evidence, TicketEvent
from server.trade.power import Act
from server.work.bench import power
from server.work.shop import Person, Shop
from server.work.ticket import files
from tests import databases, make
from tests.web.client import Browser, Filled

STEP = "level/flat"
MOST_TICKS = 300


@pytest.fixture
def shop(tmp_path, clock: make.Clock) -> Iterator[Shop]:
    """One on SQLite."""
    (tmp_path / "files").mkdir()
    engine = databases.fresh_sqlite(tmp_path)
    yield Shop(engine, tmp_path / "files", now=clock, quick_phrases=True)
    engine.dispose()


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


@pytest.fixture
def number(shop: Shop, kit: Person) -> int:
    """A craft on USB."""
    number = make.on_the_bench(shop, kit)
    power.change(shop, kit, number, act=Act.PLUG_USB)
    return number


@pytest.fixture
def browser(shop: Shop, kit: Person) -> Browser:
    return Browser(shop).sign_in("Kit Thorne")


@contextmanager
def pragma(shop: Shop, wanted: str, usual: str) -> Iterator[None]:
    """Every connection is told so, and told otherwise afterwards."""
    said = [wanted]

    def tell(connection, *_rest: object) -> None:
        connection.execute(f"PRAGMA {said[0]}")

    event.listen(shop.engine, "checkout", tell)
    yield
    said[0] = usual


def full(shop: Shop):
    """The file may hold the pages that it has, and no more."""
    with reading(shop.engine) as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar_one()
    return pragma(shop, f"max_page_count={pages}", "max_page_count=1073741823")


def read_only(shop: Shop):
    """Nothing may be written."""
    return pragma(shop, "query_only=ON", "query_only=OFF")


def count(shop: Shop, table) -> int:
    with reading(shop.engine) as connection:
        return connection.execute(select(func.count()).select_from(table)).scalar_one()


def tick(browser: Browser, number: int) -> Filled:
    return browser.get(f"/tickets/{number}/steps/{STEP}").form("/evidence")


def test_on_a_full_disk_each_tick_is_whole_or_not_there(shop, number, browser):
    before, ticks = count(shop, Evidence), 0
    with full(shop):
        for _ in range(MOST_TICKS):
            form = tick(browser, number)
            page = browser.post(form.action, browser.filled(form))
            if page.status != 200:
                break
            ticks += 1
        assert page.status == 503
        assert "could not be written down" in page.text
        assert count(shop, Evidence) == before + ticks
        # The counts of the ticket are of the same transaction.
        assert make.head(shop, number).steps_done == 1
    again = page.form("/evidence")
    assert again.value("act_key") == form.value("act_key")
    assert browser.submit(again, "Send it again").status == 200
    assert count(shop, Evidence) == before + ticks + 1
    browser.submit(again, "Send it again")
    assert count(shop, Evidence) == before + ticks + 1


def test_what_was_typed_is_given_back_and_sent_again(shop, number, browser):
    reason = "waiting for a receiver. " * 5
    form = browser.get(f"/tickets/{number}/moves").form("/hold")
    with read_only(shop):
        page = browser.submit(form, "Hold", reason=reason)
        assert page.status == 503
        assert reason.strip() in page.text
        assert make.head(shop, number).state == "bench"
    browser.submit(page.form("/hold"), "Send it again")
    assert make.head(shop, number).hold_reason == reason.strip()


def test_a_phrase_is_not_given_back(shop, browser):
    form = browser.get("/office/key").form("/office/key")
    with read_only(shop):
        page = browser.submit(form, phrase=make.SIGNING, again=make.SIGNING)
    assert page.status == 503
    assert make.SIGNING not in page.text
    assert not [form for form in page.forms if form.action.endswith("/office/key")]


def test_pages_are_still_read_while_nothing_is_written(shop, number, browser):
    with read_only(shop):
        assert browser.get(f"/tickets/{number}/card").status == 200
        assert browser.get("/queue").status == 200


def test_a_page_that_cannot_be_read_says_so(shop, browser, monkeypatch):
    def away(*_given: object) -> None:
        raise OperationalError("SELECT", {}, Exception("the server closed the connection"))

    monkeypatch.setattr("server.records.tickets.queue", away)
    page = browser.get("/queue")
    assert page.status == 503
    assert "records cannot be read" in page.text
    assert "Send it again" not in page.text


def test_an_act_kept_on_a_tablet_stays_there(shop, number, browser):
    form, before = tick(browser, number), count(shop, Evidence)
    with read_only(shop):
        page = browser.post(form.action, browser.filled(form), **{"X-Kept": "1"})
        assert page.status == 503
        assert page.answer.json()["says"].startswith("This could not be written down.")
    assert count(shop, Evidence) == before


def test_a_disk_that_is_full_for_files_says_the_same(shop, number, browser, monkeypatch):
    def no_room(*_given: object, **_named: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    form = browser.get(f"/tickets/{number}/steps/keep/settings").form("/file")
    before = count(shop, TicketEvent)
    monkeypatch.setattr(files, "keep_file", no_room)
    sent = {"file": ("settings.txt", b"port 1", "text/plain")}
    page = browser.submit(form, files=sent)
    assert page.status == 503
    assert "send it again from there" in page.text
    assert count(shop, TicketEvent) == before
