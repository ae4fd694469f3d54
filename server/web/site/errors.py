"""What a person sees when something cannot be done, is not there, or broke."""

import logging
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, ClassVar
from urllib.parse import quote, urlsplit

from fastapi import Request, Response
from fastapi.exceptions import RequestValidationError
from sqlalchemy.exc import OperationalError
from starlette.datastructures import Headers
from starlette.exceptions import HTTPException
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from server.web.site import unavailable
from server.web.site.offline_answer import is_kept, not_taken
from server.web.site.page import View, by_htmx, go, render
from server.web.site.readable import Odd, require_head
from server.web.site.session import SetUpFirst, SignInFirst, furnish_house
from server.work.errors import Later, Refused

log = logging.getLogger("quadwright")

MOST_MIB = 100  # of one request: photos by the handful; each kind of file has a limit of its own
MOST_BYTES = MOST_MIB * 1024 * 1024
NEAR = (("The queue", "/queue"), ("Past builds", "/archive"))


@dataclass(frozen=True)
class Refusal:
    """What is wrong, what was kept of it, and what to do."""

    says: str
    do: str
    status: int
    kept: str = ""


@dataclass(frozen=True)
class ErrorPage(View):
    """Any refusal, in the shop's own look; `near` are pages that may be meant."""

    template: ClassVar[str] = "site/error.html"

    refusal: Refusal
    near: tuple[tuple[str, str], ...]

    def titled(self) -> str:
        """What is wrong is the title."""
        return self.refusal.says


async def refused(request: Request, error: Exception) -> Response:
    """An act said no: its words, its way out, its status."""
    assert isinstance(error, Refused)
    return told_when(await _page(request, error.status, error.says, error.do), error)


def told_when(answer: Response, no: Refused) -> Response:
    """The answer, saying in its head too when to come back."""
    if isinstance(no, Later):
        answer.headers["Retry-After"] = str(no.wait_s)
    return answer


async def not_found(request: Request, error: Exception) -> Response:
    """No page at this address, none for this method, or a request that cannot be read."""
    status = error.status_code if isinstance(error, HTTPException) else 404
    if status == 413:
        return await _too_large(request)
    if status == 400:
        says = "The form cannot be read: a text in it is over 1 MiB, or it is damaged."
        return await _page(request, 400, says, "Go back, shorten it, and send it again.")
    if status == 405:
        return await _page(request, 405, "That is no page to open.", "Start from the queue.")
    return await _nothing(request, status)


async def unreadable(request: Request, _error: Exception) -> Response:
    """An address with a part that is no number, or the like."""
    return await _nothing(request, 404)


async def _nothing(request: Request, status: int) -> Response:
    await furnish_house(request)
    return await _page(request, status, "There is nothing at this address.", "Try the find box.")


async def sign_in_first(request: Request, _error: Exception) -> Response:
    """Off to the sign-in page, and back here afterwards."""
    if is_kept(request):
        return not_taken("Sign in first.", 401)
    back = request.url.path if request.method == "GET" else _page_of(request)
    return go(request, f"/sign-in?next={quote(back)}")


def _page_of(request: Request) -> str:
    """The page that htmx sent an act from, to come back to; it is no address of another host's."""
    path = urlsplit(request.headers.get("HX-Current-URL", "")).path
    return path if path.startswith("/tickets/") else "/queue"


async def set_up_first(request: Request, _error: Exception) -> Response:
    """A new shop makes its first supervisor."""
    return go(request, "/set-up")


async def broken(request: Request, error: Exception) -> Response:
    """A fault of ours: what was kept, what to do, and the number that is in the log."""
    told = {"request": request.state.request_id, "path": request.url.path}
    log.error("fault", exc_info=error, extra={"told": told})
    kept = "What was stamped before is kept; this act may not be."
    return await _page(request, 500, "Something broke here.", "Look again, then repeat it.", kept)


async def _page(request: Request, status: int, says: str, do: str, kept: str = "") -> Response:
    if is_kept(request):
        return not_taken(f"{says} {do}".strip(), status)
    answer = render(request, ErrorPage(Refusal(says, do, status, kept), NEAR), status)
    if by_htmx(request):
        # The refusal takes the place of the page, since no fragment was made for it.
        answer.headers["HX-Retarget"], answer.headers["HX-Reswap"] = "body", "innerHTML"
    return answer


async def _too_large(request: Request) -> Response:
    says = f"That is over {MOST_MIB} MiB, the most that is taken at once."
    return await _page(request, 413, says, "Send fewer or smaller files at a time.")


class Readable:
    """Middleware: a request whose head cannot be read is told so, whatever it asks for."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse it, or pass it on."""
        if scope["type"] == "http":
            try:
                require_head(scope)
            except Odd as odd:
                answer = await refused(Request(_bare(scope), receive), odd)
                return await answer(scope, receive, send)
        return await self.app(scope, receive, send)


def _bare(scope: Scope) -> Scope:
    """The request without what it sent."""
    return dict(scope) | {"path": "/", "query_string": b"", "headers": []}


class Bounded:
    """Middleware: no request of more than MOST_MIB is read, whatever it says of its length."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Refuse by what the request says, else by what comes."""
        if scope["type"] != "http":
            return await self.app(scope, receive, send)
        told = Headers(scope=scope).get("content-length", "")
        if told.isdecimal() and (len(told) > 12 or int(told) > MOST_BYTES):
            answer = await _too_large(Request(scope, receive))
            return await answer(scope, receive, send)
        came = 0

        async def counted() -> Message:
            nonlocal came
            message = await receive()
            came += len(message.get("body", b""))
            if came > MOST_BYTES:
                raise HTTPException(413)
            return message

        return await self.app(scope, counted, send)


HANDLERS: dict[Any, Callable[[Request, Exception], Any]] = {
    Refused: refused,
    HTTPException: not_found,
    RequestValidationError: unreadable,
    SignInFirst: sign_in_first,
    SetUpFirst: set_up_first,
    OperationalError: unavailable.database,
    OSError: unavailable.disk,
    Exception: broken,
}
