"""A tablet that loses the shop's network in the middle of the work, in a real Chromium."""

import re
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from sqlalchemy import delete
from starlette.types import Message, Receive, Scope, Send

from server.app import create_app
from server.records import evidence
from server.records.engine import reading, writing
from server.records.evidence import EntryRow
from server.records.tables import Login
from server.trade.power import Act
from server.work.bench import power
from server.work.shop import Person, Shop
from tests import databases, make
from tests.browser.looks import sideways, small_targets, violations
from tests.browser.serving import chromium, serve
from tests.web.bench.at_the_bench import ready
from tests.web.client import CUTS

SPINS = "motors/spins"
HELD = """async () => {
  const held = Object.entries(localStorage).flat();
  for (const name of await caches.keys()) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) {
      held.push(new URL(request.url).pathname);
      const media = (await cache.match(request)).headers.get("content-type");
      if (media.startsWith("text/html")) held.push(await (await cache.match(request)).text());
    }
  }
  return held;
}"""


async def _nowhere(_message: Message) -> None:
    """Where a lost answer goes."""


@dataclass
class Place:
    """The shop, its server, which a test may stop, and one craft with its battery connected."""

    shop: Shop
    kit: Person
    bo: Person
    browser: Browser
    number: int
    running: ExitStack = field(default_factory=ExitStack)
    address: str = ""
    loses: int = 0  # so many answers to come are lost on the way

    def start(self) -> None:
        """Serve, at the port of before where there was one."""
        port = int(self.address.rsplit(":", 1)[1]) if self.address else 0
        app = create_app(self.shop, cache=CUTS)

        async def flaky(scope: Scope, receive: Receive, send: Send) -> None:
            if self.loses and scope["type"] == "http" and scope["path"].endswith("/evidence"):
                self.loses -= 1
                await app(scope, receive, _nowhere)
                raise ConnectionError  # what comes of it is the proxy's word, and not ours
            await app(scope, receive, send)

        self.address = self.running.enter_context(serve(flaky, port))

    def stop(self) -> None:
        """Let nobody reach the server."""
        self.running.close()

    def end_sign_ins(self) -> None:
        """As when they are over after some hours."""
        with writing(self.shop.engine) as session:
            session.execute(delete(Login))

    def open(self, who: Person | None) -> Page:
        """A tablet of their own."""
        context = self.browser.new_context(
            base_url=self.address, viewport={"width": 820, "height": 1180}, reduced_motion="reduce"
        )
        context.set_default_timeout(8000)
        page = context.new_page()
        if who:
            sign_in(page, who)
        return page

    def entries(self) -> list[EntryRow]:
        """Everything recorded at the spins, in the order of its arrival."""
        with reading(self.shop.engine) as connection:
            found = evidence.entries(connection, make.head(self.shop, self.number).id)
        return [entry for entry in found if entry.key == SPINS]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as running:
        yield running


@pytest.fixture
def place(browser: Browser, tmp_path: Path) -> Iterator[Place]:
    shop = Shop(databases.fresh_sqlite(tmp_path), tmp_path / "files", quick_phrases=True)
    CUTS.mkdir(exist_ok=True)
    lead = make.lead(shop)
    kit, bo = make.staff(shop, lead, "Kit Thorne"), make.staff(shop, lead, "Bo Larch")
    made = Place(shop, kit, bo, browser, ready(shop, kit, SPINS, Act.PLUG_BATTERY))
    made.start()
    yield made
    made.stop()
    for context in browser.contexts:
        context.close()


def sign_in(page: Page, who: Person) -> None:
    page.goto("/sign-in")
    page.fill("#name", who.name)
    page.fill("#password", make.PASSWORD)
    page.click("main button[type=submit]")
    page.wait_for_url("**/queue")


def spinning(place: Place, who: Person) -> Page:
    page = place.open(who)
    page.goto(f"/tickets/{place.number}/steps/{SPINS}")
    return page


def cut(page: Page) -> None:
    page.context.set_offline(True)
    expect(page.locator("#strip")).to_have_attribute("data-state", "unknown")


def back(page: Page) -> None:
    page.context.set_offline(False)


