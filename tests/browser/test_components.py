"""The page of all components: every one in every state, measured at every width in both themes."""

import pytest
from fastapi import FastAPI, Request, Response

from server import places
from server.demo import components
from server.web.site import page
from server.web.site.assets import Assets
from server.web.site.security import SecurityHeaders
from tests.browser.looks import THEMES, WIDTHS, sideways, small_targets, violations
from tests.browser.serving import chromium, serve


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    app = FastAPI()
    app.add_middleware(SecurityHeaders)
    built = Assets.build(places.STATIC, tmp_path_factory.mktemp("cuts"))
    app.add_route("/assets/{digest}/{name}", built.answer)
    env = page.environment(places.TEMPLATES, asset=built.url)
    pages = page.Pages(env, "Plover Street Multirotor Repair")
    app.state.pages, app.state.inline = lambda _house: pages, True
    app.include_router(components.desk)
    app.add_route("/service-worker.js", lambda _: Response(media_type="text/javascript"))

    @app.middleware("http")
    async def somebody(request: Request, go_on):
        request.state.staff = page.Visitor("Kit Thorne", "KT", "technician")
        return await go_on(request)

    with serve(app) as where:
        yield where


@pytest.fixture(scope="module")
def browser():
    with chromium() as running:
        yield running


@pytest.fixture(params=[(w, t) for t in THEMES for w in WIDTHS], ids=lambda p: f"{p[1]}-{p[0]}")
def tab(request, browser, address):
    width, theme = request.param
    context = browser.new_context(viewport={"width": width, "height": 844}, color_scheme=theme)
    opened = context.new_page()
    opened.complaints = []
    opened.on("console", lambda said: said.type == "error" and opened.complaints.append(said.text))
    opened.goto(f"{address}/parts")
    yield opened
    context.close()


def test_every_part_can_be_used_by_everybody(tab):
    assert violations(tab) == []
    assert small_targets(tab) == []
    assert sideways(tab) == 0
    assert tab.complaints == []


@pytest.fixture
def phone(browser, address):
    context = browser.new_context(viewport={"width": 390, "height": 844})
    opened = context.new_page()
    opened.goto(f"{address}/parts")
    yield opened
    context.close()


def test_twice_as_large_text_still_fits_a_small_phone(phone):
    phone.set_viewport_size({"width": 320, "height": 844})
    phone.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
    assert sideways(phone) == 0


def test_a_spin_target_is_large_enough_for_a_gloved_thumb(phone):
    boxes = [turn.bounding_box() for turn in phone.locator(".turn").all()]
    assert len(boxes) == 8
    assert min(box["width"] for box in boxes) >= 60
    assert min(box["height"] for box in boxes) >= 88


def test_the_main_act_on_the_bench_is_taller(phone):
    assert phone.locator(".do-now .button.filled").bounding_box()["height"] >= 56


def test_nothing_moves_after_the_first_paint(phone):
    shifted = phone.evaluate(
        """() => new Promise((done) => {
          let sum = 0;
          new PerformanceObserver((list) => { for (const e of list.getEntries()) sum += e.value; })
            .observe({ type: "layout-shift", buffered: true });
          setTimeout(() => done(sum), 400);
        })"""
    )
    assert shifted == 0


def test_the_first_page_stays_within_a_hundred_kilobytes(browser, address):
    context = browser.new_context()
    opened, sent = context.new_page(), []
    opened.on("response", lambda answer: sent.append(answer.request.sizes()["responseBodySize"]))
    opened.goto(f"{address}/parts", wait_until="networkidle")
    page_itself = len(opened.content().encode())
    assert len(sent) >= 7  # the page, its style, two scripts, three faces
    assert sum(sent) - page_itself <= 90_000
    context.close()


def test_on_paper_the_chrome_is_gone(phone):
    phone.emulate_media(media="print")
    assert not phone.locator(".head .find").first.is_visible()
    assert not phone.locator(".foot").is_visible()
    assert phone.locator(".dw-wide").is_visible()
    shown = phone.evaluate("() => getComputedStyle(document.body).backgroundColor")
    assert shown == "rgb(255, 255, 255)"
