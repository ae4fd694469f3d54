"""What checking a log, or a chain of them, has to say."""

from dataclasses import dataclass
from typing import Any

from server.ledger.checking.sorting import Kind
from server.ledger.document import TestLog
from server.ledger.envelope import Problem

NO_LIST = (
    "The signature fits the key in the file. Whose key that is, is not known: no key list was used."
)


@dataclass(frozen=True, slots=True)
class Report:
    """One log's file. The first of `problems` is the first thing wrong; `notes` are limits.

    What the log says of itself (number, digest, ticket, signer's claim) is given also when there
    are problems, as far as it could be read; it is then worth nothing.
    """

    problems: tuple[Problem, ...]
    notes: tuple[str, ...] = ()
    number: int | None = None
    digest: str | None = None
    previous: str | None = None
    ticket: str | None = None
    signed_at: str | None = None
    claims: str | None = None
    """The signer's name as the log gives it."""
    signer: str | None = None
    """The name that the key list puts beside the key; None without a list."""
    kid: str | None = None
    fingerprint: str | None = None
    corrects: str | None = None
    closed: str | None = None
    """When the signer's key was closed, by the key list; None where it is open."""
    log: TestLog | None = None

    @property
    def ok(self) -> bool:
        """Whether nothing is wrong."""
        return not self.problems

    def as_json(self) -> dict[str, Any]:
        """The report as the command line prints it, without the log itself."""
        return {
            "ok": self.ok,
            "problems": [problem_json(p) for p in self.problems],
            "notes": list(self.notes),
            "number": self.number,
            "digest": self.digest,
            "previous": self.previous,
            "ticket": self.ticket,
            "signed_at": self.signed_at,
            "claims": self.claims,
            "signer": self.signer,
            "key": self.kid,
            "fingerprint": self.fingerprint,
        }


@dataclass(frozen=True, slots=True)
class ChainReport:
    """A row of logs: each by itself (`logs`, in the order given), and how they hang together."""

    logs: tuple[Report, ...]
    problems: tuple[Problem, ...]
    notes: tuple[str, ...]
    size: int
    """How many logs the tree below counts; 0 when the row is not whole from log 1 on."""
    root: str | None
    """The Merkle root over a whole row, in hex."""

    @property
    def ok(self) -> bool:
        """Whether nothing is wrong with the row or with any log of it."""
        return not self.problems and all(report.ok for report in self.logs)

    def as_json(self) -> dict[str, Any]:
        """The report as the command line prints it."""
        return {
            "ok": self.ok,
            "problems": [problem_json(p) for p in self.problems],
            "notes": list(self.notes),
            "size": self.size,
            "root": self.root,
            "logs": [report.as_json() for report in self.logs],
        }


@dataclass(frozen=True, slots=True)
class Checked:
    """One file that is no log: what it is, what is wrong with it, and else what it shows."""

    name: str
    kind: Kind
    problems: tuple[Problem, ...] = ()
    says: str = ""

    def as_json(self) -> dict[str, Any]:
        """The file as the command line prints it."""
        return {
            "file": self.name,
            "kind": str(self.kind),
            "ok": not self.problems,
            "problems": [problem_json(p) for p in self.problems],
            "says": self.says,
        }


def problem_json(problem: Problem) -> dict[str, str]:
    """One problem as the command line prints it."""
    return {"at": problem.at, "says": problem.says}