def tap(page: Page, what: str) -> None:
    """Say what an output did, and wait until it is kept."""
    before = len(kept(page))
    page.click(f'[name=tap][value="{what}"]')
    page.wait_for_function(f"() => Object.keys(localStorage).length === {before + 1}")
    expect(page.locator("#said")).to_have_text("On this tablet, not sent yet.")
    page.wait_for_timeout(40)  # the next output stands there 20 ms later


def kept(page: Page) -> Any:
    return page.evaluate("Object.keys(localStorage)")


def outputs(entries: list[EntryRow]) -> list[str]:
    return [re.search(r'"output": (\d)', entry.answer)[1] for entry in entries]  # type: ignore[index]


def test_eight_acts_without_network_arrive_once_and_in_order(place: Place) -> None:
    page = spinning(place, place.kit)
    page.click('[name=tap][value="FL ccw"]')
    expect(page.locator("#do-now-title")).to_contain_text("Spin output 2.")
    cut(page)
    for what in ("RR ccw", "RL cw", "FR cw", "FL cw", "RR cw", "nothing", "FR ccw", "FL ccw"):
        tap(page, what)
    expect(page.locator("#outbox")).to_contain_text("8 acts not yet sent.")
    expect(page.locator("#do-now-title")).to_contain_text("Spin output 2 again.")
    assert (len(place.entries()), violations(page), sideways(page)) == (1, [], 0)
    page.wait_for_timeout(1100)  # so that the card has two times to show
    back(page)
    expect(page.locator("#said")).to_have_text("8 acts kept on this tablet, now sent.")
    expect(page.locator("#outbox")).to_be_hidden()
    found = place.entries()
    assert outputs(found) == ["1", "2", "3", "4", "1", "2", "3", "4", "1"]
    assert all(e.made_at < e.at for e in found[1:])
    made = [e.made_at for e in found]
    assert made == sorted(made)
    assert {e.by_name for e in found} == {"Kit Thorne"}
    assert "arrived" in page.content()
    assert kept(page) == []


def test_an_act_whose_answer_got_lost_is_there_once(place: Place) -> None:
    page = spinning(place, place.kit)
    place.loses = 1
    page.click('[name=tap][value="FL ccw"]')
    expect(page.locator("#said")).to_have_text("1 act kept on this tablet, now sent.", timeout=9000)
    assert place.loses == 0
    assert outputs(place.entries()) == ["1"]


def test_power_moved_meanwhile_refuses_and_tells_each_act(place: Place) -> None:
    page = spinning(place, place.kit)
    cut(page)
    tap(page, "FL ccw")
    tap(page, "RR ccw")
    power.change(place.shop, place.bo, place.number, act=Act.UNPLUG)
    back(page)
    box = page.locator("#outbox")
    expect(box).to_contain_text("Spin output 1: FL, counter-clockwise")
    expect(box).to_contain_text("This was made on battery, and the craft is on cold now.")
    expect(page.locator("#strip")).to_have_attribute("data-state", "cold")
    page.reload()
    box.get_by_role("button", name="I have read it").click()
    expect(box).to_contain_text("Spin output 2: RR, counter-clockwise")
    box.get_by_role("button", name="I have read it").click()
    expect(box).to_be_hidden()
    assert place.entries() == []


def test_a_reading_is_kept_and_what_cannot_be_read_comes_back(place: Place) -> None:
    number = ready(place.shop, place.kit, "motors/first-power", Act.PLUG_LIMITER)
    page = place.open(place.kit)
    page.goto(f"/tickets/{number}/card")
    cut(page)
    for amps in ("much", "0,41", "0,41"):  # the last is a second tap at the same
        page.fill("#values-amps", amps)
        page.click("[data-records=values-amps]")
        expect(page.locator("#said")).to_have_text("On this tablet, not sent yet.")
        page.wait_for_timeout(40)
    box = page.locator("#outbox")
    expect(box).to_contain_text("2 acts not yet sent.")
    back(page)
    expect(box).to_contain_text(
        re.compile(r"Ticket 0002, \d\.\d First power.*: Record much, \d\d:")
    )
    expect(box).to_contain_text("Enter digits only, the A is printed.")
    expect(page.locator("#do-now-title")).not_to_contain_text("First power")
    box.get_by_role("button", name="I have read it").click()
    expect(box).to_be_hidden()
    with reading(place.shop.engine) as connection:
        found = evidence.entries(connection, make.head(place.shop, number).id)
    assert [e.found for e in found if e.key == "motors/first-power"] == ["0.41\N{NO-BREAK SPACE}A"]


