"""The queue's pages, the moves of a ticket, and the find box; on both databases."""

import pytest
from sqlalchemy import event

from server.work.queue import queue
from server.work.shop import Person, Shop
from tests import make
from tests.web.client import Browser


@pytest.fixture
def lead(shop: Shop) -> Person:
    return make.lead(shop)


@pytest.fixture
def kit(shop: Shop, lead: Person) -> Person:
    return make.staff(shop, lead, "Kit Thorne")


@pytest.fixture
def browser(shop: Shop, kit: Person) -> Browser:
    return Browser(shop).sign_in(kit.name)


def test_an_empty_queue_offers_the_first_act(browser):
    text = browser.get("/queue").text
    assert "No ticket stands here" in text
    assert 'href="/book-in"' in text


def test_the_queue_groups_by_what_is_due(shop, kit, browser, clock):
    make.ticket(shop, kit, craft_name="Late", promised_at=clock.at.replace(day=1))
    make.ticket(shop, kit, craft_name="Today", promised_at=clock.at.replace(hour=16))
    make.ticket(shop, kit, craft_name="Later", promised_at=clock.at.replace(day=20))
    text = browser.get("/queue").text
    heads = [text.index(head) for head in ("Late <b>", "Due today", "Later <b>")]
    assert heads == sorted(heads)
    assert text.index("Due today") < text.index(">Today<") < text.index("Later <b>")


def test_take_the_next_opens_its_card(shop, kit, browser):
    number = make.ticket(shop, kit)
    form = browser.get("/queue").form(f"/tickets/{number}/holder", "Take the next")
    page = browser.submit(form, "Take the next")
    assert page.status == 200
    assert str(page.answer.url).endswith(f"/tickets/{number}/card")
    assert make.head(shop, number).holder == "Kit Thorne"


def test_the_second_taker_reads_who_has_it(shop, lead, kit, browser):
    number = make.ticket(shop, kit)
    form = browser.get("/queue").form(f"/tickets/{number}/holder", "Take")
    queue.take(shop, make.staff(shop, lead, "Bo Larch"), number)
    page = browser.submit(form, "Take")
    assert page.status == 409
    assert "is on Bo Larch’s bench" in page.text


def test_a_hold_without_a_reason_comes_back(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    form = browser.get(f"/tickets/{number}/moves").form("/hold")
    page = browser.submit(form, "Hold")
    assert page.status == 422
    assert "what the ticket waits for" in page.text
    assert make.head(shop, number).state == "bench"


def test_a_hold_and_its_end_by_the_page(shop, kit, browser):
    number = make.on_the_bench(shop, kit)
    moves = f"/tickets/{number}/moves"
    browser.submit(browser.get(moves).form("/hold"), "Hold", reason="waiting for a part")
    assert make.head(shop, number).hold_reason == "waiting for a part"
    browser.submit(browser.get(moves).form("/hold/end"), "End")
    assert make.head(shop, number).state == "bench"


def test_handing_on_by_the_page(shop, lead, kit, browser):
    bo = make.staff(shop, lead, "Bo Larch")
    number = make.on_the_bench(shop, kit)
    form = browser.get(f"/tickets/{number}/moves").form("/holder/next")
    browser.submit(form, "Pass", to=str(bo.id))
    assert make.head(shop, number).holder == "Bo Larch"


def test_filters_show_their_own(shop, kit, browser):
    make.ticket(shop, kit, craft_name="Waiting one")
    make.on_the_bench(shop, kit, craft_name="Benched one")
    text = browser.get("/queue?show=bench", **{"HX-Request": "true"}).text
    assert "Benched one" in text
    assert "Waiting one" not in text


def test_htmx_gets_the_lines_alone(shop, kit, browser):
    make.ticket(shop, kit)
    page = browser.get("/queue", **{"HX-Request": "true"})
    assert "<html" not in page.text
    assert 'id="queue-lines"' in page.text


def cost(shop: Shop, browser: Browser) -> int:
    """How many statements one look at the queue takes."""
    seen: list[str] = []

    def count(_conn, _cursor, statement, *_):
        seen.append(statement)

    event.listen(shop.engine, "before_cursor_execute", count)
    browser.get("/queue")
    event.remove(shop.engine, "before_cursor_execute", count)
    return sum(s.lstrip().upper().startswith("SELECT") for s in seen)


def test_the_queue_costs_the_same_for_two_and_for_twenty(shop, kit, browser):
    for i in range(2):
        make.ticket(shop, kit, craft_name=f"Craft {i}")
    few = cost(shop, browser)
    assert few > 0
    for i in range(2, 20):
        make.ticket(shop, kit, craft_name=f"Craft {i}")
    assert cost(shop, browser) == few


@pytest.mark.parametrize("words", ["0001", "1", "#0001", "http://shop/tickets/1/card", "kittiw"])
def test_the_find_box_opens_the_ticket(shop, kit, browser, words):
    make.ticket(shop, kit)
    assert str(browser.get(f"/find?q={words.replace('#', '%23')}").answer.url).endswith(
        "/tickets/1"
    )


def test_the_find_box_takes_a_scanned_slip(shop, kit, browser):
    number = make.ticket(shop, kit)
    code = make.head(shop, number).status_code
    found = browser.get(f"/find?q=http://shop/status/{code}")
    assert str(found.answer.url).endswith(f"/tickets/{number}")


def test_words_that_match_nothing_say_how_to_search(browser):
    text = browser.get("/find?q=50%25_off").text
    assert "part of a name is enough" in text


def test_an_unknown_ticket_is_a_helpful_404(browser):
    page = browser.get("/tickets/999/moves")
    assert page.status == 404
    assert "no ticket 0999" in page.text
    assert "Traceback" not in page.text


def test_a_form_without_its_token_is_refused(shop, kit, browser):
    number = make.ticket(shop, kit)
    page = browser.post(f"/tickets/{number}/holder", {"csrf": "forged"})
    assert page.status == 403
    assert make.head(shop, number).holder is None


def test_a_ticket_is_cancelled_by_the_page_with_a_reason(shop, lead, kit, browser):
    number = make.ticket(shop, kit)
    assert "cancellation" not in browser.get(f"/tickets/{number}/moves").text  # a technician's
    browser = Browser(shop).sign_in(lead.name)
    assert f"/tickets/{number}/moves#cancel" in browser.get(f"/tickets/{number}").text
    form = browser.get(f"/tickets/{number}/moves").form("/cancellation")
    page = browser.submit(form, f"Cancel {number:04d}")
    assert page.status == 422
    assert "why it is cancelled" in page.text
    page = browser.submit(page.form("/cancellation"), f"Cancel {number:04d}", reason="Twice.")
    assert page.status == 200
    assert make.head(shop, number).state == "cancelled"
    text = page.text
    assert "Cancelled by Sunniva Oake: Twice." in text
    assert "Book it in again" in text
    assert "#cancel" not in text
    assert "Cancelled" in Browser(shop).get(f"/status/{make.head(shop, number).status_code}").text


def test_a_ticket_on_a_bench_offers_no_cancelling(shop, lead, kit):
    number = make.on_the_bench(shop, kit)
    page = Browser(shop).sign_in(lead.name).get(f"/tickets/{number}/moves")
    assert "/cancellation" not in page.text
    assert "/holder/end" in page.text
