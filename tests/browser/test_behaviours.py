"""What the scripts do, seen in a real browser: nothing here is needed to get the work done."""

import re
import time
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from typing import Annotated, ClassVar

import pytest
from fastapi import FastAPI, Request, Response
from jinja2 import ChoiceLoader, DictLoader
from playwright.sync_api import expect
from pydantic import BaseModel, Field

from server import places
from server.trade.power import Power
from server.web.site import forms, page, theme
from server.web.site.assets import Assets
from server.web.site.forms import Form, Number, Posted
from server.web.site.requests import RequestIds
from server.web.site.routing import Desk
from server.web.site.security import SecurityHeaders
from tests.browser.serving import chromium, serve

FORM = """
<section id="step">
{% from "site/_fields.html" import form_open, error_summary, number_field, submit, stepper %}
{% from "site/_parts.html" import limits %}
{{ error_summary(form) }}
<h2 tabindex="-1" data-focus-after>Step {{ done + 1 }}</h2>
{{ form_open("/reading", "token", target="#step", keep=true) }}
{{ number_field(form, "amps", "Current", unit="A", limits=("0.24", "0.48")) }}
{{ limits(drawn, "amps") }}{{ stepper(form, "packs", "Packs", high=2) }}
{{ submit("Record", records="amps", id="record") }}
</form>
{{ form_open("/slow", "token") }}{{ submit("Take", id="take") }}</form>
<form method="post" action="/powered" data-powered><button class="button">Spin</button></form>
</section>
"""
SOURCES = {
    "bench.html": '{% extends "site/base.html" %}{% block main %}<h1>Bench</h1>'
    '{% include "step.html" %}{% endblock %}',
    "step.html": FORM,
}
DOUBLE_TAP = """async () => {
  const button = document.getElementById("take");
  button.click(); button.click();
  await new Promise((done) => setTimeout(done, 80));
  const box = button.getBoundingClientRect();
  return [button.textContent, [box.width, box.height]];
}"""
SCAN = """(code) => {
  for (const key of [...code, "Enter"]) {
    document.body.dispatchEvent(new KeyboardEvent("keydown", { key, bubbles: true }));
  }
}"""
DRAWN = '<svg viewBox="0 0 320 88" role="img" aria-label="Limits"></svg>'
STRIP = page.PowerStrip(
    412,
    Power.USB,
    "/strip",
    says="No battery is connected.",
    at=datetime(2030, 3, 4, 9, tzinfo=UTC),
)


class Reading(BaseModel):
    amps: Annotated[Number, Field(description="what the meter shows")]
    packs: int = 0


@dataclass(frozen=True)
class _Bench(page.View):
    template: ClassVar[str] = "bench.html"
    fragment: ClassVar[str | None] = "step.html"
    title: ClassVar[str] = "Bench"
    scripts: ClassVar[tuple[str, ...]] = ("bench", "counter")
    form: Form[Reading]
    done: int
    drawn: str = DRAWN


page.View.known.remove(_Bench)  # only for this file
desk = Desk()


class _Told:
    """What the server was sent, and what it is to answer."""

    def __init__(self):
        self.readings, self.keys, self.taken, self.strip, self.lost = [], [], 0, STRIP, False


told = _Told()


def _view(form, says=""):
    return _Bench(form, len(told.readings), strip=told.strip, says=says)


@desk.get("/bench")
def bench(request: Request) -> Response:
    return page.render(request, _view(Form.blank(Reading)))


@desk.post("/reading")
def record(request: Request, posted: Posted) -> Response:
    form = forms.read(Reading, posted)
    if form.filled is None:
        return page.render(request, _view(form), 422)
    told.keys.append(posted["act_key"])
    told.readings.append(str(form.filled.amps))
    return page.after(request, _view(Form.blank(Reading), "Recorded."), "/bench")


@desk.post("/slow", slow=True)
def slow(request: Request) -> Response:
    time.sleep(0.5)
    told.taken += 1
    return page.go(request, "/bench", "Taken.")


@desk.get("/strip")
def strip(request: Request) -> Response:
    return Response(status_code=503) if told.lost else page.strip_answer(request, told.strip)


@desk.get("/find")
def find(q: str) -> Response:
    return Response(f"<title>found</title><p id=q>{q}</p>", media_type="text/html")


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    app = FastAPI()
    app.add_middleware(SecurityHeaders)
    app.add_middleware(RequestIds)
    built = Assets.build(places.STATIC, tmp_path_factory.mktemp("cuts"))
    app.add_route("/assets/{digest}/{name}", built.answer)
    env = page.environment(places.TEMPLATES, asset=built.url)
    env.loader = ChoiceLoader([DictLoader(SOURCES), env.loader])
    pages = page.Pages(env, "Plover Street Multirotor Repair")
    app.state.pages, app.state.inline = lambda _house: pages, True
    for router in (desk, theme.desk):
        app.include_router(router)

    @app.middleware("http")
    async def somebody(request: Request, go_on):
        request.state.staff = page.Visitor("Kit Thorne", "KT", "technician", 1)
        return await go_on(request)

    with serve(app) as where:
        yield where


@pytest.fixture(scope="module")
def browser():
    with chromium() as running:
        yield running


