"""Every route has a row in the table of who may; every act carries the token, or says why not."""

import re

import pytest
from fastapi import FastAPI
from fastapi.routing import iter_route_contexts

from server.records.engine import reading
from server.trade.roles import Role
from server.web.desks import DESKS
from server.web.site.routing import Desk
from server.web.site.session import By, Sent, checked_form, signed_in
from server.work.permissions import WHO_MAY
from server.work.shop import Shop
from tests import databases, make
from tests.web.client import Browser

PUBLIC, ANYBODY = "public", "signed in"

# Who a route answers: everybody, whoever is signed in, or those who may do this act.
GETS = {
    "/": PUBLIC,
    "/sign-in": PUBLIC,
    "/set-up": PUBLIC,
    "/first-password": PUBLIC,
    "/password": ANYBODY,
    "/logs/{digest}": PUBLIC,
    "/logs/{digest}.qwlog": PUBLIC,
    "/logs/{digest}.qwproof": PUBLIC,
    "/chain": PUBLIC,
    "/chain/growth": PUBLIC,
    "/chain/{kind}-{number:int}": PUBLIC,
    "/verify": PUBLIC,
    "/status/{code}": PUBLIC,
    "/robots.txt": PUBLIC,
    "/offline": PUBLIC,
    "/service-worker.js": PUBLIC,
    "/manifest.webmanifest": PUBLIC,
    "/here": PUBLIC,  # says who is signed in, if anybody
    "/queue": ANYBODY,
    "/find": ANYBODY,
    "/book-in": ANYBODY,
    "/book-in/{booking:int}/{key}": ANYBODY,
    "/book-in/{booking:int}/photos/{digest}": ANYBODY,
    "/book-in/{booking:int}/photos/{digest}/small": ANYBODY,
    "/tickets/{number:int}": ANYBODY,
    "/tickets/{number:int}/estimate": ANYBODY,
    "/tickets/{number:int}/files": ANYBODY,
    "/tickets/{number:int}/files/{digest}": ANYBODY,
    "/tickets/{number:int}/photos/{digest}": ANYBODY,
    "/tickets/{number:int}/photos/{digest}/small": ANYBODY,
    "/tickets/{number:int}/moves": ANYBODY,
    "/tickets/{number:int}/card": ANYBODY,
    "/tickets/{number:int}/steps/{key:path}": ANYBODY,
    "/tickets/{number:int}/steps/{key:path}/evidence": ANYBODY,
    "/tickets/{number:int}/steps/{key:path}/file": ANYBODY,
    "/tickets/{number:int}/steps/{key:path}/so-far": ANYBODY,
    "/tickets/{number:int}/power": ANYBODY,
    "/tickets/{number:int}/faults": ANYBODY,
    "/tickets/{number:int}/faults/{part:path}": ANYBODY,
    "/tickets/{number:int}/{paper}.pdf": ANYBODY,
    "/tickets/{number:int}/collection": ANYBODY,
    "/tickets/{number:int}/return": ANYBODY,
    "/tickets/{number:int}/payments": ANYBODY,
    "/tickets/{number:int}/map": ANYBODY,
    "/tickets/{number:int}/map/start": ANYBODY,
    "/tickets/{number:int}/map/sheet": ANYBODY,
    "/tickets/{number:int}/map/values": ANYBODY,
    "/tickets/{number:int}/map/parts": ANYBODY,
    "/tickets/{number:int}/sheet.json": ANYBODY,
    "/tickets/{number:int}/signature": ANYBODY,
    "/tickets/{number:int}/log-draft": ANYBODY,
    "/reminders": "remind customers",
    "/reminders/messages": "run the office",
    "/customers/{customer:int}": "see to a customer’s data",
    "/customers/{customer:int}/held.zip": "see to a customer’s data",
    "/customers/{customer:int}/erasure": "see to a customer’s data",
    "/catalogue": ANYBODY,
    "/catalogue/boards/new": ANYBODY,
    "/catalogue/boards/{board:int}": ANYBODY,
    "/catalogue/parts/new": ANYBODY,
    "/archive": ANYBODY,
    "/archive/{build:int}": ANYBODY,
    "/office": ANYBODY,
    "/office/key": ANYBODY,
    "/office/recheck": "run the office",
    "/office/trust": "run the office",
    "/office/logs-{first:int}.zip": "run the office",
    "/office/staff/{staff:int}": "run the office",
    "/office/wording": "run the office",
}
POSTS = {
    "/sign-in": PUBLIC,
    "/sign-out": ANYBODY,
    "/set-up": PUBLIC,
    "/first-password": PUBLIC,
    "/password": ANYBODY,
    "/look": PUBLIC,
    "/verify": PUBLIC,
    "/status/{code}/agreement": PUBLIC,
    "/tickets/{number:int}/estimate": "write an estimate",
    "/tickets/{number:int}/agreements": "write an estimate",
    "/tickets/{number:int}/page": "withdraw a status page",
    "/tickets/{number:int}/page/end": "withdraw a status page",
    "/book-in": "book in",
    "/book-in/{booking:int}/condition": "book in",
    "/book-in/{booking:int}/{key}": "book in",
    "/tickets/{number:int}/files": "book in",
    "/tickets/{number:int}/photos": "book in",
    "/tickets/{number:int}/holder": "work at the bench",
    "/tickets/{number:int}/holder/end": ANYBODY,  # the act asks whose ticket it is
    "/tickets/{number:int}/holder/next": "work at the bench",
    "/tickets/{number:int}/cancellation": "cancel a ticket",
    "/tickets/{number:int}/hold": "hold work",
    "/tickets/{number:int}/hold/end": "hold work",
    "/tickets/{number:int}/steps/{key:path}/evidence": "work at the bench",
    "/tickets/{number:int}/steps/{key:path}/file": "work at the bench",
    "/tickets/{number:int}/power": "work at the bench",
    "/tickets/{number:int}/propellers": "work at the bench",
    "/tickets/{number:int}/faults": "work at the bench",
    "/tickets/{number:int}/faults/answers": "work at the bench",
    "/tickets/{number:int}/faults/causes": "work at the bench",
    "/tickets/{number:int}/faults/causes/end": "work at the bench",
    "/tickets/{number:int}/map/leads": "work at the bench",
    "/tickets/{number:int}/map/revisions": "work at the bench",
    "/tickets/{number:int}/map/draft/end": "work at the bench",
    "/tickets/{number:int}/map/start": "work at the bench",
    "/tickets/{number:int}/map/sheet": "work at the bench",
    "/tickets/{number:int}/map/values": "work at the bench",
    "/tickets/{number:int}/map/parts": "work at the bench",
    "/tickets/{number:int}/map/parts/listed": "work at the bench",
    "/tickets/{number:int}/map/parts/end": "work at the bench",
    "/tickets/{number:int}/collection": "hand over",
    "/tickets/{number:int}/return": "hand over",
    "/tickets/{number:int}/payments": "take money",
    "/tickets/{number:int}/signature": "sign",
    "/tickets/{number:int}/acceptances": "accept a caution",
    "/customers/{customer:int}/erasure": "see to a customer’s data",
    "/tickets/{number:int}/reminders": "remind customers",
    "/reminders/messages": "run the office",
    "/catalogue/boards": "change the catalogue",
    "/catalogue/boards/{board:int}/listing": "change the catalogue",
    "/catalogue/parts": "change the catalogue",
    "/office/staff": "run the office",
    "/office/shop": "run the office",
    "/office/staff/{staff:int}/end": "run the office",
    "/office/staff/{staff:int}/return": "run the office",
    "/office/staff/{staff:int}/code": "run the office",
    "/office/key": "sign",
    "/office/key/phrase": "sign",
    "/office/trust": "run the office",
    "/office/recheck": "run the office",
    "/office/wording": "run the office",
    "/tickets/{number:int}/family": "work at the bench",
}
TABLE = {("GET", path): who for path, who in GETS.items()} | {
    ("POST", path): who for path, who in POSTS.items()
}
WITHOUT_TOKEN = {
    "/sign-in": "nobody is signed in yet; the cookie it sets is SameSite",
    "/first-password": "nobody is signed in yet; the one-time code is the secret",
    "/set-up": "there is nobody yet, and it works once",
    "/look": "sets this browser's own theme and nothing of the shop's",
    "/verify": "reads a file and keeps nothing",
    "/status/{code}/agreement": "the customer has no sign-in; the slip’s code is the secret",
}
ROWS = sorted((method, path) for (method, path), who in TABLE.items() if who != PUBLIC)
ACTS = sorted(path for path, who in POSTS.items() if who in WHO_MAY)
_FILLED = {
    "number:int": "1",
    "key:path": "x",
    "key": "who",
    "part:path": "x",
    "digest": "0" * 64,
    "code": "x",
    "paper": "claim-slip",
    "booking:int": "1",
    "board:int": "1",
    "build:int": "1",
    "staff:int": "1",
    "first:int": "1",
    "kind": "keys",
    "customer:int": "1",
}


