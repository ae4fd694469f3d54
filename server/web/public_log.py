"""Signed logs for everybody: one by its digest, or a file that somebody brings."""

import json
from dataclasses import dataclass
from typing import Any, ClassVar

from fastapi import Request, Response
from sqlalchemy import Connection
from starlette.datastructures import UploadFile

from server.ledger.keylist import KeyList, ListedKey
from server.ledger.parts import Jwk, moment
from server.ledger.report import Report
from server.ledger.verify import verify_log
from server.records import logs, people
from server.records.engine import reading
from server.web.desk import Desk
from server.web.forms import Posted
from server.web.page import View, render
from server.web.session import ShopDep, VisitDep
from server.web.sign import shown
from server.work.errors import Missing
from server.work.shop import Shop

desk = Desk()
MOST = 2 * 1024 * 1024


@dataclass(frozen=True)
class LogPage(View):
    """A signed log, whether it holds, and what it says."""

    template: ClassVar[str] = "public/log.html"
    public: ClassVar[bool] = True

    report: Report
    place: str
    digest: str
    log: dict[str, Any] | None

    def titled(self) -> str:
        """Which log."""
        return f"Test log {self.report.number}"


@dataclass(frozen=True)
class VerifyPage(View):
    """Bring a log's file and see whether it holds."""

    template: ClassVar[str] = "public/verify.html"
    public: ClassVar[bool] = True
    title: ClassVar[str] = "Check a test log"

    error_says: str
    name: str
    report: Report | None
    log: dict[str, Any] | None


@desk.get("/logs/{digest}.qwlog")
def log_file(digest: str, shop: ShopDep) -> Response:
    """The log's file, byte for byte as it was signed."""
    with reading(shop.engine) as connection:
        row = logs.by_digest(connection, digest)
    if row is None:
        raise Missing("This shop signed no log with that digest.", "Check the address.")
    name = f"log-{row.number:04d}.qwlog"
    headers = {"Content-Disposition": f'attachment; filename="{name}"'} | _unlisted()
    return Response(row.document.encode(), media_type="application/json", headers=headers)


@desk.get("/logs/{digest}")
def log_page(request: Request, digest: str, shop: ShopDep, _here: VisitDep) -> Response:
    """The log that the code on paper leads to."""
    with reading(shop.engine) as connection:
        row = logs.by_digest(connection, digest)
        if row is None:
            raise Missing("This shop signed no log with that digest.", "Check the address.")
        report = verify_log(row.document.encode(), keys=_key_list(connection, shop))
        place = _place(connection, row.number, report)
    log = shown(report.log.document()) if report.log else None
    return _quiet(render(request, LogPage(report, place, digest, log)))


@desk.get("/verify")
def verify_page(request: Request, _here: VisitDep) -> Response:
    """Where a file is dropped."""
    return _quiet(render(request, VerifyPage("", "", None, None)))


# No token against cross-site requests: nothing is written, and nobody needs to be signed in.
@desk.post("/verify", slow=True)
def verify(request: Request, posted: Posted, shop: ShopDep, _here: VisitDep) -> Response:
    """Check the file that was brought. Nothing of it is kept."""
    sent = posted.get("file")
    if not isinstance(sent, UploadFile) or not sent.filename:
        return render(request, VerifyPage("Choose the log’s file first.", "", None, None), 422)
    data = sent.file.read(MOST + 1)
    if len(data) > MOST:
        says = f"The file has more than {MOST // 1024 // 1024} MiB, the most that is read."
        return render(request, VerifyPage(says, sent.filename, None, None), 422)
    with reading(shop.engine) as connection:
        report = verify_log(data, keys=_key_list(connection, shop))
    log = shown(report.log.document()) if report.log else None
    return _quiet(render(request, VerifyPage("", sent.filename, report, log)))


def _key_list(connection: Connection, shop: Shop) -> KeyList | None:
    """Whose each key is, as this shop's own records have it."""
    rows, profile = logs.keys(connection), people.shop(connection)
    if not rows or profile is None:
        return None
    listed = tuple(
        ListedKey(owner=row.owner, initials=row.initials, lead=row.role == "lead",
                  key=Jwk(**json.loads(row.public_jwk)), since=moment(row.created_at),
                  until=moment(row.closed_at) if row.closed_at else None)
        for row in rows
    )  # fmt: skip
    return KeyList(
        kind="quadwright key list", version=1, shop=profile.name, made_at=moment(shop.now()),
        signed_by=rows[0].kid, keys=listed,
    )  # fmt: skip


def _place(connection: Connection, number: int, report: Report) -> str:
    """How the log hangs together with the one before it."""
    if number == 1:
        return "It is the first of this shop’s chain."
    before = logs.digest_of(connection, number - 1)
    if before is not None and before == report.previous:
        return f"It names the digest of log {number - 1}, which is in its place."
    return f"It does not name the digest of log {number - 1}: the chain is broken here."


def _quiet(answer: Response) -> Response:
    answer.headers.update(_unlisted())
    return answer


def _unlisted() -> dict[str, str]:
    return {"X-Robots-Tag": "noindex, nofollow", "Cache-Control": "no-store"}
