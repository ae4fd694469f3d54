"""The mounting's page: three looks at the screen, or readings of the accelerometer."""

import re

import pytest

from server.trade.power import Act
from server.work.shop import Person, Shop
from tests import make
from tests.web.bench.at_the_bench import entries, mark, now, ready, said
from tests.web.client import Browser, Page

POSES = ("level", "nose-down", "right-down")


@pytest.fixture
def kit(shop: Shop) -> Person:
    return make.staff(shop, make.lead(shop), "Kit Thorne")


@pytest.fixture
def browser(shop: Shop, kit: Person) -> Browser:
    return Browser(shop).sign_in("Kit Thorne")


@pytest.fixture
def number(shop: Shop, kit: Person) -> int:
    return ready(shop, kit, "level/faces", Act.PLUG_USB)


def look(browser: Browser, number: int, *faces: str) -> Page:
    """The three faces chosen on the page, and recorded."""
    page = browser.get(f"/tickets/{number}/steps/level/faces")
    chosen = {f"face[{pose}]": face for pose, face in zip(POSES, faces, strict=False)}
    return browser.submit(page.form("/evidence", "Record the three"), "Record the three", **chosen)


def held(browser: Browser, number: int, sign: str, **rows: tuple[str, str, str]) -> Page:
    """Readings typed into the page's other form, and recorded."""
    page = browser.get(f"/tickets/{number}/steps/level/faces")
    typed = {
        f"{axis}[{pose.replace('_', '-')}]": g
        for pose, row in rows.items()
        for axis, g in zip("xyz", row, strict=True)
    }
    form = page.form("/evidence", "Record the readings")
    return browser.submit(form, "Record the readings", level_z=sign, **typed)


def so_far(browser: Browser, number: int, *faces: str) -> str:
    chosen = "&".join(f"face[{p}]={face}" for p, face in zip(POSES, faces, strict=False))
    return said(browser.get(f"/tickets/{number}/steps/level/faces/so-far?{chosen}"))


def test_a_straight_board_is_done_with_three_looks(shop, browser, number):
    look(browser, number, "bottom", "nose", "right")
    assert mark(shop, number, "level/faces") == "done"


def test_a_turned_board_gives_all_that_the_bench_needs(shop, browser, number):
    """Nose down on the bench shows left down on screen: the board is yawed by a quarter turn."""
    page = look(browser, number, "bottom", "left", "nose")
    assert mark(shop, number, "level/faces") == "out"
    words = said(page)
    assert "Roll 0°, pitch 0°, yaw 90°" in words
    assert "The board's arrow points to the right, its upper side up." in words
    assert "The same in other angles: roll 180°, pitch 180°, yaw −90°." in words
    assert "Nose down left nose Right side down nose right" in words
    assert "Board in the craft, seen from above: roll 0°, pitch 0°, yaw 90°" in page.text


def test_looks_that_contradict_are_refused_by_name(shop, browser, number):
    before = entries(shop)
    for faces, marked in (
        (("bottom", "bottom", "right"), ["level", "nose-down"]),
        (("bottom", "nose", "top"), ["level", "right-down"]),
        (("bottom", "nose", "tail"), ["nose-down", "right-down"]),
        (("bottom", "nose", "left"), ["right-down"]),
    ):
        page = look(browser, number, *faces)
        assert page.status == 422
        at_fault = re.findall(
            r'<fieldset class="pose in-error">.*?name="face\[([a-z-]+)\]"', page.text, re.DOTALL
        )
        assert at_fault == marked
        assert "disagree" in said(page)
        form = page.form("/evidence", "Record the three")
        assert [form.value(f"face[{pose}]") for pose in POSES] == list(faces)
    assert entries(shop) == before
    assert mark(shop, number, "level/faces") == "todo"


def test_a_missing_face_is_asked_for(shop, browser, number):
    form = browser.get(f"/tickets/{number}/card").form("/evidence")
    page = browser.submit(form, "Record the three", **{"face[level]": "bottom"})
    assert page.status == 422
    assert page.form("/evidence").value("face[level]") == "bottom"
    assert page.text.count("Choose the part that points at the ground.") == 4


def test_looks_so_far_say_what_they_come_to(shop, browser, number):
    before = entries(shop)
    assert so_far(browser, number, "bottom") == ""
    words = so_far(browser, number, "bottom", "left")
    assert "the third checks it" in words
    assert "Roll 0°, pitch 0°, yaw 90°" in words
    # What the third look has to show stays unsaid, so that it cannot lead the eye.
    assert "nose" not in words.replace("NOSE", "")
    assert "confirmed by the third" in so_far(browser, number, "bottom", "left", "nose")
    assert "these two disagree" in so_far(browser, number, "bottom", "left", "left")
    assert "mirror the craft" in so_far(browser, number, "bottom", "left", "tail")
    assert browser.get(f"/tickets/{number}/steps/level/turn/so-far").status == 404
    assert entries(shop) == before


def test_readings_of_a_straight_board_are_enough(shop, browser, number):
    held(browser, number, "1", level=("0", "0,01", "1"), nose_down=("0.99", "0", "0"))
    assert mark(shop, number, "level/faces") == "done"


def test_readings_of_a_turned_board_give_its_angles(shop, browser, number):
    page = held(browser, number, "1", level=("0", "0", "1"), nose_down=("0", "-1", "0"))
    assert mark(shop, number, "level/faces") == "out"
    assert "Roll 0°, pitch 0°, yaw 90°" in said(page)
    # Far off square nothing is rounded: turned by 12° about z, cosine 0.9781, sine 0.2079.
    page = held(browser, number, "1", level=("0", "0", "1"), nose_down=("0.9781", "-0.2079", "0"))
    assert "yaw 12°" in said(page)
    assert "Nothing is rounded" in said(page)


def test_a_board_off_square_is_said_before_going_on(shop, browser, number):
    # Turned by 7° about z: cosine 0.9925, sine 0.1219.
    page = held(browser, number, "1", level=("0", "0", "1"), nose_down=("0.9925", "-0.1219", "0"))
    assert mark(shop, number, "level/faces") == "done"
    assert "The board sits 7.0° off the nearest mounting in steps of 45°." in said(page)
    assert "Go on" in said(page)
    assert now(page) == "See how the on-screen craft lies in three poses"


def test_refused_readings_keep_all_that_was_typed(shop, browser, number):
    page = held(browser, number, "1", level=("0", "0", "1"), nose_down=("1.5", "0", "0"))
    assert page.status == 422
    assert "the craft was moving" in said(page)
    form = page.form("/evidence", "Record the readings")
    assert (form.value("x[nose-down]"), form.value("z[level]")) == ("1.5", "1")
    assert '<details class="opens" open>' in page.text
    for sign, says, rows in (
        ("1", "Enter the readings of two poses or more.", {"level": ("0", "0", "1")}),
        ("1", "Enter a number, in g.", {"level": ("0", "", "1"), "nose_down": ("1", "0", "0")}),
        ("1", "Enter digits only", {"level": ("0", "0", "up"), "nose_down": ("1", "0", "0")}),
        ("", "Choose what z reads.", {"level": ("0", "0", "1"), "nose_down": ("1", "0", "0")}),
    ):
        page = held(browser, number, sign, **rows)
        assert page.status == 422
        assert says in said(page)
    assert mark(shop, number, "level/faces") == "todo"
