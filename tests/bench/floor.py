"""The floor: what the same rows cost without anything of ours. A raw `sqlite3` cursor and one
Jinja2 template in a bare Starlette app, on the event loop. Nobody signs in here.
"""

import os
import sqlite3
from pathlib import Path
from typing import Any

from jinja2 import Environment
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

DATABASE = "QUADWRIGHT_BENCH_DATABASE"  # the file, for the factory below

QUEUE = """
SELECT t.number, t.state, c.name, u.name, b.model, h.name, t.promised_at, t.power, t.steps_done,
       t.steps_total
FROM ticket t JOIN craft c ON c.id = t.craft_id JOIN customer u ON u.id = t.customer_id
LEFT JOIN staff h ON h.id = t.holder_id
LEFT JOIN build d ON d.ticket_id = t.id AND d.revision = t.revision
LEFT JOIN board b ON b.id = d.board_id
WHERE t.state NOT IN ('collected', 'returned') ORDER BY t.promised_at, t.number
"""
CARD = """
SELECT s.key, s.title, s.target, e.found, e.verdict, f.initials, e.at
FROM evidence e JOIN step s ON s.id = e.step_id JOIN staff f ON f.id = e.by_id
JOIN ticket t ON t.id = e.ticket_id WHERE t.number = ? ORDER BY e.id
"""
SEARCH = """
SELECT d.id, t.number, c.name, b.maker, b.model, d.signed_at, l.digest, f.name
FROM build d JOIN board b ON b.id = d.board_id JOIN ticket t ON t.id = d.ticket_id
JOIN craft c ON c.id = t.craft_id JOIN test_log l ON l.build_id = d.id
JOIN staff f ON f.id = l.signed_by_id
WHERE d.signed_at IS NOT NULL AND d.board_id IN
      (SELECT id FROM board WHERE search_key LIKE ?)
ORDER BY d.id DESC LIMIT 25
"""
TICK = """
INSERT INTO evidence (ticket_id, step_id, build_id, act_key, kind, answer, verdict, found, says, do,
                      power, by_id, made_at, at)
SELECT t.id, s.id, d.id, ?, 'tick', '{"done": true}', 'pass', 'done', '', '', 'usb', t.holder_id,
       t.changed_at, t.changed_at
FROM ticket t JOIN step s ON s.ticket_id = t.id
JOIN build d ON d.ticket_id = t.id AND d.revision = t.revision
WHERE t.number = ? ORDER BY s.id LIMIT 1
"""
PAGE = """<!doctype html><html lang="en"><head><title>Floor</title></head><body><table>
{% for row in rows %}<tr>{% for value in row %}<td>{{ value }}</td>{% endfor %}</tr>
{% endfor %}</table></body></html>"""


def make() -> Starlette:
    """The app over the file that the environment names."""
    file = sqlite3.connect(Path(os.environ[DATABASE]), isolation_level=None)
    for pragma in ("journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON", "busy_timeout=5000"):
        file.execute(f"PRAGMA {pragma}")
    page = Environment(autoescape=True, auto_reload=False).from_string(PAGE)

    def rows(query: str, *given: Any) -> Response:
        return HTMLResponse(page.render(rows=file.execute(query, given).fetchall()))

    async def queue(_: Request) -> Response:
        return rows(QUEUE)

    async def card(request: Request) -> Response:
        return rows(CARD, request.path_params["number"])

    async def search(request: Request) -> Response:
        return rows(SEARCH, f"%{request.query_params['board'].casefold()}%")

    async def tick(request: Request) -> Response:
        form = await request.form()
        with file:
            file.execute("BEGIN IMMEDIATE")
            file.execute(TICK, (form["act_key"], request.path_params["number"]))
        return Response(status_code=303, headers={"Location": "/"})

    async def tick_shown(request: Request) -> Response:
        await tick(request)
        return await card(request)

    return Starlette(
        routes=[
            Route("/queue", queue),
            Route("/card/{number:int}", card),
            Route("/archive", search),
            Route("/tick/{number:int}", tick, methods=["POST"]),
            Route("/tick-shown/{number:int}", tick_shown, methods=["POST"]),
        ]
    )
