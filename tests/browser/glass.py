"""Somebody at a real browser: forms filled in by hand, pages photographed and held to axe."""

import os
import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Locator, Page, Response, expect

PICTURES = os.environ.get("QUADWRIGHT_TEST_PICTURES", "")
WIDTHS = (390, 820, 1280)


@dataclass
class Glass:
    """One person's browser. `faults` are what axe found, by page, width and theme."""

    context: BrowserContext
    address: str
    who: str
    page: Page = field(init=False)
    faults: list[str] = field(default_factory=list)
    looked: set[str] = field(default_factory=set)

    @classmethod
    def open(cls, browser: Browser, address: str, who: str) -> "Glass":
        """A browser of their own, at the size of a tablet."""
        context = browser.new_context(
            viewport={"width": 820, "height": 1180}, reduced_motion="reduce"
        )
        glass = cls(context, address, who)
        glass.page = context.new_page()
        return glass

    def get(self, path: str) -> Page:
        """Open a page that is there."""
        self._good(self.page.goto(self.address + path), path)
        return self.page

    def send(self, _page: Page, action: str, button: str = "", **typed: Any) -> Page:
        """Fill in the form that goes to `action`, as hands do, and press its button."""
        form = self._form(action, button, typed.get("act"))
        pressed = None
        for name, value in typed.items():
            pressed = self._type(form, name, value) or pressed
        if pressed is None:
            named = form.locator("button[type=submit]", has_text=re.compile(f"^\\s*{button}"))
            pressed = named.first
        before = self.page.url
        with self.page.expect_response(lambda answer: answer.request.method == "POST") as answer:
            pressed.click()
        self._settled(answer.value)
        wrong = self.page.locator(".error-summary")
        assert wrong.count() == 0, (before, action, wrong.first.inner_text())
        return self.page

    def load(self, _page: Page, action: str, name: str, file: tuple[str, bytes]) -> Page:
        """Choose a file and send it."""
        form = self._form(action, "", None)
        chosen = {"name": file[0], "mimeType": "application/json", "buffer": file[1]}
        form.locator(f"input[name={name}]").set_input_files(chosen)  # type: ignore[arg-type]
        form.locator("button[type=submit]").first.click()
        self.page.wait_for_load_state("load")
        return self.page

    def look(self, name: str, themes: tuple[str, ...] = ("light", "dark")) -> None:
        """Photograph this page at every width, and let axe look at it in both themes."""
        if name in self.looked:
            return
        self.looked.add(name)
        for theme in themes:
            self.page.emulate_media(color_scheme=theme)  # type: ignore[arg-type]
            # Dark differs in its colours alone: one width shows them.
            for width in WIDTHS if theme == "light" else WIDTHS[:1]:
                self._look_at(name, theme, width)
        self.page.emulate_media(color_scheme="light")
        self.page.set_viewport_size({"width": 820, "height": 1180})

    def _look_at(self, name: str, theme: str, width: int) -> None:
        self.page.set_viewport_size({"width": width, "height": 844 if width < 600 else 1000})
        sideways = self.page.evaluate("document.documentElement.scrollWidth - innerWidth")
        if sideways > 0:
            self.faults.append(f"{name} {width}: {sideways} px too wide")
        for found in Axe().run(self.page).response["violations"]:
            where = found["nodes"][0]["html"][:120]
            self.faults.append(f"{name} {theme} {width}: {found['id']}: {where}")
        if PICTURES and (theme == "light" or width == 390):
            folder = Path(PICTURES)
            folder.mkdir(parents=True, exist_ok=True)
            self.page.screenshot(path=folder / f"{name}-{width}-{theme}.png", full_page=True)

    def _settled(self, answer: Response) -> None:
        """Wait until the answer is on the page: by a redirect, or swapped in by htmx."""
        if answer.status == 303 or answer.headers.get("hx-redirect"):
            self.page.wait_for_load_state("load")
        # Not by wait_for_function: it evaluates text in the page, which the page's policy forbids.
        busy = self.page.locator(".htmx-request, .htmx-swapping, .htmx-settling")
        expect(busy).to_have_count(0)

    def _form(self, action: str, button: str, act: str | None) -> Locator:
        forms = self.page.locator(f'form[action$="{action}"]')
        if act is not None:
            forms = forms.filter(has=self.page.locator(f'[name=act][value="{act}"]'))
        elif button:
            labelled = self.page.locator("button", has_text=re.compile(f"^\\s*{button}"))
            forms = forms.filter(has=labelled)
        assert forms.count(), f"no form to {action} on {self.page.url}"
        return forms.first

    def _type(self, form: Locator, name: str, value: Any) -> Locator | None:
        """Answer one field; where the answer is a button of its own, give the button."""
        if isinstance(value, list):
            for each in value:
                self._type(form, name, each)
            return None
        buttons = form.locator(f'button[name="{name}"][value="{value}"]')
        if buttons.count():
            return buttons.first
        box = form.locator(f'input[name="{name}"][value="{value}"]')
        if box.count() and box.first.get_attribute("type") in ("radio", "checkbox"):
            box.first.check(force=True)
            return None
        fields = form.locator(f'[name="{name}"]')
        assert fields.count(), f"no field {name}"
        tag = fields.first.evaluate("e => e.tagName + ':' + e.type")
        if tag.startswith("SELECT"):
            fields.first.select_option(value)
        elif not tag.endswith(":hidden"):
            fields.first.fill(value)
        return None

    def _good(self, answer: Response | None, path: str) -> None:
        assert answer is not None
        assert answer.status == 200, (path, answer.status)
