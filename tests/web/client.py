"""A browser without script: pages over ASGI, cookies kept, forms filled in from the real page."""

import re
import tempfile
from dataclasses import dataclass, field
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from unittest.mock import patch
from urllib.parse import urljoin

import httpx

from server import places
from server.app import create_app
from server.web.site.assets import Assets
from server.work.shop import Shop
from tests import make
from tests.query_counter import Asking

CUTS = Path(tempfile.gettempdir()) / "quadwright-test-fonts"


@cache
def _assets() -> Assets:
    CUTS.mkdir(exist_ok=True)
    return Assets.build(places.STATIC, CUTS)


@dataclass
class Filled:
    """One form of a page: what it would send, and its buttons as (name, value, label)."""

    action: str
    method: str = "get"
    fields: list[tuple[str, str]] = field(default_factory=list)
    names: set[str] = field(default_factory=set)
    files: set[str] = field(default_factory=set)
    buttons: list[list[str]] = field(default_factory=list)

    def value(self, name: str) -> str:
        """What stands in a field."""
        return dict(self.fields)[name]


def _listed(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


class _Forms(HTMLParser):
    """Collects forms, with the state that their fields stand in."""

    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Filled] = []
        self.open: Filled | None = None
        self.select = ""
        self.area = ""
        self.button: list[str] | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.open = Filled(given.get("action", ""), given.get("method", "get").lower())
            self.forms.append(self.open)
        if self.open is None:
            return
        name = given.get("name", "")
        if tag == "input":
            self._input(name, given)
        elif tag == "select":
            self.select = name
            self.open.names.add(name)
        elif tag == "option" and self.select and "selected" in given:
            self.open.fields.append((self.select, given.get("value", "")))
        elif tag == "textarea":
            self.area = name
            self.open.names.add(name)
        elif tag == "button" and given.get("type") == "submit":
            self.button = [name, given.get("value", ""), ""]
            self.open.buttons.append(self.button)

    def _input(self, name: str, given: dict[str, str]) -> None:
        assert self.open is not None
        kind = given.get("type", "text")
        self.open.names.add(name)
        if kind == "file":
            self.open.files.add(name)
        elif kind not in ("radio", "checkbox") or "checked" in given:
            self.open.fields.append((name, given.get("value", "")))

    def handle_data(self, data: str) -> None:
        if self.button is not None:
            self.button[2] = " ".join(f"{self.button[2]} {data}".split())
        if self.area and self.open is not None:
            self.open.fields.append((self.area, data.removeprefix("\n")))
            self.area = ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.open = None
        elif tag == "select":
            self.select = ""
        elif tag == "textarea":
            self.area = ""
        elif tag == "button":
            self.button = None


@dataclass
class Page:
    """One answer."""

    answer: httpx.Response

    @property
    def status(self) -> int:
        """The code."""
        return self.answer.status_code

    @property
    def text(self) -> str:
        """The HTML, its line breaks read as one space as a browser reads them; else as it is."""
        text = self.answer.text
        is_page = "html" in self.answer.headers.get("content-type", "")
        return re.sub(r"[ \t\r\n]+", " ", text) if is_page else text

    @property
    def forms(self) -> list[Filled]:
        """Every form on it."""
        parser = _Forms()
        parser.feed(self.answer.text)
        return parser.forms

    def form(self, action: str, button: str = "") -> Filled:
        """The form whose address ends so, and which has a button that begins so."""
        for form in self.forms:
            fits = not button or any(label.startswith(button) for _, _, label in form.buttons)
            if form.action.endswith(action) and fits:
                return form
        raise AssertionError(f"no form to {action} {button} on {self.answer.url}")


class Browser:
    """Somebody's browser at a shop."""

    def __init__(self, shop: Shop) -> None:
        built = _assets()
        with patch("server.app.Assets.build", lambda *_a, **_k: built):
            self.asking = Asking(create_app(shop, cache=CUTS))
        self.cookies: dict[str, str] = {}

    def get(self, url: str, **headers: str) -> Page:
        """A page, after its redirects."""
        return self._follow(self._send("GET", url, headers=headers))

    def post(self, url: str, data: dict[str, Any], files: Any = None, **headers: str) -> Page:
        """What a form sends, and the page that comes of it."""
        return self._follow(self._send("POST", url, data=data, files=files, headers=headers))

    def submit(
        self,
        form: Filled,
        button: str = "",
        /,
        files: Any = None,
        headers: dict[str, str] | None = None,
        **typed: Any,
    ) -> Page:
        """Fill the form in and press a button, by how its label begins.

        Every name in `typed` has to be a field of the form, so that a test cannot send what the
        page does not ask.
        """
        return self.post(form.action, self.filled(form, button, **typed), files, **(headers or {}))

    @staticmethod
    def filled(form: Filled, button: str = "", /, **typed: Any) -> dict[str, Any]:
        """What would be sent."""
        unknown = typed.keys() - form.names
        assert not unknown, f"{form.action} has no field {unknown}; it has {form.names}"
        data: dict[str, Any] = {}
        for name, value in form.fields:
            data[name] = [*_listed(data[name]), value] if name in data else value
        data |= typed
        pressed = [b for b in form.buttons if b[2].startswith(button)]
        assert pressed, f"{form.action} has no button {button}; it has {form.buttons}"
        if pressed[0][0]:
            data[pressed[0][0]] = pressed[0][1]
        return data

    def sign_in(self, name: str) -> "Browser":
        """In by the door, with the makers' phrase."""
        page = self.post(
            "/sign-in", {"name": name, "password": make.PASSWORD, "next": "/look-around"}
        )
        assert "quadwright" in self.cookies, page.text
        return self

    def _send(self, method: str, url: str, **given: Any) -> httpx.Response:
        headers = dict(given.pop("headers", {}))
        headers["cookie"] = "; ".join(f"{k}={v}" for k, v in self.cookies.items())
        answer = self.asking.send(method, url, headers=headers, **given)
        for name, value in answer.cookies.items():
            self.cookies[name] = value
        return answer

    def _follow(self, answer: httpx.Response) -> Page:
        for _ in range(5):
            if answer.status_code != 303:
                break
            answer = self._send("GET", urljoin(str(answer.url), answer.headers["location"]))
        return Page(answer)