def test_two_tablets_see_each_others_power_at_once(place: Place) -> None:
    kit, bo = spinning(place, place.kit), spinning(place, place.bo)
    kit.click("#strip-change")
    kit.click("text=Unplug")
    expect(bo.locator("#strip")).to_have_attribute("data-state", "cold", timeout=2500)
    bo.goto(f"/tickets/{place.number}/power")
    bo.click("text=Connect the USB lead")
    expect(kit.locator("#strip")).to_have_attribute("data-state", "usb", timeout=2500)
    cut(kit)
    expect(kit.locator("#strip-says")).to_contain_text(re.compile(r"Not known\s*since \d\d:\d\d"))
    back(kit)
    expect(kit.locator("#strip")).to_have_attribute("data-state", "usb", timeout=4000)


def test_acts_wait_for_who_made_them_and_go_under_no_other_name(place: Place) -> None:
    page = spinning(place, place.kit)
    cut(page)
    tap(page, "FL ccw")
    place.end_sign_ins()
    back(page)
    waits = "Acts of Kit Thorne wait here: sign in as Kit Thorne to send them."
    expect(page.locator("#outbox")).to_contain_text(waits)
    sign_in(page, place.bo)
    page.goto(f"/tickets/{place.number}/steps/{SPINS}")
    expect(page.locator("#outbox")).to_contain_text(waits)
    page.wait_for_timeout(1500)
    assert place.entries() == []
    page.click("text=Sign out")
    sign_in(page, place.kit)
    expect(page.locator("#outbox")).to_be_hidden()
    assert [e.by_name for e in place.entries()] == ["Kit Thorne"]


def test_a_sign_in_that_ended_loses_no_tap(place: Place) -> None:
    page = spinning(place, place.kit)
    place.end_sign_ins()
    page.click('[name=tap][value="FL ccw"]')
    page.wait_for_url("**/sign-in?**")
    expect(page.locator("#outbox")).to_contain_text("sign in as Kit Thorne")
    page.fill("#name", "Kit Thorne")
    page.fill("#password", make.PASSWORD)
    page.click("main button[type=submit]")
    page.wait_for_url(f"**/steps/{SPINS}")
    expect(page.locator("#outbox")).to_be_hidden()
    assert outputs(place.entries()) == ["1"]


def test_a_reload_without_network_tells_what_is_unsent_and_nothing_else(place: Place) -> None:
    page = spinning(place, place.kit)
    page.evaluate("navigator.serviceWorker.ready.then(() => 0)")
    page.reload()
    token = page.locator("[name=csrf]").first.get_attribute("value") or "no token"
    place.stop()
    expect(page.locator("#strip")).to_have_attribute("data-state", "unknown")
    tap(page, "FL ccw")
    page.reload()
    expect(page.locator("h1")).to_have_text("The server does not answer")
    expect(page.locator("#unsent li")).to_contain_text(["Spin output 1: FL, counter-clockwise"])
    assert (violations(page), small_targets(page), sideways(page)) == ([], [], 0)
    held = "\n".join(page.evaluate(HELD))
    for theirs in ("Kittiwake", "Perrin Vale", token, "/tickets/1/card"):
        assert theirs not in held, theirs
    place.start()
    expect(page.locator("#do-now-title")).to_contain_text("Spin output 2.", timeout=12000)
    assert outputs(place.entries()) == ["1"]
    page.click("text=Sign out")
    page.wait_for_url("**/sign-in")
    assert "Kit Thorne" not in "\n".join(page.evaluate(HELD))


def test_the_pages_can_be_installed(place: Place) -> None:
    page = place.open(place.kit)
    page.evaluate("navigator.serviceWorker.ready.then(() => 0)")
    asked = page.context.new_cdp_session(page)
    told = asked.send("Page.getAppManifest")
    assert told["errors"] == []
    assert '"name":"Quadwright, Plover Street Multirotor Repair"' in told["data"]
    # Headless Chromium has no window to install from; it says so, and nothing else.
    errors = asked.send("Page.getInstallabilityErrors")["installabilityErrors"]
    assert [e for e in errors if e["errorId"] != "in-incognito"] == []
