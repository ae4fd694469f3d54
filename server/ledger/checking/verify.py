"""Checking signed logs with nothing but their files and, where there is one, the key list."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from server.ledger.canonical import NotCanonical, digest
from server.ledger.checking.report import NO_LIST, ChainReport, Report
from server.ledger.document import BadDocument, TestLog, read_document
from server.ledger.envelope import Opened, Problem, unpack
from server.ledger.hash_chain import ChainLink, flaws
from server.ledger.head import Head, root
from server.ledger.keylist import KeyList, ListedKey
from server.ledger.public import PublicKey
from server.ledger.signing import NAME
from server.ledger.soundness import faults

NO_HEAD = "Whether logs were taken off the end cannot be seen from the row alone: no head was used."


def verify_log(data: bytes, *, keys: KeyList | None = None) -> Report:
    """Everything that can be said of one log's file. No bytes make it raise."""
    opened = unpack(NAME, data)
    log, wrong = _read(opened)
    listed = keys.find(opened.key.kid) if keys and opened.key else None
    signer = tuple(_signer(log, opened.key, keys, listed)) if opened.key else ()
    report = Report(
        problems=(*opened.problems, *wrong, *signer),
        notes=() if keys else (NO_LIST,),
        digest=digest(opened.payload) if opened.payload is not None else None,
        signer=listed.owner if listed else None,
        closed=listed.until if listed else None,
        kid=opened.key.kid if opened.key else None,
        fingerprint=opened.key.fingerprint if opened.key else None,
    )
    return _with(report, log) if log else report


def row_report(
    reports: Sequence[Report],
    keys: KeyList | None,
    *,
    heads: Sequence[Head] = (),
    part: bool = False,
) -> ChainReport:
    """How logs that were checked one by one, oldest first, hang together."""
    known = [link for link in map(_link, reports) if link is not None]
    problems = [*flaws(known, part=part)]
    whole = not problems and len(known) == len(reports) and bool(known) and known[0].number == 1
    digests = [link.digest for link in known] if whole else []
    for head in heads:
        problems += _against(digests, head)
    unseen = () if heads or len(reports) < 2 else (NO_HEAD,)
    return ChainReport(
        logs=tuple(reports),
        problems=tuple(problems),
        notes=(*(() if keys else (NO_LIST,)), *unseen),
        size=len(digests),
        root=root(digests) if whole else None,
    )


def _read(opened: Opened) -> tuple[TestLog | None, tuple[Problem, ...]]:
    if opened.document is None:
        return None, ()
    try:
        log = read_document(opened.document)
    except (BadDocument, NotCanonical) as error:
        return None, (Problem(error.at, error.says),)
    return log, tuple(faults(log))


def _with(report: Report, log: TestLog) -> Report:
    return replace(
        report,
        number=log.number,
        previous=log.previous,
        ticket=log.ticket,
        signed_at=log.signed_at,
        claims=log.signed_by.name,
        corrects=log.corrects,
        log=log,
    )


def _signer(
    log: TestLog | None, key: PublicKey, keys: KeyList | None, listed: ListedKey | None
) -> Iterator[Problem]:
    if key.published:
        yield Problem("key", "Its private half is printed in RFC 8032: anybody can sign with it.")
    if log and log.signed_by.key != key.kid:
        yield Problem("signed_by.key", "The log names another key than the one that signed it.")
    if keys and not listed:
        yield Problem("key", f"The key {key.fingerprint} is not on the key list of {keys.shop}.")
    if log and listed:
        yield from _listed(log, listed)


def _listed(log: TestLog, listed: ListedKey) -> Iterator[Problem]:
    if listed.owner != log.signed_by.name:
        says = f"The log says {log.signed_by.name}; by the key list the key is {listed.owner}'s."
        yield Problem("signed_by.name", says)
    if not listed.open_at(log.signed_at):
        until = f" until {listed.until}" if listed.until else ""
        says = f"Signed {log.signed_at}; the key was open from {listed.since}{until}."
        yield Problem("signed_at", says)


def _link(report: Report) -> ChainLink | None:
    if report.number is None or report.digest is None or report.signed_at is None:
        return None
    return ChainLink(
        report.number,
        report.digest,
        report.previous,
        report.corrects,
        report.signed_at,
        report.closed,
    )


def _against(digests: list[str], head: Head) -> Iterator[Problem]:
    if len(digests) < head.size:
        yield Problem("head", f"The head counts {head.size} logs; whole here are {len(digests)}.")
    elif root(digests[: head.size]) != head.root:
        yield Problem("head", f"The first {head.size} logs here are not those of the head.")
