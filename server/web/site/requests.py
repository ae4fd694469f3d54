"""Every request gets a number, kept in the log, in the answer, and on an error page."""

import json
import logging
import secrets
import time
from datetime import UTC, datetime
from typing import Any

from starlette.types import ASGIApp, Message, Receive, Scope, Send

log = logging.getLogger("quadwright")


class JsonLines(logging.Formatter):
    """One JSON object a line."""

    def format(self, record: logging.LogRecord) -> str:
        """Time, level, words, what the call site gave as `extra={'told': {...}}`, and traceback."""
        at = datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds")
        told: dict[str, Any] = {"at": at, "level": record.levelname, "says": record.getMessage()}
        told |= getattr(record, "told", {})
        if record.exc_info:
            told["traceback"] = self.formatException(record.exc_info)
        return json.dumps(told, ensure_ascii=False)


def set_up_logs(level: str, *, as_json: bool) -> None:
    """Send this app's log to standard error."""
    handler = logging.StreamHandler()
    plain = logging.Formatter("%(asctime)s %(levelname)s %(message)s")
    handler.setFormatter(JsonLines() if as_json else plain)
    log.handlers[:] = [handler]
    log.setLevel(level)
    log.propagate = False


class RequestIds:
    """Middleware: number each request, time it, log it."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on and write one line when it is answered."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        number, began, status = secrets.token_hex(6), time.perf_counter(), 500
        scope.setdefault("state", {})["request_id"] = number

        async def numbered(message: Message) -> None:
            nonlocal status
            if message["type"] == "http.response.start":
                status = message["status"]
                message["headers"] = [*message["headers"], (b"x-request-id", number.encode())]
            await send(message)

        try:
            await self.app(scope, receive, numbered)
        finally:
            spent = round((time.perf_counter() - began) * 1000, 1)
            told = {
                "request": number,
                "method": scope["method"],
                "path": scope["path"],
                "status": status,
                "ms": spent,
            }
            log.info("%s %s %s", scope["method"], scope["path"], status, extra={"told": told})
