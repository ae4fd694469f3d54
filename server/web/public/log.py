"""A signed log for everybody: the page that the code on paper leads to, its file, its proof."""

from dataclasses import dataclass, replace
from typing import Any, ClassVar

from fastapi import Request, Response
from sqlalchemy import Connection

from server.ledger import proofs, signing
from server.ledger.checking.report import Report
from server.ledger.checking.verify import verify_log
from server.ledger.envelope import Problem
from server.ledger.head import membership
from server.records import logs, trust
from server.records.engine import reading
from server.records.logs import LogRow
from server.records.trust import PublishedRow
from server.web.bench.signing import shown
from server.web.public.known_keys import known_keys
from server.web.public.paper_code import Paper, held_against
from server.web.site.noindex import handed_out, quiet
from server.web.site.page import View, render
from server.web.site.routing import Desk
from server.web.site.session import ShopDep, VisitDep
from server.work.errors import Missing
from server.work.shop import Shop

desk = Desk()


@dataclass(frozen=True)
class LogPage(View):
    """A signed log, whether it holds, and what it says. `counted`: the newest head that counts it.

    `paper` is what the code on paper held, beside what the file holds.
    """

    template: ClassVar[str] = "public/log.html"
    public: ClassVar[bool] = True

    report: Report
    by_list: str
    place: str
    digest: str
    paper: Paper
    counted: PublishedRow | None
    log: dict[str, Any] | None

    def titled(self) -> str:
        """Which log."""
        return f"Test log {self.report.number}"


@desk.get("/logs/{digest}.qwlog")
def log_file(digest: str, shop: ShopDep) -> Response:
    """The log's file, byte for byte as it was signed."""
    with reading(shop.engine) as connection:
        row = _row(connection, digest)
    return handed_out(f"log-{row.number:04d}{signing.SUFFIX}", row.document.encode())


@desk.get("/logs/{digest}.qwproof", slow=True)
def proof_file(digest: str, shop: ShopDep) -> Response:
    """The proof that the log is among those that the newest head counts."""
    with reading(shop.engine) as connection:
        row = _row(connection, digest)
        head = _head_over(connection, row.number)
        if head is None:
            raise Missing("No head counts this log yet.", "Ask the shop’s supervisor to sign one.")
        digests = trust.digests(connection, head.size)
    proof = membership(digests, row.number)
    return handed_out(f"log-{row.number:04d}{proofs.SUFFIX}", proofs.proof_file(proof))


@desk.get("/logs/{digest}")
def log_page(
    request: Request, digest: str, shop: ShopDep, _here: VisitDep, key: str = ""
) -> Response:
    """The log that the code on paper leads to; `key` is the fingerprint that stands there."""
    with reading(shop.engine) as connection:
        row = _row(connection, digest)
        view = _page(connection, shop, row, key)
    return quiet(render(request, view))


def _page(connection: Connection, shop: Shop, row: LogRow, key: str) -> LogPage:
    known = known_keys(connection, shop)
    report = verify_log(row.document.encode(), keys=known.keys)
    paper = held_against(row.digest, key, report)
    wrong = tuple(Problem("paper", says) for says in paper.wrong)
    report = replace(report, problems=(*wrong, *report.problems))
    log = shown(report.log.document()) if report.log else None
    return LogPage(
        report,
        known.says,
        _place(connection, row.number, report),
        row.digest,
        paper,
        _head_over(connection, row.number),
        log,
    )


def _row(connection: Connection, digest: str) -> LogRow:
    row = logs.by_digest(connection, digest)
    if row is None:
        raise Missing("This shop signed no log with that digest.", "Check the address.")
    return row


def _head_over(connection: Connection, number: int) -> PublishedRow | None:
    rows = trust.published(connection)
    return next((row for row in rows if row.kind == "head" and row.size >= number), None)


def _place(connection: Connection, number: int, report: Report) -> str:
    """How the log hangs together with the one before it."""
    if number == 1:
        return "It is the first of this shop’s chain."
    before = logs.digest_of(connection, number - 1)
    if before is not None and before == report.previous:
        return f"It names the digest of log {number - 1}, which is in its place."
    return f"It does not name the digest of log {number - 1}: the chain is broken here."
