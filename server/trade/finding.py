"""What a rule or a solver has to say about a craft."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from enum import StrEnum
from functools import cache
from zlib import crc32


class Severity(StrEnum):
    """How much a finding holds up the signature: a caution may be accepted with a reason."""

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
GRAVITY = {Bars.POWER: 0, Bars.BATTERY: 1, Bars.SIGNING: 2, Bars.NOTHING: 3}


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that is wrong, on the part at fault, with the way to put it right.

    A stop bars the signature at least; a caution or a note bars nothing.
    """

    code: str
    severity: Severity
    subject: str
    says: str
    do: str = field(compare=False)
    source: str
    bars: Bars = Bars.NOTHING

    def __post_init__(self) -> None:
        if self.severity is Severity.STOP and self.bars is Bars.NOTHING:
            object.__setattr__(self, "bars", Bars.SIGNING)

    @property
    def key(self) -> str:
        """Names the same fault across two looks at the sheet.

        The words are part of it: two links of one device can have the same fault each.
        """
        return f"{self.code}:{self.subject}:{crc32(self.says.encode()):08x}"

    def as_json(self) -> dict[str, str]:
        """The finding as the command line prints it."""
        return {
            "code": self.code,
            "severity": self.severity,
            "bars": self.bars,
            "subject": self.subject,
            "says": self.says,
            "do": self.do,
            "source": self.source,
        }


class AdvisedFinding(Finding):
    """A finding whose advice is worked out when it is read, and then kept.

    The rules look at thousands of sheets whose advice nobody reads.
    """

    __slots__ = ("_advise",)
    _advise: Callable[[], str]

    def __init__(
        self,
        code: str,
        severity: Severity,
        subject: str,
        says: str,
        advise: Callable[[], str],
        source: str,
        bars: Bars = Bars.NOTHING,
    ) -> None:
        for name, value in zip(
            ("code", "severity", "subject", "says", "_advise", "source", "bars"),
            (code, severity, subject, says, cache(advise), source, bars),
            strict=True,
        ):
            object.__setattr__(self, name, value)
        self.__post_init__()

    @property
    def do(self) -> str:
        """What to do about it, naming pads."""
        return self._advise()


def bars_of(severity: Severity) -> Bars:
    """What a finding bars that can burn nothing: the signature at `stop`, else nothing."""
    return Bars.SIGNING if severity is Severity.STOP else Bars.NOTHING


def worst(findings: Iterable[Finding]) -> Severity | None:
    """The gravest severity among `findings`; None when there are none."""
    return min((f.severity for f in findings), key=RANK.__getitem__, default=None)


def gravest(bars: Iterable[Bars]) -> Bars:
    """What is barred by all of them together."""
    return min(bars, key=GRAVITY.__getitem__, default=Bars.NOTHING)
