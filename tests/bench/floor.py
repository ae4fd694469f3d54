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
NEWEST = """
SELECT id FROM build WHERE signed_at IS NOT NULL
AND board_id IN (SELECT id FROM board WHERE search_key LIKE :words) ORDER BY id DESC LIMIT """
SEARCH = f"""
SELECT d.id, t.number, c.name, b.maker, b.model, d.sheet, d.signed_at, l.digest, f.name
FROM build d JOIN board b ON b.id = d.board_id JOIN ticket t ON t.id = d.ticket_id
JOIN craft c ON c.id = t.craft_id JOIN test_log l ON l.build_id = d.id
JOIN staff f ON f.id = l.signed_by_id WHERE d.id IN ({NEWEST} 25) ORDER BY d.id DESC
"""
# The picks and what is usual beside them are counted over the newest 500, as ours are.
COUNTS = (
    f"""SELECT w.port, c.kind, count(DISTINCT w.build_id) FROM wire w
    JOIN component c ON c.id = w.component_id
    WHERE w.build_id IN ({NEWEST} 500) AND w.port IS NOT NULL GROUP BY w.port, c.kind""",
    f"""SELECT s.code, count(DISTINCT d.id) FROM build d
    JOIN ticket_symptom s ON s.ticket_id = d.ticket_id
    WHERE d.id IN ({NEWEST} 500) GROUP BY s.code""",
    f"""SELECT f.code, count(DISTINCT d.id) FROM build d
    JOIN build e ON e.ticket_id = d.ticket_id AND e.revision = 1
    JOIN build_finding f ON f.build_id = e.id
    WHERE d.id IN ({NEWEST} 500) GROUP BY f.code""",
    """SELECT b.model, count(*) FROM build d JOIN board b ON b.id = d.board_id
    WHERE d.signed_at IS NOT NULL AND :words IS NOT NULL GROUP BY d.board_id""",
)
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
        given = {"words": f"%{request.query_params['board'].casefold()}%"}
        found = [row for query in (SEARCH, *COUNTS) for row in file.execute(query, given)]
        # The sheet is read for the small map; it is not shown.
        return HTMLResponse(page.render(rows=[row[:5] + row[6:] for row in found]))

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
