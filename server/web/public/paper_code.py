"""What the code on paper held, beside what the log's file holds."""

import re
from dataclasses import dataclass

from server.ledger.checking.report import Report

_APART = re.compile(r"[\s-]+")


@dataclass(frozen=True)
class PaperRow:
    """One line to hold against the paper; `on_paper` is empty where the code did not hold it."""

    label: str
    on_paper: str
    in_log: str
    same: bool


@dataclass(frozen=True)
class Paper:
    """Key and digest, side by side. `wrong` says what differs."""

    rows: tuple[PaperRow, ...]
    wrong: tuple[str, ...]


def held_against(digest: str, key: str, report: Report) -> Paper:
    """The address's digest and key against those that were computed from the file."""
    mark = short(report.fingerprint or "")
    keys = PaperRow("Key", spaced(key), report.fingerprint or "none", not key or short(key) == mark)
    found = report.digest or ""
    digests = PaperRow("Digest", grouped(digest), grouped(found) or "none", digest == found)
    wrong = []
    if not keys.same:
        wrong.append("The key on the paper is not the key that signed this log.")
    if not digests.same:
        wrong.append("The digest on the paper is not that of this log.")
    return Paper((keys, digests), tuple(wrong))


def short(fingerprint: str) -> str:
    """A fingerprint as an address holds it."""
    return _APART.sub("", fingerprint).upper()


def spaced(key: str) -> str:
    """A fingerprint as paper shows it."""
    plain = short(key)[:16]
    return f"{plain[:4]} {plain[4:]}".strip()


def grouped(digest: str) -> str:
    """64 digits in groups of eight, to be compared by eye."""
    return " ".join(digest[at : at + 8] for at in range(0, len(digest), 8))
