"""What a rule or a solver has to say about a craft."""

from collections.abc import Iterable
from dataclasses import asdict, dataclass
from enum import StrEnum
from zlib import crc32


class Severity(StrEnum):
    """How much a finding holds up: `stop` bars the signature, and `Bars` says what else."""

    STOP = "stop"
    CAUTION = "caution"
    NOTE = "note"


class Bars(StrEnum):
    """What may not be connected, or done, while a finding is open."""

    POWER = "power"  # nothing may be connected, the USB lead included
    BATTERY = "battery"  # no battery, through a limiter or not
    SIGNING = "signing"  # only the signature
    NOTHING = "nothing"


RANK = {Severity.STOP: 0, Severity.CAUTION: 1, Severity.NOTE: 2}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is wrong, on the part at fault, with the way to put it right."""

    code: str
    severity: Severity
    bars: Bars
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


def bars_of(severity: Severity) -> Bars:
    """What a finding bars that can burn nothing: the signature at `stop`, else nothing."""
    return Bars.SIGNING if severity is Severity.STOP else Bars.NOTHING


def worst(findings: Iterable[Finding]) -> Severity | None:
    """The gravest severity among `findings`; None when there are none."""
    return min((f.severity for f in findings), key=RANK.__getitem__, default=None)
