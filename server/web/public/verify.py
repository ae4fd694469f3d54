"""Check files that somebody brings: one log, several, a folder, an archive. Nothing is kept."""

import threading
from collections.abc import AsyncIterator, Iterable
from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

from fastapi import Depends, Request, Response
from starlette.datastructures import FormData, UploadFile

from server.ledger.checking.bundle import Bundle, check_bundle
from server.ledger.checking.sorting import Brought, ours
from server.ledger.checking.unpacking import Limits, TooMuch, is_archive, unpacked
from server.ledger.envelope import Problem
from server.records.engine import reading
from server.web.bench.signing import shown
from server.web.public.known_keys import known_keys
from server.web.readable import require_texts
from server.web.site.noindex import quiet
from server.web.site.page import View, render
from server.web.site.routing import Desk
from server.web.site.session import ShopDep, VisitDep
from server.work.errors import Refused, Unfit
from server.work.shop import Shop

desk = Desk()
LIMITS = Limits(files=400, bytes=32 * 1024 * 1024)
MOST = 24 * 1024 * 1024  # of a request
WAIT_S = 20
# A log takes some 20 ms of work. Anybody may ask, so one bundle at a time and process: the bench
# goes before.
_one = threading.Semaphore(1)
SHOWN = 40  # things wrong that are listed


@dataclass(frozen=True)
class Line:
    """One log of several."""

    name: str
    number: int | None
    ticket: str
    signed_at: str
    signer: str
    wrong: str


@dataclass(frozen=True)
class Verdict:
    """What the files are worth together."""

    ok: bool
    first: tuple[str, Problem] | None
    more: tuple[tuple[str, Problem], ...]
    left_out: int
    bundle: Bundle
    lines: tuple[Line, ...]
    by_list: str
    passed: int
    log: dict[str, Any] | None


@dataclass(frozen=True)
class VerifyPage(View):
    """Bring files and see whether they hold."""

    template: ClassVar[str] = "public/verify.html"
    public: ClassVar[bool] = True
    title: ClassVar[str] = "Check a test log"

    error_says: str
    most_files: int
    most_mib: int
    found: Verdict | None


async def brought(request: Request) -> AsyncIterator[FormData]:
    """The posted files, up to the limits. Raises Unfit for more than is read."""
    length = request.headers.get("content-length", "")
    if not length.isdecimal() or int(length) > MOST:
        raise Unfit("file", _too_much(), "Use quadwright verify for so many.")
    async with request.form(max_fields=10, max_files=LIMITS.files + 10) as form:
        require_texts(form)
        yield form


@desk.get("/verify")
def verify_page(request: Request, _here: VisitDep) -> Response:
    """Where files are dropped."""
    return quiet(render(request, _view()))


# No token against cross-site requests: nothing is written, and nobody needs to be signed in.
@desk.post("/verify", slow=True)
def verify(
    request: Request, posted: Annotated[FormData, Depends(brought)], shop: ShopDep, _here: VisitDep
) -> Response:
    """Check what was brought."""
    try:
        files, passed = _files(posted.getlist("file") + posted.getlist("folder"))
    except TooMuch as wrong:
        return quiet(render(request, _view(str(wrong)), 422))
    if not files:
        says = "Choose a log’s file first." if not passed else "No file of a log is among them."
        return quiet(render(request, _view(says), 422))
    if not _one.acquire(timeout=WAIT_S):
        raise Refused("Other files are being checked just now.", "Try again in a minute.")
    try:
        return quiet(render(request, _view(found=_verdict(shop, files, passed))))
    finally:
        _one.release()


def _files(sent: Iterable[UploadFile | str]) -> tuple[list[Brought], int]:
    """The files, those of archives unpacked, and how many were passed over. Raises TooMuch."""
    found: list[Brought] = []
    passed, left = 0, LIMITS.bytes
    chosen = [file for file in sent if isinstance(file, UploadFile) and file.filename]
    for file in chosen:
        name, data = file.filename or "", file.file.read()
        if is_archive(name, data):
            inside, others = unpacked(data, Limits(LIMITS.files - len(found), left))
            found += inside
            passed += others
        elif len(chosen) == 1 or ours(name):
            found.append(Brought(name, data))
        else:
            passed += 1
        left = LIMITS.bytes - sum(len(each.data) for each in found)
        if len(found) > LIMITS.files or left < 0:
            raise TooMuch(_too_much())
    return found, passed


def _verdict(shop: Shop, files: list[Brought], passed: int) -> Verdict:
    with reading(shop.engine) as connection:
        known = known_keys(connection, shop)
    bundle = check_bundle(files, keys=known.keys)
    wrong = list(bundle.wrong())
    only = bundle.only
    return Verdict(
        bundle.ok,
        bundle.first,
        tuple(wrong[1 : SHOWN + 1]),
        max(0, len(wrong) - SHOWN - 1),
        bundle,
        tuple(_lines(bundle)),
        "the key list among the files" if bundle.own_list else known.says,
        passed,
        shown(only.log.document()) if only and only.log else None,
    )


def _lines(bundle: Bundle) -> Iterable[Line]:
    for name, report in zip(bundle.names, bundle.row.logs, strict=True):
        yield Line(
            name,
            report.number,
            report.ticket or "",
            report.signed_at or "",
            report.signer or report.claims or "",
            "" if report.ok else f"{report.problems[0].at}: {report.problems[0].says}",
        )


def _view(error: str = "", found: Verdict | None = None) -> VerifyPage:
    return VerifyPage(error, LIMITS.files, MOST // 1024 // 1024, found)


def _too_much() -> str:
    return f"At most {LIMITS.files} files and {MOST // 1024 // 1024} MiB are checked at once."
