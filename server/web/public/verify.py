"""Check files that somebody brings: one log, several, a folder, an archive. Nothing is kept."""

import threading
import time
from collections.abc import AsyncIterator, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from typing import Annotated, Any, ClassVar

from fastapi import Depends, Request, Response
from starlette.datastructures import FormData, UploadFile

from server.ledger.budget import MIB, Budget, Limits, TooMuch
from server.ledger.checking.bundle import Bundle, check_bundle, has_list
from server.ledger.checking.sorting import Brought, ours
from server.ledger.checking.unpacking import is_archive, unpacked
from server.ledger.envelope import Problem
from server.ledger.keylist import KeyList
from server.ledger.public import BadKey, thumbprint
from server.records.engine import reading
from server.web.bench.signing import shown
from server.web.public.known_keys import known_keys
from server.web.site.noindex import quiet
from server.web.site.page import View, render
from server.web.site.readable import require_texts
from server.web.site.routing import Desk
from server.web.site.session import ShopDep, VisitDep
from server.work.errors import Refused, Unfit
from server.work.shop import Shop

desk = Desk()
LIMITS = Limits(files=200, bytes=8 * MIB, one=MIB)
MOST = 8 * MIB  # of a request
SECONDS = 3.0
# Anybody may ask, and the bench goes before: one bundle at a time and process. Who waits holds one
# of the threads that other pages need, so few may wait, and not for long.
_one = threading.Semaphore(1)
_waiting = threading.Semaphore(3)
WAIT_S = 5
SHOWN = 40  # things wrong that are listed


@dataclass(frozen=True)
class VerifiedLine:
    """One log of several."""

    name: str
    number: int | None
    ticket: str
    signed_at: str
    signer: str
    wrong: str


@dataclass(frozen=True)
class FilesVerdict:
    """What the files are worth together."""

    ok: bool
    first: tuple[str, Problem] | None
    more: tuple[tuple[str, Problem], ...]
    left_out: int
    bundle: Bundle
    lines: tuple[VerifiedLine, ...]
    by_list: str
    passed: int
    log: dict[str, Any] | None


@dataclass(frozen=True)
class VerifyPage(View):
    """Bring files and see whether they hold; `lead` is the thumbprint that was typed."""

    template: ClassVar[str] = "public/verify.html"
    public: ClassVar[bool] = True
    title: ClassVar[str] = "Check a test log"

    error_says: str
    lead_says: str
    lead: str
    most_files: int
    most_mib: int
    found: FilesVerdict | None


class _BadLead(ValueError):
    """A thumbprint that no list can be checked with; the text says why."""


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
    lead = str(posted.get("lead") or "").strip()[:200]
    try:
        with _turn():
            files, passed = _files(posted.getlist("file") + posted.getlist("folder"))
            if files:
                found = _verdict(shop, files, passed, lead)
                return quiet(render(request, _view(found=found, lead=lead)))
    except TooMuch as wrong:
        says = f"{wrong} Bring fewer, or use quadwright verify."
        return quiet(render(request, _view(says, lead=lead), 422))
    except _BadLead as wrong:
        return quiet(render(request, _view(lead_says=str(wrong), lead=lead), 422))
    says = "Choose a log’s file first." if not passed else "No file of a log is among them."
    return quiet(render(request, _view(says, lead=lead), 422))


@contextmanager
def _turn() -> Iterator[None]:
    """The one turn of this process. Raises Refused when others go on too long, or too many wait."""
    busy = Refused("Other files are being checked just now.", "Try again in a minute.")
    if not _waiting.acquire(blocking=False):
        raise busy
    try:
        if not _one.acquire(timeout=WAIT_S):
            raise busy
    finally:
        _waiting.release()
    try:
        yield
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
            room = replace(LIMITS, files=LIMITS.files - len(found), bytes=left)
            inside, others = unpacked(data, room)
            found += [Brought(f"{name}/{each.name}", each.data) for each in inside]
            passed += others
        elif len(chosen) == 1 or ours(name):
            found.append(Brought(name, data))
        else:
            passed += 1
        LIMITS.hold(found)
        left = LIMITS.bytes - sum(len(each.data) for each in found)
    return found, passed


def _verdict(shop: Shop, files: list[Brought], passed: int, typed: str) -> FilesVerdict:
    with reading(shop.engine) as connection:
        known = known_keys(connection, shop)
    lead = _lead(typed) if typed else None
    keys = known.keys if lead is None or _leads(known.keys, lead) else None
    if keys is None and lead is not None and not has_list(files):
        raise _BadLead("Bring the key list too: a thumbprint is checked on it.")
    bundle = check_bundle(
        files,
        keys=keys,
        lead=lead,
        current=keys is not None,
        budget=Budget(LIMITS, SECONDS, time.monotonic),
    )
    wrong = list(bundle.wrong())
    only = bundle.only
    return FilesVerdict(
        ok=bundle.ok,
        first=bundle.first,
        more=tuple(wrong[1 : SHOWN + 1]),
        left_out=max(0, len(wrong) - SHOWN - 1),
        bundle=bundle,
        lines=tuple(_lines(bundle)),
        by_list=known.says if keys else "the key list that the supervisor you named signed",
        passed=passed,
        log=shown(only.log.document()) if only and only.log else None,
    )


def _lead(typed: str) -> str:
    try:
        return thumbprint(typed)
    except BadKey as bad:
        raise _BadLead(str(bad)) from None


def _leads(keys: KeyList | None, lead: str) -> bool:
    """Whether it is the shop's own lead, whose list is the shop's own."""
    listed = keys.find(lead) if keys else None
    return listed is not None and listed.lead


def _lines(bundle: Bundle) -> Iterable[VerifiedLine]:
    for name, report in zip(bundle.names, bundle.row.logs, strict=True):
        yield VerifiedLine(
            name,
            report.number,
            report.ticket or "",
            report.signed_at or "",
            report.signer or report.claims or "",
            "" if report.ok else f"{report.problems[0].at}: {report.problems[0].says}",
        )


def _view(
    error: str = "", lead_says: str = "", lead: str = "", found: FilesVerdict | None = None
) -> VerifyPage:
    return VerifyPage(error, lead_says, lead, LIMITS.files, LIMITS.bytes // MIB, found)


def _too_much() -> str:
    return f"At most {LIMITS.files} files and {MOST // MIB} MiB are checked at once."
