"""Where routes run: on the loop for SQLite, in a thread for PostgreSQL and for slow work."""

import threading
from typing import Annotated

import pytest
from fastapi import Depends, FastAPI, Request, Response

from server.web.site.routing import Desk, run
from tests.query_counter import Asking

desk = Desk()


def _where() -> Response:
    loop = threading.current_thread() is threading.main_thread()
    return Response("loop" if loop else "thread")


async def _word(request: Request) -> str:
    return await run(request, lambda: "given")


@desk.get("/quick/{number}")
def quick(number: int, word: Annotated[str, Depends(_word)]) -> Response:
    """A page."""
    assert (number, word) == (412, "given")
    return _where()


@desk.get("/quick-with-request")
def asking_for_the_request(request: Request) -> Response:
    assert request.url.path == "/quick-with-request"
    return _where()


@desk.post("/slow", slow=True)
def slow() -> Response:
    return _where()


def _client(inline):
    app = FastAPI()
    app.state.inline = inline
    app.include_router(desk)
    return Asking(app)


@pytest.mark.parametrize("path", ["/quick/412", "/quick-with-request"])
@pytest.mark.parametrize(("inline", "place"), [(True, "loop"), (False, "thread")])
def test_a_page_runs_where_the_engine_wants_it(path, inline, place):
    assert _client(inline).get(path).text == place


@pytest.mark.parametrize("inline", [True, False])
def test_slow_work_always_goes_to_a_thread(inline):
    assert _client(inline).post("/slow").text == "thread"


def test_path_parameters_are_still_checked():
    assert _client(True).get("/quick/not-a-number").status_code == 422


def test_the_plain_function_stays_callable():
    assert quick(412, "given").body == b"loop"
    assert desk.routes[0].endpoint.plain is quick
