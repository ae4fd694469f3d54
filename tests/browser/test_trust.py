"""What the outside is given, in a real browser: sign it, keep it, and check it without script."""

import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from server.app import create_app
from server.work.bench import signing
from server.work.people import keys
from server.work.shop import Shop
from tests import databases, make
from tests.browser.glass import PICTURES
from tests.browser.looks import sideways, small_targets, violations
from tests.browser.serving import chromium, serve
from tests.web.client import CUTS


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with chromium() as running:
        yield running


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """A shop with a lead who has a key, two signed logs, and a third craft to sign."""
    shop = Shop(databases.fresh_sqlite(tmp_path), tmp_path, now=make.Clock(), quick_phrases=True)
    lead = make.lead(shop)
    keys.make_key(shop, lead, phrase=make.SIGNING)
    kit = make.staff(shop, lead, "Kit Thorne")
    for craft in ("Kittiwake", "Dunlin"):
        number = make.to_sign(shop, kit, craft_name=craft)
        signing.sign(shop, kit, number, phrase=make.SIGNING, words="Set up anew.")
    make.on_the_bench(shop, lead, make.no_telemetry, craft_name="Knot")
    CUTS.mkdir(exist_ok=True)
    with serve(create_app(shop, cache=CUTS)) as served:
        yield served
    shop.engine.dispose()


def look(page: Page, name: str) -> None:
    """Nothing that axe finds, no small target, nothing sideways, on a phone and on a desk."""
    for width, height in ((390, 844), (1280, 900)):
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate("document.fonts.ready.then(() => true)")  # another face is wider
        assert violations(page) == [], (name, width)
        assert small_targets(page) == [], (name, width)
        assert sideways(page) <= 0, (name, width)
        if PICTURES:
            Path(PICTURES).mkdir(parents=True, exist_ok=True)
            page.screenshot(path=Path(PICTURES) / f"{name}-{width}.png", full_page=True)


def kept(page: Page, folder: Path, words: str) -> Path:
    """Press a link or button that hands out a file, and keep the file."""
    with page.expect_download() as download:
        page.get_by_text(words).first.click()
    path = folder / download.value.suggested_filename
    download.value.save_as(path)
    return path


def bring(page: Page, address: str, field: str, files: object) -> None:
    page.goto(f"{address}/verify")
    page.set_input_files(field, files)  # type: ignore[arg-type]  # a path, or several
    page.get_by_role("button", name="Check them").click()


def test_what_is_signed_is_kept_and_checked_without_script(
    browser: Browser, address: str, tmp_path: Path
) -> None:
    context = browser.new_context(base_url=address, java_script_enabled=False)
    page = context.new_page()
    page.goto("/sign-in")
    page.fill("[name=name]", "Sunniva Oake")
    page.fill("[name=password]", make.PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.goto("/office/trust")
    page.fill("[name=phrase]", make.SIGNING)
    page.get_by_role("button", name="Sign the list and a head").click()
    expect(page.locator("#said")).to_have_text("Key list and head over 2 logs are signed.")
    packed = kept(page, tmp_path, "Logs 1 to 2")
    page.goto("/chain")
    kept(page, tmp_path, "Keep the key list")
    bring(page, address, "#file", str(packed))
    expect(page.locator("h1")).to_have_text("Everything holds")
    folder = tmp_path / "row"
    with zipfile.ZipFile(packed) as archive:
        archive.extractall(folder)
    bring(page, address, "#folder", str(folder))
    expect(page.locator("h1")).to_have_text("Everything holds")
    (folder / "0001.qwlog").unlink()
    bring(page, address, "#folder", str(folder))
    expect(page.locator("main")).to_contain_text("Not shown: whether log 2 is among those")
    (folder / "0002.qwlog").write_bytes((folder / "0002.qwlog").read_bytes() + b" ")
    bring(page, address, "#folder", str(folder))
    expect(page.locator(".error-summary")).to_contain_text("The first thing wrong")
    context.close()


def test_the_pages_for_the_outside_are_sound(
    browser: Browser, address: str, tmp_path: Path
) -> None:
    context = browser.new_context(base_url=address, reduced_motion="reduce")
    page = context.new_page()
    page.goto("/sign-in")
    page.fill("[name=name]", "Sunniva Oake")
    page.fill("[name=password]", make.PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/queue")
    for _ in range(2):
        page.goto("/office/trust")
        page.fill("[name=phrase]", make.SIGNING)
        page.get_by_role("button", name="Sign the list and a head").click()
        page.wait_for_load_state("load")
    look(page, "trust")
    packed = kept(page, tmp_path, "Logs 1 to 2")
    page.goto("/office/key")
    look(page, "key")
    page.goto("/tickets/3/signature")
    look(page, "sign")
    page.goto("/chain")
    look(page, "chain")
    bring(page, address, "#file", str(packed))
    look(page, "verify-row")
    with zipfile.ZipFile(packed) as archive:
        data = archive.read("0002.qwlog")
    bad = {
        "name": "bad.qwlog",
        "mimeType": "application/json",
        "buffer": data.replace(b"Dunlin", b"Dunlan", 1),
    }
    bring(page, address, "#file", bad)
    look(page, "verify-bad")
    context.close()
