"""What browsers are told to refuse, and what is refused from other sites."""

import pytest
from fastapi import FastAPI, Response

from server.web.site import security
from server.web.site.security import HEADERS, SameSite, SecurityHeaders, Unhurried
from tests.query_counter import Asking


@pytest.fixture
def app():
    app = FastAPI()
    app.add_middleware(SameSite)
    app.add_middleware(SecurityHeaders)

    @app.api_route("/page", methods=["GET", "POST", "DELETE"])
    def page() -> Response:
        return Response("done", headers={"Referrer-Policy": "no-referrer"})

    return app


@pytest.mark.parametrize("path", ["/page", "/nothing"])
def test_every_answer_carries_the_headers(app, path):
    headers = Asking(app).get(path).headers
    assert {name for name in HEADERS if name not in headers} == set()
    assert "strict-transport-security" not in headers


def test_the_policy_allows_no_inline_code_and_no_frame(app):
    policy = Asking(app).get("/page").headers["content-security-policy"]
    assert "unsafe" not in policy
    assert "*" not in policy
    for rule in ("default-src 'self'", "frame-ancestors 'none'", "base-uri 'none'"):
        assert rule in policy


def test_a_page_may_be_stricter_than_the_rest(app):
    assert Asking(app).get("/page").headers["referrer-policy"] == "no-referrer"


def test_tls_is_asked_for_again_where_it_was_used(app):
    headers = Asking(app, "https://shop").get("/page").headers
    assert headers["strict-transport-security"] == "max-age=31536000"


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({}, 200),
        ({"Sec-Fetch-Site": "same-origin"}, 200),
        ({"Sec-Fetch-Site": "none"}, 200),
        ({"Sec-Fetch-Site": "same-site"}, 403),
        ({"Sec-Fetch-Site": "cross-site"}, 403),
        ({"Origin": "http://shop"}, 200),
        ({"Origin": "http://elsewhere"}, 403),
        ({"Origin": "null"}, 403),
        ({"Sec-Fetch-Site": "cross-site", "Origin": "http://shop"}, 403),
    ],
)
@pytest.mark.parametrize("method", ["POST", "DELETE"])
def test_an_act_from_another_site_is_refused(app, method, headers, status):
    assert Asking(app).send(method, "/page", headers=headers).status_code == status


def test_a_page_may_be_linked_to_from_anywhere(app):
    assert Asking(app).get("/page", headers={"Sec-Fetch-Site": "cross-site"}).status_code == 200


def test_an_answer_that_says_later_is_kept_back_and_others_are_not(monkeypatch):
    waited: list[float] = []

    async def sleep(seconds: float) -> None:
        waited.append(seconds)

    monkeypatch.setattr(security.asyncio, "sleep", sleep)
    app = FastAPI()
    app.add_middleware(Unhurried)

    @app.post("/later")
    def later() -> Response:
        return Response("later", 429, {"Retry-After": "40"})

    @app.post("/now")
    def now() -> Response:
        return Response("now")

    assert Asking(app).post("/now").text == "now"
    assert waited == []
    assert Asking(app).post("/later").status_code == 429
    assert waited == [security.HELD_S]
    monkeypatch.setattr(security, "MOST_HELD", 0)
    assert Asking(app).post("/later").status_code == 429
    assert waited == [security.HELD_S]
