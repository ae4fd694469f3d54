"""The floor: what the same rows cost without anything of ours. A raw `sqlite3` cursor and one
Jinja2 template a page in a bare Starlette app, on the event loop. Nobody signs in here, nothing is
judged, no rule is asked. `frames.py` says what it gets for nothing.
"""

import os
import sqlite3
from datetime import datetime
from pathlib import Path
from typing import Any

from jinja2 import Environment
from markupsafe import Markup
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import HTMLResponse, Response
from starlette.routing import Route

from tests.bench import frames

DATABASE = "QUADWRIGHT_BENCH_DATABASE"  # the file, for the factory below

QUEUE = """
SELECT t.number, t.state, c.name, u.name, b.model, h.name, t.promised_at, t.power, t.steps_done,
       t.steps_total, (SELECT group_concat(s.code) FROM ticket_symptom s WHERE s.ticket_id = t.id)
FROM ticket t JOIN craft c ON c.id = t.craft_id JOIN customer u ON u.id = t.customer_id
LEFT JOIN staff h ON h.id = t.holder_id
LEFT JOIN build d ON d.ticket_id = t.id AND d.revision = t.revision
LEFT JOIN board b ON b.id = d.board_id
WHERE t.state NOT IN ('collected', 'returned') ORDER BY t.promised_at, t.number
"""
# The ticket with its map in force, as an act and a card have to read it.
HEAD = """
SELECT t.id, t.number, t.state, t.power, t.props_seen_at, d.id, d.sheet, c.name, u.name, b.model
FROM ticket t JOIN craft c ON c.id = t.craft_id JOIN customer u ON u.id = t.customer_id
LEFT JOIN build d ON d.ticket_id = t.id AND d.revision = t.revision
LEFT JOIN board b ON b.id = d.board_id WHERE t.number = ?
"""
EVIDENCE = """
SELECT s.key, s.basis, e.answer, e.found, e.verdict, f.initials, e.at
FROM evidence e JOIN step s ON s.id = e.step_id JOIN staff f ON f.id = e.by_id
WHERE e.ticket_id = ? ORDER BY e.id
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
SELECT t.id, s.id, :build, :key, 'tick', '{"done": true}', 'pass', 'done', '', '', 'usb',
       t.holder_id, t.changed_at, t.changed_at
FROM ticket t JOIN step s ON s.ticket_id = t.id WHERE t.id = :ticket ORDER BY s.id LIMIT 1
"""
COUNTED = "UPDATE ticket SET steps_done = ?, changed_at = changed_at WHERE id = ?"

ARCHIVE_PAGE = """<!doctype html><html lang="en"><head><title>Floor</title></head><body><table>
{% for row in rows %}<tr>{% for value in row %}<td>{{ value }}</td>{% endfor %}</tr>
{% endfor %}</table></body></html>"""
QUEUE_PAGE = """{{ frame[0] }}
{% for number, state, craft, customer, board, holder, due, power, done, total, codes in rows %}
<li class="line">
  <p class="no"><a href="/tickets/{{ number }}" aria-label="Ticket {{ number }}">{{ number }}</a></p>
  <p class="what"><b>{{ craft }}</b><small>{{ customer }}, {{ board }}</small></p>
  <p class="trouble">{{ codes }}</p>
  <p class="state">{{ marks.get(state, marks.waiting) }}<b>{{ state }}</b>
  <small>{{ holder }}, {{ done }} of {{ total }} steps</small></p>
  <p class="due"><b>{{ due }}</b><small>{{ power }}</small></p>
  <div class="act">
  <form method="post" action="/tickets/{{ number }}"><input type="hidden" name="csrf" value="{{ csrf }}"><input type="hidden" name="act_key" value="{{ csrf }}">
  <button type="submit" class="button wide" aria-label="Take {{ number }}">Take</button></form></div>
</li>
{% endfor %}
{{ frame[1] }}"""  # noqa: E501
ROWS = """{{ frame[0] }}
{% for key, number, title, target in steps %}{% set seen = evidence.get(key) %}
<tbody id="step-{{ key }}" data-state="{{ seen.verdict }}">
<tr>
  <td class="step-no">{{ number }}{{ marks.done if seen else marks.todo }}<span class="unseen">{{ seen.verdict }}</span></td>
  <td class="do"><b><a href="/tickets/{{ ticket }}/steps/{{ key }}">{{ title }}</a></b></td>
  <td class="target-cell" data-label="Target">{{ target }}</td>
  <td class="found" data-label="Found">{{ seen.found }}</td>
  <td class="by">{% if seen %}<span class="stamp">{{ seen.initials }}<small>{{ seen.at }}</small></span>{% endif %}</td>
</tr>
</tbody>
{% endfor %}
{{ frame[1] }}"""  # noqa: E501


