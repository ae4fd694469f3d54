"""Checking signed logs from their files: the files' side of `server.ledger.verify`."""

from itertools import pairwise
from pathlib import Path
from typing import Any

from server.cli_output import FINE, STOPPED, UNREADABLE, Unreadable, error_of, read_file
from server.ledger.headfile import read_head
from server.ledger.keylist import KeyList, read_keys
from server.ledger.report import ChainReport, Report
from server.ledger.verify import verify_chain

Document = dict[str, Any]


def verify(
    paths: list[Path], keys: Path | None, head: Path | None, lead: str | None
) -> tuple[Document, int]:
    """The report on logs in any order, and the exit code.

    Raises Unreadable, BadKeyList or BadHead for a key list or head that cannot be used. A log that
    cannot be read has its error in place, and the others are still answered.
    """
    if lead and not keys:
        raise Unreadable("--lead", "A lead's thumbprint is checked on a key list: give --keys too.")
    known = read_keys(read_file(keys), lead=lead) if keys else None
    if head and known is None:
        raise Unreadable("--head", "A head is checked with the key list: give --keys too.")
    top = read_head(read_file(head), known) if head and known else None
    files, errors = _read(paths)
    names = _by_number(files, known)
    chain = verify_chain([files[name] for name in names], known, head=top, part=top is None)
    reports = dict(zip(names, chain.logs, strict=True))
    rows = [_row(str(path), reports, errors) for path in paths]
    document = chain.as_json() | {"logs": rows, "notes": [*chain.notes, *_begins(chain)]}
    unreadable = any("error" in row for row in rows)
    document["ok"] = chain.ok and not unreadable
    return document, UNREADABLE if unreadable else FINE if chain.ok else STOPPED


def _read(paths: list[Path]) -> tuple[dict[str, bytes], dict[str, dict[str, str]]]:
    """Bytes and errors by name; a file named twice is read once."""
    files: dict[str, bytes] = {}
    errors: dict[str, dict[str, str]] = {}
    for path in paths:
        try:
            files[str(path)] = read_file(path)
        except Unreadable as error:
            errors[str(path)] = error_of(error)
    return files, errors


def _by_number(files: dict[str, bytes], keys: KeyList | None) -> list[str]:
    """The names in the order of their logs' numbers, whatever order they were given in."""
    names = list(files)
    numbers = [report.number or 0 for report in verify_chain(files.values(), keys, part=True).logs]
    if any(after < before for before, after in pairwise(numbers)):
        names = [name for _, name in sorted(zip(numbers, names, strict=True), key=lambda p: p[0])]
    return names


def _row(name: str, reports: dict[str, Report], errors: dict[str, dict[str, str]]) -> Document:
    if name in errors:
        return {"file": name, "error": errors[name]}
    report = reports[name]
    if not report.ok and report.kid is None and report.problems[0].at not in ("key", "jws"):
        problem = report.problems[0]
        return {"file": name, "error": {"at": problem.at, "says": problem.says}}
    return {"file": name, **report.as_json()}


def _begins(chain: ChainReport) -> list[str]:
    first = min((report.number for report in chain.logs if report.number), default=1)
    if first == 1:
        return []
    return [f"Logs before {first} were not given, so the link to them was not looked at."]
