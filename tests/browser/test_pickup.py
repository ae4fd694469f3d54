"""The pickup on the glass: signed with a finger, taps and keys counted; and a text that is copied.

The figures are printed (`pytest -s`). They are counts of what a hand does, and no times.
"""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from server.app import create_app
from server.drawing import hand
from server.records import leaving
from server.records.engine import reading
from server.work.bench import signing
from server.work.booking import intake
from server.work.shop import Shop
from tests import databases, make
from tests.browser import looks
from tests.browser.serving import chromium, serve
from tests.web.client import CUTS

NOW = datetime(2030, 3, 4, 9, tzinfo=UTC)
TAPS, KEYS = 6, 5  # the most that a pickup may take, with the balance paid in full


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    """A signed craft to collect, and a late one to tell of."""
    folder: Path = tmp_path_factory.mktemp("pickup")
    found = Shop(databases.fresh_sqlite(folder), folder, now=make.Clock(), quick_phrases=True)
    lead = make.lead(found)
    make.staff(found, lead, "Ilse Brandt", "counter")
    lines = [intake.EstimateItem(says="Set-up", quantity=1, unit_minor=4800)]
    number = make.to_sign(found, lead, lines=lines)
    signing.sign(found, lead, number, phrase=make.SIGNING, words="Settings entered anew.")
    make.ticket(found, lead, promised_at=NOW - timedelta(days=1), craft_name="Knot")
    return found


@pytest.fixture(scope="module")
def running() -> Iterator[Browser]:
    with chromium() as browser:
        yield browser


@pytest.fixture(params=[390, 1280])
def ilse(request, shop: Shop, running: Browser) -> Iterator[Page]:
    CUTS.mkdir(exist_ok=True)
    with serve(create_app(shop, cache=CUTS)) as address:
        context = running.new_context(
            viewport={"width": request.param, "height": 844}, has_touch=True, base_url=address
        )
        context.grant_permissions(["clipboard-read", "clipboard-write"])
        page = context.new_page()
        page.goto("/sign-in")
        page.fill("input[name=name]", "Ilse Brandt")
        page.fill("input[name=password]", make.PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_url("**/queue*")
        yield page
        context.close()


def sign(page: Page) -> None:
    """A stroke over the pad, and a dot."""
    page.locator("canvas").scroll_into_view_if_needed()
    box = page.locator("canvas").bounding_box()
    assert box is not None
    left, top, wide, tall = box["x"], box["y"], box["width"], box["height"]
    page.mouse.move(left + wide * 0.1, top + tall * 0.5)
    page.mouse.down()
    for n in range(1, 9):
        page.mouse.move(left + wide * (0.1 + n * 0.08), top + tall * (0.3 if n % 2 else 0.7))
    page.mouse.up()
    page.mouse.click(left + wide * 0.9, top + tall * 0.9)


def test_a_signature_is_drawn_cleared_and_drawn_again(ilse):
    ilse.goto("/tickets/1/collection")
    field = ilse.locator("input[name=signature]")
    sign(ilse)
    drawn = hand.strokes(field.input_value())
    assert len(drawn) == 2
    assert len(drawn[0]) == 9
    assert hand.length(drawn) > 0.6 * hand.WIDE
    ilse.get_by_role("button", name="Clear the signature").click()
    assert field.input_value() == ""
    sign(ilse)
    kept = field.input_value()
    ilse.get_by_role("button", name="Hand 0001 over").click()
    expect(ilse.locator(".error-summary")).to_be_visible()
    assert ilse.locator("input[name=signature]").input_value() == kept
    assert ilse.locator("canvas").evaluate(
        "c => c.getContext('2d').getImageData(0, 0, 600, 200).data.some((v) => v > 0)"
    ), "what was signed before the refusal is drawn again"
    assert looks.violations(ilse) == []
    assert looks.small_targets(ilse) == []
    assert looks.sideways(ilse) == 0


def test_a_reminder_is_copied_with_one_tap(ilse):
    ilse.goto("/reminders")
    ilse.get_by_role("button", name="Copy the text").click()
    expect(ilse.locator("#said")).to_have_text("The text is copied.")
    copied = ilse.evaluate("navigator.clipboard.readText()")
    assert copied.startswith("Hello Perrin, we promised your Knot (ticket 0002)")
    assert looks.violations(ilse) == []
    assert looks.small_targets(ilse) == []


def test_a_pickup_takes_few_taps_and_keys(shop, running, capsys):
    with serve(create_app(shop, cache=CUTS)) as address:
        page = running.new_context(
            viewport={"width": 390, "height": 844}, has_touch=True, base_url=address
        ).new_page()
        page.goto("/sign-in")
        page.fill("input[name=name]", "Ilse Brandt")
        page.fill("input[name=password]", make.PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_url("**/queue*")
        taps = keys = 0
        page.get_by_role("link", name="Hand over 0001").tap()  # from the queue
        page.get_by_text("They have the claim slip").tap()
        page.get_by_label("Paid now").tap()
        page.keyboard.type("48")
        taps, keys = taps + 3, keys + 2
        sign(page)  # the customer's: one stroke and a dot
        taps += 2
        page.get_by_role("button", name="Hand 0001 over").tap()
        taps += 1
        page.wait_for_url("**/tickets/1")
    with reading(shop.engine) as connection:
        kept = leaving.receipt(connection, make.head(shop, 1).id)
    assert (kept.signed, kept.owed_note) == ("tablet", "")
    with capsys.disabled():
        print(f"\npickup, paid and signed: {taps} taps, {keys} keys")
    assert taps <= TAPS
    assert keys <= KEYS