class Floor:
    """One connection, kept open, and the templates."""

    def __init__(self, path: Path) -> None:
        self.file = sqlite3.connect(path, isolation_level=None)
        for pragma in (
            "journal_mode=WAL",
            "synchronous=FULL",
            "foreign_keys=ON",
            "busy_timeout=5000",
        ):
            self.file.execute(f"PRAGMA {pragma}")
        given = frames.read(path.parent)
        env = Environment(autoescape=True, auto_reload=False)
        env.globals["marks"] = {name: Markup(svg) for name, svg in given.marks.items()}
        self.given, self.csrf = given, "c" * 32
        self.archive, self.queue_page, self.rows = map(
            env.from_string, (ARCHIVE_PAGE, QUEUE_PAGE, ROWS)
        )

    async def queue(self, _: Request) -> Response:
        """Every open ticket."""
        rows = [(*row[:6], _short(row[6]), *row[7:]) for row in self.file.execute(QUEUE)]
        frame = [Markup(part) for part in self.given.queue]
        return HTMLResponse(self.queue_page.render(rows=rows, frame=frame, csrf=self.csrf))

    async def card(self, request: Request) -> Response:
        """Every step, and what was seen at it."""
        return self._steps(request, self.given.card, self.given.steps)

    async def search(self, request: Request) -> Response:
        """The newest of the board, with what is counted beside them."""
        given = {"words": f"%{request.query_params['board'].casefold()}%"}
        found = [row for query in (SEARCH, *COUNTS) for row in self.file.execute(query, given)]
        # The sheet is read for the small map; it is not shown.
        return HTMLResponse(self.archive.render(rows=[row[:5] + row[6:] for row in found]))

    async def tick(self, request: Request) -> Response:
        """One piece of evidence, after reading what decides whether it may be given."""
        form = await request.form()
        with self.file:
            self.file.execute("BEGIN IMMEDIATE")
            head = self._head(request)
            known = self.file.execute(EVIDENCE, (head[0],)).fetchall()
            given = {"ticket": head[0], "build": head[5], "key": form["act_key"]}
            self.file.execute(TICK, given)
            self.file.execute(COUNTED, (len({row[0] for row in known}), head[0]))
        return Response(status_code=303, headers={"Location": "/"})

    async def tick_shown(self, request: Request) -> Response:
        """The same, and then the stage that it changed."""
        await self.tick(request)
        stage = [row for row in self.given.steps if row[0].startswith("level-")]
        return self._steps(request, self.given.tick, stage)

    def _head(self, request: Request) -> Any:
        return self.file.execute(HEAD, (request.path_params["number"],)).fetchone()

    def _steps(self, request: Request, frame: Any, steps: Any) -> Response:
        head = self._head(request)
        evidence = {
            row[0].replace("/", "-"): {
                "found": row[3],
                "verdict": row[4],
                "initials": row[5],
                "at": _short(row[6]),
            }
            for row in self.file.execute(EVIDENCE, (head[0],))
        }
        frame = [Markup(part) for part in frame]
        page = self.rows.render(steps=steps, evidence=evidence, ticket=head[1], frame=frame)
        return HTMLResponse(page)


def _short(at: str | None) -> str:
    return datetime.fromisoformat(at).strftime("%a %d %b %H:%M") if at else ""


def make() -> Starlette:
    """The app over the file that the environment names."""
    floor = Floor(Path(os.environ[DATABASE]))
    return Starlette(
        routes=[
            Route("/queue", floor.queue),
            Route("/card/{number:int}", floor.card),
            Route("/archive", floor.search),
            Route("/tick/{number:int}", floor.tick, methods=["POST"]),
            Route("/tick-shown/{number:int}", floor.tick_shown, methods=["POST"]),
        ]
    )
