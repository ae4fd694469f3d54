"""A page is whole for a person, a fragment for htmx, and says who may keep it."""

from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from typing import ClassVar

import pytest
from fastapi import FastAPI, Request, Response
from jinja2 import DictLoader, UndefinedError

from server import places
from server.trade.power import Power
from server.web.site import page
from server.web.site.filters import Clock, grouped, many, plain, span, ticket, unit
from server.web.site.routing import Desk
from tests.query_counter import Asking


@dataclass(frozen=True)
class _Greeting(page.View):
    template: ClassVar[str] = "greeting.html"
    fragment: ClassVar[str | None] = "_greeting.html"
    title: ClassVar[str] = "Greeting"
    name: str


page.View.known.remove(_Greeting)  # only for this file
STRIP = page.PowerStrip(412, Power.LIMITED, "/tickets/412/power", "0 propellers", "seen 14:31.")
SOURCES = {
    "greeting.html": (
        '{% extends "site/base.html" %}{% block main %}<h1>{{ name }}</h1>{% endblock %}'
    ),
    "_greeting.html": "<p id=greeting>{{ name }}</p>",
}
HTMX = {"HX-Request": "true"}
desk = Desk()


@desk.get("/greeting")
def greeting(request: Request, name: str = "Ines", status: int = 200) -> Response:
    return page.render(request, _Greeting(name, strip=STRIP, says="Recorded."), status)


@desk.post("/greeting")
def greet(request: Request) -> Response:
    return page.after(request, _Greeting("Ines", says="Greeted."), "/greeting")


@desk.get("/strip")
def strip(request: Request) -> Response:
    return page.strip_answer(request, STRIP)


@pytest.fixture
def client():
    app = FastAPI()
    env = page.environment(places.TEMPLATES)
    own, shipped = DictLoader(SOURCES), env.loader
    env.loader = own
    env.loader.get_source = lambda e, n: (
        DictLoader.get_source(own, e, n) if n in SOURCES else shipped.get_source(e, n)
    )
    pages = page.Pages(env, "Plover Street Multirotor Repair")
    app.state.pages = lambda _house: pages
    app.state.inline = True
    app.include_router(desk)
    return Asking(app)


def test_a_person_gets_the_whole_page(client):
    answer = client.get("/greeting")
    assert answer.text.startswith("<!doctype html>")
    assert "<title>Greeting – Plover Street Multirotor Repair</title>" in answer.text
    assert "<h1>Ines</h1>" in answer.text


def test_htmx_gets_the_fragment_and_what_changed_beside_it(client):
    answer = client.get("/greeting", headers=HTMX)
    assert answer.text.startswith("<title>Greeting – Plover Street Multirotor Repair</title>")
    assert answer.text.endswith("<p id=greeting>Ines</p>")
    assert "<html" not in answer.text
    assert 'role="status" hx-swap-oob="innerHTML">Recorded.</div>' in answer.text
    assert 'hx-swap-oob="true"' in answer.text.split('id="strip"')[1]


def test_a_page_from_history_is_always_whole(client):
    answer = client.get("/greeting", headers=HTMX | {"HX-History-Restore-Request": "true"})
    assert answer.text.startswith("<!doctype html>")


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_a_staff_page_is_never_kept_by_the_browser(client, headers):
    answer = client.get("/greeting", headers=headers)
    assert answer.headers["cache-control"] == "no-store"
    assert answer.headers["vary"] == "HX-Request"


@pytest.mark.parametrize("headers", [{}, HTMX])
def test_a_refused_form_says_error_in_its_title(client, headers):
    answer = client.get("/greeting?status=422", headers=headers)
    assert "<title>Error: Greeting" in answer.text


def test_a_name_from_outside_is_escaped(client):
    answer = client.get("/greeting", params={"name": "<script>x</script>"})
    assert "&lt;script&gt;x" in answer.text
    assert "<script>x" not in answer.text


def test_an_act_without_script_goes_on_to_the_page(client):
    answer = client.send("POST", "/greeting")
    assert (answer.status_code, answer.headers["location"]) == (303, "/greeting")
    shown = client.get("/greeting", headers={"Cookie": f"said={answer.cookies['said']}"})
    assert "said=" in shown.headers["set-cookie"]  # said once, then forgotten


def test_an_act_by_htmx_answers_with_its_fragment(client):
    answer = client.send("POST", "/greeting", headers=HTMX)
    assert answer.status_code == 200
    assert "<p id=greeting>" in answer.text


def test_the_heartbeat_is_silent_while_nothing_changed(client):
    assert client.get("/strip", params={"seen": STRIP.mark}).status_code == 204
    changed = client.get("/strip", params={"seen": "old"})
    assert 'data-state="limited"' in changed.text


def test_the_strip_mark_changes_with_all_it_shows():
    others = [replace(STRIP, state=Power.COLD), replace(STRIP, props=""), replace(STRIP, says="")]
    assert len({strip.mark for strip in [STRIP, *others]}) == 4


def test_a_template_that_asks_too_much_fails():
    env = page.environment(places.TEMPLATES)
    with pytest.raises(UndefinedError):
        env.from_string("{{ nobody }}").render()


def test_times_are_the_shops_own():
    clock = Clock(timezone(timedelta(hours=1)))
    at = datetime(2026, 11, 27, 23, 36, 20, tzinfo=UTC)
    assert clock.clock(at) == "00:36"
    assert clock.when(at) == "Sat 28\N{NO-BREAK SPACE}Nov 00:36"
    assert clock.seconds(at.replace(tzinfo=None)) == "00:36:20"
    assert clock.date(at) == "28\N{NO-BREAK SPACE}Nov\N{NO-BREAK SPACE}2026"
    assert clock.iso(at) == "2026-11-28T00:36:20+01:00"


@pytest.mark.parametrize(
    ("written", "as_"),
    [
        (ticket(412), "0412"),
        (ticket(12345), "12345"),
        (plain(Decimal("0.410")), "0.41"),
        (plain(Decimal("1E+3")), "1000"),
        (plain(10), "10"),
        (grouped(420000), "420,000"),
        (unit(Decimal("16.80"), "V"), "16.8\N{NO-BREAK SPACE}V"),
        (span(Decimal("0.24"), Decimal("0.48"), "A"), "0.24 to 0.48\N{NO-BREAK SPACE}A"),
        (span(0, 5), "0 to 5"),
        (many(1, "step"), "1\N{NO-BREAK SPACE}step"),
        (many(2, "battery", "batteries"), "2\N{NO-BREAK SPACE}batteries"),
    ],
)
def test_numbers_are_written_as_in_the_shop(written, as_):
    assert written == as_
