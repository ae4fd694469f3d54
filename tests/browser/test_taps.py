"""The bench's two solvers used with a thumb: taps are counted, and every target is measured.

The figures are printed (`pytest -s`). They are counts of what a hand does, and no times.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

from server.app import create_app
from server.trade.power import Act
from server.work.shop import Person, Shop
from tests import databases, make
from tests.browser import looks
from tests.browser.serving import chromium, serve
from tests.web.bench.at_the_bench import mark, ready
from tests.web.client import CUTS

MOTORS, MOUNTING = 9, 4  # the most taps that the work may take
TAP, SPIN_WIDE, SPIN_HIGH = 44, 60, 88  # px
PHONE = {"width": 390, "height": 844}

# Every point of a grid over a target has to hit that target and nothing that lies over it.
_HOLES = """(button) => {
  const box = button.getBoundingClientRect(), missed = [];
  for (let x = 0.05; x < 1; x += 0.15) for (let y = 0.05; y < 1; y += 0.15) {
    const at = document.elementFromPoint(box.left + box.width * x, box.top + box.height * y);
    if (!at || !button.contains(at)) missed.push([x, y]);
  }
  return missed;
}"""


@dataclass
class Thumb:
    """A hand at a phone that counts its taps."""

    page: Page
    taps: list[str] = field(default_factory=list)

    def tap(self, target: Locator) -> None:
        """One tap with a finger, where the target is in sight or scrolled to."""
        self.taps.append(
            " ".join(target.inner_text().split()) or str(target.get_attribute("value"))
        )
        target.tap()

    def send(self, target: Locator) -> None:
        """One tap that sends a form, until its answer is on the page."""
        with self.page.expect_response(lambda a: a.request.method == "POST") as answer:
            self.tap(target)
        if answer.value.status == 303 or answer.value.headers.get("hx-redirect"):
            self.page.wait_for_load_state("load")
        expect(self.page.locator(".htmx-request, .htmx-swapping")).to_have_count(0)

    def follow(self, target: Locator) -> None:
        """One tap on a link, until its page is there."""
        with self.page.expect_navigation():
            self.tap(target)


@pytest.fixture(scope="module")
def people(tmp_path_factory: pytest.TempPathFactory) -> tuple[Shop, Person]:
    folder: Path = tmp_path_factory.mktemp("taps")
    shop = Shop(databases.fresh_sqlite(folder), folder, quick_phrases=True)
    return shop, make.staff(shop, make.lead(shop), "Kit Thorne")


@pytest.fixture(scope="module")
def running() -> Iterator[Browser]:
    with chromium() as browser:
        yield browser


@pytest.fixture(scope="module")
def thumb(people: tuple[Shop, Person], running: Browser) -> Iterator[Thumb]:
    CUTS.mkdir(exist_ok=True)
    with serve(create_app(people[0], cache=CUTS)) as address:
        context = running.new_context(
            viewport=PHONE, has_touch=True, is_mobile=True, base_url=address
        )
        page = context.new_page()
        page.goto("/sign-in")
        page.fill("input[name=name]", "Kit Thorne")
        page.fill("input[name=password]", make.PASSWORD)
        page.get_by_role("button", name="Sign in").click()
        page.wait_for_url("**/queue*")
        yield Thumb(page)
        context.close()


def test_four_motors_are_recorded_in_nine_taps(people, thumb, capsys):
    """From the card on the USB lead: the way in by the power page, then a tap a motor."""
    shop, kit = people
    number = ready(shop, kit, "motors/spins", Act.PLUG_USB)
    page, thumb.taps = thumb.page, []
    page.goto(f"/tickets/{number}/card")
    thumb.follow(page.get_by_role("link", name="Change the power"))
    thumb.send(page.get_by_role("button", name="Unplug"))
    thumb.send(page.locator("#source-battery").get_by_role("button", name="0 propellers"))
    way_in = len(thumb.taps)
    for corner, turn in (("FL", "cw"), ("RR", "cw"), ("RL", "ccw"), ("FR", "ccw")):
        target = page.locator(f"#spin-{corner}-{turn}")
        target.wait_for()
        _measured(page)
        thumb.send(target)
    assert mark(shop, number, "motors/spins") == "done"
    _print(
        capsys, f"four motors: {way_in} taps in, {len(thumb.taps) - way_in} at the motors", thumb
    )
    assert len(thumb.taps) <= MOTORS
    assert len(thumb.taps) - way_in == 4


def _measured(page: Page) -> None:
    """All four corners in sight without scrolling, each target whole and large enough."""
    turns = page.locator("button.turn")
    assert turns.count() == 8
    page.evaluate("scrollTo(0, 0)")
    for button in turns.all():
        box = button.bounding_box()
        assert box is not None
        assert box["width"] >= SPIN_WIDE, box
        assert box["height"] >= SPIN_HIGH, box
        assert box["y"] + box["height"] <= PHONE["height"], "under the edge of the screen"
        assert button.evaluate(_HOLES) == []
    for button in page.locator(".also button").all():
        button.scroll_into_view_if_needed()
        box = button.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= TAP
        assert button.evaluate(_HOLES) == []


def test_only_what_changed_is_tapped_again(people, thumb, capsys):
    """Two outputs exchanged: one tap to begin, and a tap for each of the two."""
    shop, kit = people
    number = ready(shop, kit, "motors/spins", Act.PLUG_BATTERY)
    page = thumb.page
    page.goto(f"/tickets/{number}/card")
    for value in ("FL cw", "RL ccw", "RR cw", "FR ccw"):
        thumb.send(page.locator(f'button[name=tap][value="{value}"]'))
    thumb.taps = []
    thumb.follow(page.get_by_role("link", name="Spin outputs 2 and 3 again"))
    for value in ("RR cw", "RL ccw"):
        thumb.send(page.locator(f'button[name=tap][value="{value}"]'))
    assert mark(shop, number, "motors/spins") == "done"
    _print(capsys, f"two exchanged motors again: {len(thumb.taps)} taps", thumb)
    assert len(thumb.taps) == 3


def test_the_mounting_is_found_in_four_taps(people, thumb, capsys):
    shop, kit = people
    number = ready(shop, kit, "level/faces", Act.PLUG_USB)
    page, thumb.taps = thumb.page, []
    page.goto(f"/tickets/{number}/card")
    for pose, face in (("level", "bottom"), ("nose-down", "left"), ("right-down", "nose")):
        label = page.locator("label.face", has=page.locator(f'[name="face[{pose}]"][value={face}]'))
        box = label.bounding_box()
        assert box is not None
        assert min(box["width"], box["height"]) >= TAP
        thumb.tap(label)
        assert label.evaluate(_HOLES) == []
    # The answer is in sight before it is recorded.
    page.locator(".so-far .answer").wait_for()
    assert "yaw\N{NO-BREAK SPACE}90°" in page.locator(".so-far").inner_text()
    assert looks.violations(page) == []
    thumb.send(page.get_by_role("button", name="Record the three poses"))
    assert mark(shop, number, "level/faces") == "out"
    assert "Roll\N{NO-BREAK SPACE}0°" in page.locator(".result").first.inner_text()
    _print(capsys, f"mounting: {len(thumb.taps)} taps", thumb)
    assert len(thumb.taps) <= MOUNTING
    assert looks.sideways(page) <= 0


def _print(capsys: pytest.CaptureFixture[str], says: str, thumb: Thumb) -> None:
    with capsys.disabled():
        print(f"\n{says} ({', '.join(thumb.taps)})")
