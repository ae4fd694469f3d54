"""Keys and taps of book in, counted in a real browser and held to what issue 'book in, fast' asks.

Times are no measurement of people. They are the counts in the keystroke-level model (Card, Moran
and Newell, 'The Psychology of Human-Computer Interaction', 1983; figures from memory): 0.28 s a key
for somebody who types now and then, 1.1 s a tap, 1.35 s of thought before each page.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from server.app import create_app
from server.records.counter import newest_terms
from server.records.engine import reading
from server.work.estimate import estimates
from server.work.office import settings
from server.work.shop import Shop
from tests import databases, make
from tests.browser.looks import small_targets, violations
from tests.browser.serving import chromium, serve
from tests.web.client import CUTS

A_KEY, A_TAP, A_THOUGHT = 0.28, 1.1, 1.35  # s
KEYS_RETURNING, SECONDS_RETURNING, SECONDS_NEW = 30, 60, 120
FLICKER = 70  # ms between keys: slower than a code scanner, faster than a person


@dataclass
class Hands:
    """Somebody at the counter. Every key and every tap is counted; there is no other way in."""

    page: Page
    keys: int = 0
    taps: int = 0
    pages: list[str] = field(default_factory=list)

    def type(self, text: str) -> None:
        """One key a character."""
        self.keys += len(text)
        self.page.keyboard.type(text, delay=FLICKER)

    def press(self, *keys: str) -> None:
        """Single keys."""
        for key in keys:
            self.keys += 1
            self.page.keyboard.press(key, delay=FLICKER)

    def enter(self) -> None:
        """Enter, and the page that comes of it."""
        with self.page.expect_navigation():
            self.press("Enter")
        self.pages.append(self.page.title())

    def tap(self, role: str, name: str, *, leads_on: bool = False, within: str = "main") -> None:
        """A finger on what is named so, and in sight at its place or scrolled to."""
        self.taps += 1
        shown = self.page.locator(within)
        part = shown.get_by_role(role, name=name).locator("visible=true").first  # type: ignore[arg-type]
        if role in ("radio", "checkbox"):  # the whole card is the target, not its small box
            part = shown.locator("label.pick", has_text=name)
        if not leads_on:
            part.click()
            return
        with self.page.expect_navigation():
            part.click()
        self.pages.append(self.page.title())

    def told(self, what: str) -> str:
        """The counts in a line."""
        return f"{what}: {self.keys} keys, {self.taps} taps, {self.seconds:.0f} s by the model"

    @property
    def seconds(self) -> float:
        """By the keystroke-level model."""
        return self.keys * A_KEY + self.taps * A_TAP + len(self.pages) * A_THOUGHT


@contextmanager
def counter(browser: Browser, address: str, width: int, touch: bool = False) -> Iterator[Page]:
    """The queue's page, with somebody of the counter signed in at a glass of this width."""
    context = browser.new_context(viewport={"width": width, "height": 844}, has_touch=touch)
    page = context.new_page()
    page.goto(f"{address}/sign-in")
    page.fill("[name=name]", "Ilse Brandt")
    page.fill("[name=password]", make.PASSWORD)
    page.click("main button[type=submit]")
    page.wait_for_url("**/queue")
    yield page
    context.close()


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """A shop with terms and a rate, and a craft that was here before with all that came with it."""
    folder: Path = tmp_path_factory.mktemp("counts")
    found = Shop(databases.fresh_sqlite(folder), folder / "files", quick_phrases=True)
    lead = make.lead(found)
    make.staff(found, lead, "Ilse Brandt", "counter")
    settings.change_shop(found, lead, {"terms": "We test it. We do not fly it.", "tax_bp": 2500})
    with reading(found.engine) as connection:
        terms = newest_terms(connection)
    assert terms is not None
    make.ticket(
        found,
        lead,
        phone="020 7946 0911",
        mark="PV-7",
        items={"craft": 1, "battery": 2},
        battery_look="sound",
        terms_agreed=True,
        terms_id=terms.id,
        lines=[estimates.EstimateItem(says="Set-up", quantity=1, unit_minor=4800)],
    )
    for name, craft in (("Odile Marsh", "Gannet"), ("Tamsin Rook", "Dunlin")):
        make.ticket(found, lead, customer_name=name, craft_name=craft)
    yield found
    found.engine.dispose()


@pytest.fixture(scope="module")
def at(shop: Shop) -> Iterator[tuple[Browser, str]]:
    CUTS.mkdir(exist_ok=True)
    with serve(create_app(shop, cache=CUTS)) as address, chromium() as browser:
        yield browser, address


def booked(page: Page) -> None:
    """A ticket came of it, with everything that was told."""
    page.wait_for_url("**/tickets/*")
    text = page.inner_text("main")
    assert "is booked in. Print its claim slip." in text
    for said in (
        "Settings wiped after an update",
        "2 × Batteries",
        "Sound",
        "Nothing to note",
        "Set-up",
        "Agreed at the counter",
    ):
        assert said in text, said


