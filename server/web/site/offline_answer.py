"""How a kept act is answered: in JSON, since a script and nobody at a page waits for it.

A tablet that was out of reach sends what it kept with the header `X-Kept` (static/js/outbox.js).
An act leaves the tablet only on the word `taken`; with any other answer it stays there, to be sent
again or to be told of with what it `says`.
"""

from fastapi import Request
from fastapi.responses import JSONResponse

HEADER = "X-Kept"


def is_kept(request: Request) -> bool:
    """Whether a tablet sends it from what it kept."""
    return HEADER in request.headers


def taken(act_key: str) -> JSONResponse:
    """It is recorded, now or at an earlier arrival."""
    return JSONResponse({"taken": act_key}, headers={"Cache-Control": "no-store"})


def not_taken(says: str, status: int) -> JSONResponse:
    """It is not recorded, and why."""
    return JSONResponse({"says": says}, status, headers={"Cache-Control": "no-store"})
