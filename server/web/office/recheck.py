"""The supervisor's look at the whole archive under the rules as they are now."""

import os
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request, Response
from sqlalchemy import Connection

from server.records import rechecks
from server.records.engine import reading
from server.records.rechecks import NewRow, RunRow
from server.trade.written import grouped
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import By, Sent, ShopDep
from server.work.office import recheck as acts
from server.work.permissions import require

desk = Desk()
AT_A_TIME = 2000  # builds a request: a page is not to hang for minutes
SHOWN = 300


@dataclass(frozen=True)
class RecheckGroup:
    """What is newly found on one board, or for one customer."""

    name: str
    rows: tuple[NewRow, ...]

    @property
    def tickets(self) -> tuple[int, ...]:
        """Their tickets, each once."""
        return tuple(sorted({row.ticket for row in self.rows}))


@dataclass(frozen=True)
class RecheckPage(View):
    """How far the newest run is, and what it newly found."""

    template: ClassVar[str] = "office/recheck.html"
    title: ClassVar[str] = "Past builds under today’s rules"
    desk: ClassVar[str] = "office"

    run: RunRow | None
    builds: int
    new: int
    shown: int
    boards: tuple[RecheckGroup, ...]
    customers: tuple[RecheckGroup, ...]


@desk.get("/office/recheck")
def recheck_page(request: Request, shop: ShopDep, by: By) -> Response:
    """The newest run."""
    require(by, "run the office")
    with reading(shop.engine) as connection:
        return render(request, _page(connection))


@desk.post("/office/recheck", slow=True)
def look_again(request: Request, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """Begin a run, or go on with the one that is not finished, for so many builds."""
    run_id = acts.start_or_resume(shop, by)
    for _ in acts.go_on(shop, run_id, workers=os.cpu_count() or 1, most=AT_A_TIME):
        pass  # each step is kept as it ends
    with reading(shop.engine) as connection:
        run, new = rechecks.run(connection, run_id), rechecks.new_count(connection, run_id)
    return go(request, "/office/recheck", _said(run, new))


def _said(run: RunRow, new: int) -> str:
    found = f"{grouped(new)} newly found" if new else "nothing new"
    if run.finished_at is None:
        return f"{grouped(run.looked)} of {grouped(run.total)} builds looked at, {found} so far."
    return f"{grouped(run.looked)} {'build' if run.looked == 1 else 'builds'} looked at, {found}."


def _page(connection: Connection) -> RecheckPage:
    run = rechecks.last(connection)
    rows = rechecks.new(connection, run.id, SHOWN) if run else []
    new = rechecks.new_count(connection, run.id) if run else 0
    return RecheckPage(
        run,
        rechecks.signed(connection),
        new,
        len(rows),
        _grouped(rows, lambda row: row.board),
        _grouped(sorted(rows, key=lambda row: row.customer), lambda row: row.customer),
    )


def _grouped(rows: Iterable[NewRow], name: Callable[[NewRow], str]) -> tuple[RecheckGroup, ...]:
    groups: dict[str, list[NewRow]] = {}
    for row in rows:
        groups.setdefault(name(row), []).append(row)
    return tuple(RecheckGroup(key, tuple(found)) for key, found in groups.items())
