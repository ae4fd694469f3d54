"""What every answer tells the browser to refuse, and what the server refuses from other sites."""

import asyncio
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

# No inline script or style, nothing from another host, not in a frame.
POLICY = "; ".join(
    (
        "default-src 'self'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self'",
        "font-src 'self'",
        "connect-src 'self'",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    # Pages are about people and their crafts; what may be kept says so itself.
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    # The camera photographs a craft and reads codes; nothing else is ever used.
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
}
HELD_S = 2.0
MOST_HELD = 500
_SAFE = frozenset({"GET", "HEAD", "OPTIONS"})


class SecurityHeaders:
    """Puts `HEADERS` on every answer that does not set its own, and HSTS where it came by TLS."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, and add to the answer's start."""
        if scope["type"] != "http":
            return await self.app(scope, receive, send)

        async def told(message: Message) -> None:
            if message["type"] == "http.response.start":
                _add(MutableHeaders(scope=message), by_tls=scope["scheme"] == "https")
            await send(message)

        return await self.app(scope, receive, told)


def _add(headers: MutableHeaders, *, by_tls: bool) -> None:
    for name, value in HEADERS.items():
        headers.setdefault(name, value)
    if by_tls:
        headers.setdefault("Strict-Transport-Security", "max-age=31536000")


class Unhurried:
    """Keeps back each answer that says when to come again, so that who asks on and on is slow.

    It costs a timer, and no thread. Past `MOST_HELD` at once they leave as they come.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app, self.held = app, 0

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on, and wait before an answer that has Retry-After."""
        if scope["type"] != "http":
            return await self.app(scope, receive, send)

        async def kept(message: Message) -> None:
            if message["type"] == "http.response.start" and "retry-after" in Headers(
                raw=message["headers"]
            ):
                await self._wait()
            await send(message)

        return await self.app(scope, receive, kept)

    async def _wait(self) -> None:
        if self.held < MOST_HELD:
            self.held += 1
            try:
                await asyncio.sleep(HELD_S)
            finally:
                self.held -= 1


class SameSite:
    """Refuses acts that another site's page sends, before their body is read.

    Browsers say where a request comes from in Sec-Fetch-Site (W3C Fetch Metadata), older ones in
    Origin. A request with neither comes from no browser, and has the token of the form to show.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass on what may come in; answer 403 to what may not."""
        if (
            scope["type"] == "http"
            and scope["method"] not in _SAFE
            and _foreign(Headers(scope=scope))
        ):
            refused = PlainTextResponse("This act was sent by another site. Nothing was done.", 403)
            return await refused(scope, receive, send)
        return await self.app(scope, receive, send)


def _foreign(headers: Headers) -> bool:
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site not in ("same-origin", "none")
    origin = headers.get("origin")
    return origin is not None and urlsplit(origin).netloc != headers.get("host")
