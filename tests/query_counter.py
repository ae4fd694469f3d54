"""Ask an app a question in a test: httpx over ASGI, one request a loop, no server."""

import asyncio
from typing import Any

import httpx
from starlette.types import ASGIApp


class Asking:
    """A client over `app`. Cookies are not kept between requests; pass the header."""

    def __init__(self, app: ASGIApp, base: str = "http://shop") -> None:
        self.app, self.base = app, base

    def send(self, method: str, url: str, **given: Any) -> httpx.Response:
        """The answer to one request; redirects are not followed."""

        async def ask() -> httpx.Response:
            over = httpx.ASGITransport(self.app)
            async with httpx.AsyncClient(transport=over, base_url=self.base) as client:
                return await client.request(method, url, **given)

        return asyncio.run(ask())

    def get(self, url: str, **given: Any) -> httpx.Response:
        """The answer to a GET."""
        return self.send("GET", url, **given)

    def post(self, url: str, **given: Any) -> httpx.Response:
        """The answer to a POST."""
        return self.send("POST", url, **given)