@pytest.fixture
def tab(browser, address):
    told.__init__()
    context = browser.new_context(base_url=address, viewport={"width": 1280, "height": 900})
    context.set_default_timeout(6000)
    opened = context.new_page()
    opened.faults = []
    opened.on("pageerror", lambda fault: opened.faults.append(str(fault)))
    opened.on(
        "console", lambda said: "Content Security" in said.text and opened.faults.append(said)
    )
    opened.goto("/bench")
    yield opened
    assert opened.faults == []
    context.close()


def test_the_button_says_what_it_will_record(tab):
    tab.fill("#amps", "0,41")
    expect(tab.locator("#record")).to_have_text("Record 0.41\N{NO-BREAK SPACE}A")
    pointer = tab.locator("[data-pointer] text")
    expect(pointer).to_have_text("0.41\N{NO-BREAK SPACE}A")
    tab.fill("#amps", "0.6")
    expect(pointer).to_have_text("0.6\N{NO-BREAK SPACE}A, over")
    tab.fill("#amps", "much")
    expect(tab.locator("#record")).to_have_text("Record")
    expect(pointer).to_have_count(0)


def test_after_a_record_the_next_heading_has_the_focus(tab):
    tab.fill("#amps", "0.41")
    tab.click("#record")
    expect(tab.locator("h2", has_text="Step 2")).to_be_focused()
    expect(tab.locator("#said")).to_have_text("Recorded.")
    assert told.readings == ["0.41"]


def test_after_a_wrong_answer_the_summary_has_the_focus(tab):
    tab.fill("#amps", "much")
    tab.click("#record")
    expect(tab.locator(".error-summary")).to_be_focused()
    expect(tab).to_have_title(re.compile("^Error: "))
    expect(tab.locator("#amps")).to_have_value("much")
    expect(tab.locator("#record")).to_have_text("Record")
    tab.click(".error-summary a")
    expect(tab.locator("#amps")).to_be_focused()


def test_the_count_stays_within_its_limits(tab):
    more, fewer = tab.locator("[data-by='1']"), tab.locator("[data-by='-1']")
    for _ in range(4):
        more.click()
    expect(tab.locator("#packs")).to_have_value("2")
    for _ in range(4):
        fewer.click()
    expect(tab.locator("#packs")).to_have_value("0")


def test_a_double_tap_sends_one_act_and_says_sending(tab):
    size, (words, held) = tab.locator("#take").bounding_box(), tab.evaluate(DOUBLE_TAP)
    assert words == "Sending"
    assert held == [size["width"], size["height"]]
    expect(tab.locator("#said")).to_have_text("Taken.")
    assert told.taken == 1


def test_dark_holds_on_the_next_page_too(tab):
    tab.click("text=Dark")
    assert tab.locator("html").get_attribute("data-dark") == ""
    tab.reload()
    assert tab.locator("html").get_attribute("data-dark") == ""
    tab.click("text=As the system")
    assert tab.locator("html").get_attribute("data-dark") is None


def test_a_scanned_code_reaches_the_find_box_from_anywhere(tab):
    tab.evaluate(SCAN, "http://shop/t/412")
    expect(tab.locator("#q")).to_have_text("http://shop/t/412")


def test_keys_in_a_field_are_left_alone(tab):
    tab.focus("#amps")
    for key in "http://x/1":
        tab.keyboard.press(key)
    expect(tab.locator("#amps")).to_have_value("http://x/1")
    expect(tab).to_have_title(re.compile("Bench"))


def test_the_strip_follows_another_hand(tab):
    tab.focus("#strip-change")
    told.strip = replace(STRIP, state=Power.BATTERY, says="seen by Bo Larch.")
    expect(tab.locator("#strip")).to_have_attribute("data-state", "battery", timeout=2500)
    expect(tab.locator(".strip-props")).to_contain_text("Bo Larch")
    expect(tab.locator("#strip-change")).to_be_focused()
    expect(tab.locator("#said")).to_have_text("Power is now: Battery.")


def test_out_of_touch_no_state_is_shown_as_true(tab):
    strip, says = tab.locator("#strip"), tab.locator("#strip-says")
    told.lost = True
    expect(strip).to_have_attribute("data-state", "unknown", timeout=8000)
    expect(says).to_contain_text("Not known")
    expect(says).to_contain_text("It was USB then. Look at the craft")
    assert tab.locator("[data-powered]").evaluate("form => form.inert")
    tab.click("#take")
    expect(tab.locator("#said")).to_contain_text("cannot be done now. Nothing is recorded.")
    told.lost = False
    expect(strip).to_have_attribute("data-state", "usb", timeout=4000)
    expect(says).to_contain_text("No battery is connected.")
    assert not tab.locator("[data-powered]").evaluate("form => form.inert")
    assert told.taken == 0


def test_without_script_the_form_posts_and_comes_back(browser, address):
    told.__init__()
    context = browser.new_context(base_url=address, java_script_enabled=False)
    plain = context.new_page()
    plain.goto("/bench")
    assert not plain.locator("[data-by]").first.is_visible()
    plain.fill("#amps", "0.41")
    plain.click("#record")
    assert plain.locator("#said").inner_text() == "Recorded."
    assert told.readings == ["0.41"]
    context.close()
