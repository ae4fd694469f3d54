"""Checking signed logs from their files: the files' side of `server.ledger.checking.bundle`."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from server.cli.answer import (
    FINE,
    STOPPED,
    UNREADABLE,
    Unreadable,
    error_of,
    read_file,
)
from server.ledger.budget import Limits, TooMuch
from server.ledger.checking.bundle import Bundle, check_bundle, has_list
from server.ledger.checking.report import Report, problem_json
from server.ledger.checking.sorting import Brought, ours
from server.ledger.checking.unpacking import is_archive, unpacked
from server.ledger.headfile import read_head
from server.ledger.key_choice import Voucher
from server.ledger.keylist import read_keys
from server.ledger.public import BadKey, thumbprint

Document = dict[str, Any]
Errors = dict[str, dict[str, str]]
UNVOUCHED = 3  # nothing is wrong, but the only key list came with the files
LIMITS = Limits(files=100_000, bytes=1024 * 1024 * 1024)


def verify(
    paths: list[Path], keys: Path | None, head: Path | None, supervisor: str | None
) -> tuple[Document, int]:
    """The report on logs in any order, and the exit code.

    A path is a log, a key list, a head, a proof, a folder of them or a ZIP archive of them. Raises
    Unreadable, BadKeyList or BadHead for a key list, thumbprint or head that was named as one and
    cannot be used. A log that cannot be read has its error in place; the others are answered.
    """
    files, errors, passed = _read(paths)
    supervisor = _whole(supervisor) if supervisor else None
    among = has_list(files)
    if supervisor and not keys and not among:
        raise Unreadable(
            "--supervisor", "A supervisor's thumbprint is checked on a key list: give --keys too."
        )
    known = read_keys(read_file(keys), lead=supervisor) if keys else None
    if head and known is None and not among:
        raise Unreadable("--head", "A head is checked with the key list: give --keys too.")
    listed = known or (check_bundle(files, lead=supervisor).keys if head else None)
    top = read_head(read_file(head), listed) if head else None
    bundle = check_bundle(files, keys=known, lead=supervisor, head=top)
    rows = [*_rows(bundle, errors)]
    code = _code(bundle, rows)
    document = bundle.row.as_json() | {
        "ok": code == FINE,
        "vouched": bundle.vouched,
        "checked": bundle.by,
        "first": _first(bundle),
        "logs": rows,
        "others": [each.as_json() for each in bundle.others],
        "notes": [*bundle.row.notes, *_begins(bundle), *_passed(passed)],
    }
    return document, code


def _whole(supervisor: str) -> str:
    try:
        return thumbprint(supervisor)
    except BadKey as bad:
        raise Unreadable("--supervisor", str(bad)) from None


def _code(bundle: Bundle, rows: list[Document]) -> int:
    if any("error" in row for row in rows):
        return UNREADABLE
    if not bundle.ok:
        return STOPPED
    return UNVOUCHED if bundle.voucher is Voucher.NOBODY else FINE


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
        inside = _inside(path)
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


def _inside(folder: Path) -> list[Path]:
    """All files of a folder and of the folders in it. Raises Unreadable for too many."""
    found: list[Path] = []
    for here, _, names in os.walk(folder):
        found += [Path(here, name) for name in names]
        if len(found) > LIMITS.files:
            raise Unreadable(str(folder), f"It holds more than {LIMITS.files} files.")
    return sorted(each for each in found if each.is_file())


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
