"""Where a route's work runs: the one decision about threads.

Routes are written as plain `def`, because our sessions block. On SQLite they run on the event loop:
a read or a tick takes a few milliseconds there, a hop into a thread costs 0.25 ms alone and far
more in company, and threads that wait for the one writer starve one another. On PostgreSQL, where
a call waits for another machine, and for work marked `slow=True` (a PDF, Argon2, a photo) they run
in the thread pool. `app.state.inline` says which holds; `run` makes the same choice for the
dependencies, which are `async def`.

Nobody waits for the writer on the loop: an act that finds it taken as its transaction begins has
done nothing yet, and is run again in the thread pool, where it may wait.
"""

import inspect
from collections.abc import Awaitable, Callable
from typing import Any, TypeVar

from fastapi import APIRouter, Request, Response
from starlette.concurrency import run_in_threadpool
from starlette.convertors import Convertor, register_url_convertor
from starlette.datastructures import UploadFile

from server.records.engine import WriterBusy, without_waiting

Route = Callable[..., Any]
T = TypeVar("T")
R = TypeVar("R", bound=Route)

_ASKED = "asked_by_the_desk"


async def run(request: Request, work: Callable[..., T], *given: Any, slow: bool = False) -> T:
    """What `work(*given)` returns, run on the loop or in the thread pool as decided above."""
    if request.app.state.inline and not slow:
        return work(*given)
    return await run_in_threadpool(work, *given)


def in_turn(route: Route, *, slow: bool = False) -> Callable[..., Awaitable[Any]]:
    """`route` as a coroutine with the same parameters, plus the request that says where it runs."""

    signature = inspect.signature(route, eval_str=True)
    # FastAPI hands the request to one parameter only: the route's own where it has one.
    own = next((n for n, p in signature.parameters.items() if p.annotation is Request), None)

    async def turn(**given: Any) -> Any:
        request: Request = given[own] if own else given.pop(_ASKED)
        if request.app.state.inline and not slow:
            try:
                with without_waiting():
                    return route(**given)
            except WriterBusy:
                _rewind(request)
        return await run_in_threadpool(route, **given)

    # No functools.wraps: FastAPI looks through __wrapped__ and would take this for a plain `def`.
    turn.__name__, turn.__doc__, turn.__module__ = route.__name__, route.__doc__, route.__module__
    turn.__signature__ = signature if own else _with_request(signature)  # type: ignore[attr-defined]  # how inspect is told
    turn.plain = route  # type: ignore[attr-defined]  # for tests that look at the route itself
    return turn


def _rewind(request: Request) -> None:
    """Files that the route has read are read again from their start."""
    posted = getattr(request.state, "posted", None)
    for _, value in posted.multi_items() if posted else ():
        if isinstance(value, UploadFile):
            value.file.seek(0)


def _with_request(signature: inspect.Signature) -> inspect.Signature:
    asked = inspect.Parameter(_ASKED, inspect.Parameter.KEYWORD_ONLY, annotation=Request)
    return signature.replace(parameters=[*signature.parameters.values(), asked])


class Number(Convertor[int]):
    """`{name:int}` in a route's path; a longer number is no number of ours, and no page."""

    regex = "0{0,20}[0-9]{1,9}"

    def convert(self, value: str) -> int:
        """The number."""
        return int(value)

    def to_string(self, value: int) -> str:
        """As it stands in an address."""
        return str(value)


register_url_convertor("int", Number())


class Desk(APIRouter):
    """A router whose routes are plain functions that answer with a Response."""

    def get(self, path: str, *, slow: bool = False, **given: Any) -> Callable[[R], R]:
        """Register a page."""
        return self._keep(path, "GET", slow, given)

    def post(self, path: str, *, slow: bool = False, **given: Any) -> Callable[[R], R]:
        """Register an act."""
        return self._keep(path, "POST", slow, given)

    def delete(self, path: str, *, slow: bool = False, **given: Any) -> Callable[[R], R]:
        """Register an act that ends a thing; forms without script post to an address of its own."""
        return self._keep(path, "DELETE", slow, given)

    def _keep(self, path: str, method: str, slow: bool, given: dict[str, Any]) -> Callable[[R], R]:
        given = {"response_model": None, "response_class": Response} | given

        def keep(route: R) -> R:
            self.add_api_route(path, in_turn(route, slow=slow), methods=[method], **given)
            return route

        return keep