@pytest.mark.parametrize("width", [390, 1280])
def test_a_returning_craft_by_keyboard_alone(at: tuple[Browser, str], width: int) -> None:
    browser, address = at
    with counter(browser, address, width) as page:
        hands = Hands(page)
        for _ in range(12):  # from the top of the queue's page to 'Book in'
            hands.press("Tab")
            if page.evaluate("document.activeElement.textContent.trim()") in ("Book in", "Menu"):
                break
        if width < 500:  # the desks are folded: open them, and on
            hands.press("Enter")
            while page.evaluate("document.activeElement.textContent.trim()") != "Book in":
                hands.press("Tab")
        hands.enter()
        hands.type("0911")
        hands.enter()
        hands.enter()  # the first craft has the focus
        hands.press("1")
        hands.enter()
        hands.press("1")
        hands.enter()
        hands.press("5")
        hands.enter()
        hands.press("1", "2")
        hands.enter()
        booked(page)
        print(f"\n{hands.told(f'returning craft, keyboard, {width} px')}")
    assert hands.taps == 0
    assert hands.keys <= KEYS_RETURNING
    assert hands.seconds <= SECONDS_RETURNING


@pytest.mark.parametrize("width", [390, 1280])
def test_a_returning_craft_by_taps(at: tuple[Browser, str], width: int) -> None:
    browser, address = at
    with counter(browser, address, width, touch=width < 500) as page:
        hands = Hands(page)
        _to_book_in(hands, width)
        hands.type("0911")
        hands.tap("button", "Find", leads_on=True) if width > 500 else hands.enter()
        hands.tap("button", "Kittiwake", leads_on=True)
        hands.tap("checkbox", "Settings wiped")
        hands.tap("button", "Next", leads_on=True)
        hands.tap("radio", "Sound")
        hands.tap("button", "Next", leads_on=True)
        hands.tap("checkbox", "Nothing to note")
        hands.tap("button", "Next", leads_on=True)
        hands.tap("checkbox", "They have read")
        hands.tap("checkbox", "They agree to the estimate")
        hands.tap("button", "Book it in", leads_on=True)
        booked(page)
        print(f"\n{hands.told(f'returning craft, taps, {width} px')}")
    assert hands.keys <= 5
    assert hands.taps <= 16
    assert hands.seconds <= SECONDS_RETURNING


@pytest.mark.parametrize("width", [390, 1280])
def test_a_new_customer_within_two_minutes(at: tuple[Browser, str], width: int) -> None:
    browser, address = at
    with counter(browser, address, width, touch=width < 500) as page:
        hands = Hands(page)
        _to_book_in(hands, width)
        hands.type(f"Wren Ashdown {width}")
        hands.enter()  # nobody: the name stands in the new customer's form, and has the focus
        hands.press("Tab")
        hands.type("020 7946 0777")
        hands.enter()
        hands.tap("textbox", "What it is called")
        hands.type("Curlew")
        hands.enter()
        hands.tap("checkbox", "Settings wiped")
        hands.tap("textbox", "In the customer")
        hands.type("It forgot everything after the update.")
        hands.tap("button", "Next", leads_on=True)
        hands.tap("textbox", "Batteries")
        hands.type("2")
        hands.tap("radio", "Sound")
        hands.tap("button", "Next", leads_on=True)
        hands.tap("checkbox", "Nothing to note")
        hands.tap("button", "Next", leads_on=True)
        hands.tap("textbox", "Line 1: what")
        hands.type("Set-up")
        hands.press("Tab", "Tab")
        hands.type("48")
        hands.tap("checkbox", "They have read")
        hands.tap("checkbox", "They agree to the estimate")
        hands.tap("button", "Book it in", leads_on=True)
        booked(page)
        print(f"\n{hands.told(f'new customer, {width} px')}")
    assert hands.keys <= 130
    assert hands.taps <= 16
    assert hands.seconds <= SECONDS_NEW


@pytest.mark.parametrize("width", [390, 1280])
def test_the_search_s_pages_suit_axe_and_fingers(at: tuple[Browser, str], width: int) -> None:
    browser, address = at
    with counter(browser, address, width) as page:
        for path in (
            "/book-in",
            "/book-in?q=0911",
            "/book-in?q=nobody",
            "/tickets/1/estimate",
            "/tickets/1/files",
            "/tickets/1",
        ):
            page.goto(address + path)
            assert violations(page) == [], path
            # The ticket's folded menu is measured with the bench's pages.
            assert path == "/tickets/1" or small_targets(page) == [], path
            assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0, path


def _to_book_in(hands: Hands, width: int) -> None:
    if width < 500:
        hands.taps += 1
        hands.page.locator("summary", has_text="Menu").click()
    hands.tap("link", "Book in", leads_on=True, within="header")
