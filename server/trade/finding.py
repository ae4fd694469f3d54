"""What a rule or a solver has to say about a craft."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from enum import StrEnum
from zlib import crc32


class Severity(StrEnum):
    """How much a finding holds up: `stop` bars the battery and the signature."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


RANK = {Severity.STOP: 0, Severity.CAUTION: 1, Severity.NOTE: 2}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is wrong, on the part at fault, with the way to put it right."""

    code: str
    severity: Severity
    subject: str
    says: str
    do: str
    source: str

    @property
    def key(self) -> str:
        """Names the same fault across two looks at the sheet.

        The words are part of it: two links of one device can have the same fault each.
        """
        return f"{self.code}:{self.subject}:{crc32(self.says.encode()):08x}"

    def as_json(self) -> dict[str, str]:
        """The finding as the command line prints it."""
        return asdict(self)


def worst(findings: Iterable[Finding]) -> Severity | None:
    """The gravest severity among `findings`; None when there are none."""
    return min((f.severity for f in findings), key=RANK.__getitem__, default=None)