def contexts(desks):
    """Every route of these desks; `app.routes` alone holds unopened routers."""
    app = FastAPI(docs_url=None, redoc_url=None, openapi_url=None)
    for desk in desks:
        app.include_router(desk)
    return {(m, r.path): r for r in iter_route_contexts(app.routes) for m in r.methods or ()}


def asks(route):
    """Everything that a route depends on, at any depth."""
    found, left = set(), [route.dependant]
    while left:
        dependant = left.pop()
        found.add(dependant.call)
        left += dependant.dependencies
    return found


def filled(path):
    """An address of this shape."""
    return re.sub(r"\{([^}]+)\}", lambda m: _FILLED[m[1]], path)


HERE = contexts(DESKS)


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    folder = tmp_path_factory.mktemp("routes")
    (folder / "files").mkdir()
    found = Shop(
        databases.fresh_sqlite(folder), folder / "files", now=make.Clock(), quick_phrases=True
    )
    lead = make.lead(found)
    for role in ("counter", "technician"):
        make.staff(found, lead, role.capitalize(), role)
    make.ticket(found, lead)
    yield found
    found.engine.dispose()


@pytest.fixture(scope="module")
def signed(shop):
    """A browser for each role, with its token."""
    names = {"counter": "Counter", "technician": "Technician", "supervisor": "Sunniva Oake"}
    browsers = {role: Browser(shop).sign_in(name) for role, name in names.items()}
    return {
        role: (browser, browser.get("/office/key").form("/sign-out").value("csrf"))
        for role, browser in browsers.items()
    }


