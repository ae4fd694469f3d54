"""Checking signed logs from their files: the files' side of `server.ledger.checking.bundle`."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from server.cli_output import (
    FINE,
    STOPPED,
    UNREADABLE,
    Unreadable,
    error_of,
    read_file,
)
from server.ledger.checking.bundle import Bundle, check_bundle
from server.ledger.checking.report import Report, problem_json
from server.ledger.checking.sorting import Brought, Kind, kind_of, ours
from server.ledger.checking.unpacking import Limits, TooMuch, is_archive, unpacked
from server.ledger.headfile import read_head
from server.ledger.keylist import read_keys

Document = dict[str, Any]
Errors = dict[str, dict[str, str]]
LIMITS = Limits(files=100_000, bytes=1024 * 1024 * 1024)


def verify(
    paths: list[Path], keys: Path | None, head: Path | None, supervisor: str | None
) -> tuple[Document, int]:
    """The report on logs in any order, and the exit code.

    A path is a log, a key list, a head, a proof, a folder of them or a ZIP archive of them. Raises
    Unreadable, BadKeyList or BadHead for a key list or head that was named as one and cannot be
    used. A log that cannot be read has its error in place, and the others are still answered.
    """
    files, errors, passed = _read(paths)
    among = any(kind_of(file.name, file.data) is Kind.KEYS for file in files)
    if supervisor and not keys and not among:
        raise Unreadable(
            "--supervisor", "A supervisor's thumbprint is checked on a key list: give --keys too."
        )
    known = read_keys(read_file(keys), lead=supervisor) if keys else None
    if head and known is None and not among:
        raise Unreadable("--head", "A head is checked with the key list: give --keys too.")
    top = read_head(read_file(head), known or check_bundle(files).keys) if head else None
    bundle = check_bundle(files, keys=known, lead=supervisor, head=top)
    rows = [*_rows(bundle, errors)]
    notes = [*bundle.row.notes, *_begins(bundle), *_passed(passed)]
    first = _first(bundle)
    unreadable = any("error" in row for row in rows)
    document = bundle.row.as_json() | {
        "ok": bundle.ok and not unreadable,
        "first": first,
        "logs": rows,
        "others": [each.as_json() for each in bundle.others],
        "notes": notes,
    }
    return document, UNREADABLE if unreadable else FINE if bundle.ok else STOPPED


def _read(paths: list[Path]) -> tuple[list[Brought], Errors, int]:
    """Files, errors by name, and how many files of folders and archives were passed over."""
    files: dict[str, Brought] = {}
    errors: Errors = {}
    passed = 0
    for path in paths:
        try:
            found, others = _one(path)
        except Unreadable as error:
            errors[str(path)] = error_of(error)
            continue
        files |= {file.name: file for file in found}  # a file named twice is read once
        passed += others
    return list(files.values()), errors, passed


def _one(path: Path) -> tuple[list[Brought], int]:
    if path.is_dir():
        inside = sorted(each for each in path.iterdir() if each.is_file())
        wanted = [each for each in inside if ours(each.name)]
        if not wanted:
            raise Unreadable(str(path), "The folder holds no log, key list, head or proof.")
        found = [Brought(str(each), read_file(each)) for each in wanted]
        return found, len(inside) - len(wanted)
    data = read_file(path)
    if not is_archive(path.name, data):
        return [Brought(str(path), data)], 0
    try:
        files, others = unpacked(data, LIMITS)
    except TooMuch as wrong:
        raise Unreadable(str(path), str(wrong)) from wrong
    return [Brought(f"{path}/{file.name}", file.data) for file in files], others


def _rows(bundle: Bundle, errors: Errors) -> Iterator[Document]:
    for name, error in errors.items():
        yield {"file": name, "error": error}
    for name, report in zip(bundle.names, bundle.row.logs, strict=True):
        yield _row(name, report)


def _row(name: str, report: Report) -> Document:
    if not report.ok and report.kid is None and report.problems[0].at not in ("key", "jws"):
        return {"file": name, "error": problem_json(report.problems[0])}
    return {"file": name, **report.as_json()}


def _first(bundle: Bundle) -> Document | None:
    if bundle.first is None:
        return None
    name, problem = bundle.first
    return {"file": name or None, **problem_json(problem)}


def _begins(bundle: Bundle) -> list[str]:
    first = min((report.number for report in bundle.row.logs if report.number), default=1)
    if first == 1:
        return []
    return [f"Logs before {first} were not given, so the link to them was not looked at."]


def _passed(count: int) -> list[str]:
    if not count:
        return []
    return [f"{count} other {'file was' if count == 1 else 'files were'} passed over."]
