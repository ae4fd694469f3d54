"""Where routes run: on the loop for SQLite, in a thread for PostgreSQL and for slow work."""

import sqlite3
import threading
import time
from typing import Annotated

import pytest
from fastapi import Depends, FastAPI, Request, Response

from server.records.engine import writing
from server.records.tables import RunningNumber
from server.web.site.forms import Posted
from server.web.site.routing import Desk, run
from tests import databases
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


@pytest.fixture
def engine(tmp_path):
    made = databases.fresh_sqlite(tmp_path)
    yield made
    made.dispose()


def _acting(engine):
    """An app with one act, and where each try of it ran."""
    acts, tries = Desk(), []

    @acts.post("/act")
    def act(sent: Posted) -> Response:
        tries.append(_where().body.decode())
        told = sent["file"].file.read().decode()
        with writing(engine) as session:
            session.add(RunningNumber(name=told))
        return Response(told)

    app = FastAPI()
    app.state.inline = True
    app.include_router(acts)
    return Asking(app), tries


def test_an_act_stays_on_the_loop_while_nobody_writes(engine):
    asking, tries = _acting(engine)
    assert asking.post("/act", files={"file": ("a.txt", b"one")}).text == "one"
    assert tries == ["loop"]


def test_an_act_waits_for_another_writer_in_a_thread(engine):
    asking, tries = _acting(engine)
    begun = threading.Event()

    def write() -> None:
        with writing(engine) as session:
            session.add(RunningNumber(name="theirs"))
            begun.set()
            time.sleep(0.2)

    other = threading.Thread(target=write)
    other.start()
    begun.wait(10)
    assert asking.post("/act", files={"file": ("a.txt", b"ours")}).text == "ours"
    other.join()
    assert tries == ["loop", "thread"]


def test_an_act_waits_for_another_process_in_a_thread(engine):
    asking, tries = _acting(engine)
    other = sqlite3.connect(engine.url.database, isolation_level=None, check_same_thread=False)
    other.execute("BEGIN IMMEDIATE")
    ends = threading.Timer(0.2, other.execute, ["ROLLBACK"])
    ends.start()
    assert asking.post("/act", files={"file": ("a.txt", b"ours")}).text == "ours"
    ends.join()
    other.close()
    assert tries == ["loop", "thread"]