def test_every_route_has_a_row():
    assert len(HERE) > 60, "found hardly any route: this test would check nothing"
    assert HERE.keys() - TABLE.keys() == set()
    assert TABLE.keys() - HERE.keys() == set()


def test_every_act_is_one_that_somebody_may():
    assert set(TABLE.values()) - {PUBLIC, ANYBODY} <= WHO_MAY.keys()


@pytest.mark.parametrize("path", sorted(POSTS))
def test_an_act_carries_the_token_or_a_reason(path):
    carried = checked_form in asks(HERE["POST", path])
    assert carried != (path in WITHOUT_TOKEN)


@pytest.mark.parametrize("path", sorted(WITHOUT_TOKEN))
def test_an_act_without_token_is_public(path):
    assert POSTS[path] == PUBLIC
    assert signed_in not in asks(HERE["POST", path])


def test_no_page_is_got_by_changing_something():
    assert {method for method, _ in HERE} == {"GET", "POST"}
    for (method, _), route in HERE.items():
        assert method == "POST" or checked_form not in asks(route)


@pytest.mark.parametrize(("method", "path"), ROWS)
def test_nobody_gets_in_without_signing_in(shop, method, path):
    answer = Browser(shop).asking.send(method, filled(path))
    if answer.status_code == 303:
        assert answer.headers["location"].startswith("/sign-in?next=")
    else:
        assert (method, answer.status_code) == ("POST", 403)


@pytest.mark.parametrize("path", ACTS)
def test_an_act_is_refused_to_other_roles(shop, signed, path):
    for role in set(Role) - WHO_MAY[POSTS[path]]:
        browser, token = signed[role]
        before = rows(shop)
        page = browser.post(filled(path), {"csrf": token})
        # Else the form, or the state of the ticket, is looked at before the act asks who it is.
        assert page.status in (403, 404, 409, 422), (role, page.status)
        assert rows(shop) == before


def rows(shop):
    """How many rows each table holds."""
    with reading(shop.engine) as connection:
        return {
            table.name: connection.exec_driver_sql(f'SELECT count(*) FROM "{table.name}"').scalar()
            for table in databases.metadata.sorted_tables
        }


def test_the_checks_see_a_route_that_forgets():
    desk = Desk()

    @desk.post("/forgets")
    def forgets(by: By) -> None: ...

    @desk.post("/minds")
    def minds(by: By, sent: Sent) -> None: ...

    here = contexts([desk])
    assert checked_form not in asks(here["POST", "/forgets"])
    assert {checked_form, signed_in} <= asks(here["POST", "/minds"])
