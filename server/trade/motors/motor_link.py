"""Each link from board to ESC against the control loop, with and without feedback."""

from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from typing import Any

from server.trade.tables.motor_links import MOTOR_LINKS, MotorLink

# DShot300 leaves the controller headroom, and few pilots can tell it from DShot600; after it what
# is digital, then the shortest pulse. Common practice, no source.
PREFERRED = (
    "DShot300",
    "DShot600",
    "DShot150",
    "Multishot",
    "OneShot42",
    "OneShot125",
    "PWM",
    "brushed",
)
TIGHT = Fraction(95, 100)  # this program's own limit


class Fit(StrEnum):
    """How a frame sits in the loop's period; `tight` is over 95 % of it."""

    FITS = "fits"
    TIGHT = "tight"
    TOO_LONG = "too long"


@dataclass(frozen=True, slots=True)
class LinkRow:
    """One link at one loop: frame time in µs, its share of the period, whether a reply is in it.

    A brushed link has no frame: time and share are None, and it fits.
    """

    link: str
    feedback: bool
    frame_us: Fraction | None
    share: Fraction | None
    fit: Fit
    source: str

    @property
    def left_us(self) -> Fraction | None:
        """What of the period is left for the rest of the loop's work; under zero when too long."""
        if self.frame_us is None or self.share is None:
            return None
        return self.frame_us / self.share - self.frame_us

    def as_json(self) -> dict[str, Any]:
        """Plain values: µs to two places, the share in per cent to one."""
        return {
            "link": self.link,
            "feedback": self.feedback,
            "frame_us": None if self.frame_us is None else round(float(self.frame_us), 2),
            "percent": None if self.share is None else round(float(self.share * 100), 1),
            "fit": self.fit.value,
            "source": self.source,
        }


@dataclass(frozen=True, slots=True)
class LinkChoice:
    """The link to set, or None where none fits, and why."""

    link: str | None
    why: str


# What control loops are set to; the craft's own rate stands beside them. Common practice, no
# source.
LOOPS = (Decimal(1000), Decimal(2000), Decimal(4000), Decimal(8000))


def table(loop_hz: Decimal) -> tuple[LinkRow, ...]:
    """All links at a control loop of `loop_hz`; a digital one twice, without and with feedback."""
    return tuple(
        _row(link, loop_hz, feedback)
        for link in MOTOR_LINKS.values()
        for feedback in ((False, True) if link.digital else (False,))
    )


def row(link: str, loop_hz: Decimal, feedback: bool = False) -> LinkRow:
    """One link at a control loop of `loop_hz`. Raises ValueError for feedback on one without."""
    if feedback and not MOTOR_LINKS[link].digital:
        raise ValueError(f"{link} carries no feedback; only DShot does.")
    return _row(MOTOR_LINKS[link], loop_hz, feedback)


def choose(speaks: Collection[str], loop_hz: Decimal | None, feedback: bool = False) -> LinkChoice:
    """The link to set on an ESC that speaks `speaks`: DShot300 where it fits, else the next best.

    With `feedback` only links that carry it come into question. One that fits with room to spare
    goes before one that is tight. Where the loop is not known, all of them fit.
    """
    rows = [
        _row(MOTOR_LINKS[name], loop_hz, feedback)
        for name in PREFERRED
        if name in speaks and (MOTOR_LINKS[name].digital or not feedback)
    ]
    if not rows:
        return LinkChoice(None, "The ESC speaks no link that carries feedback; only DShot does.")
    fitting = [one for one in rows if one.fit is not Fit.TOO_LONG]
    if not fitting:
        return LinkChoice(
            None, f"No link that the ESC speaks fits a loop of {loop_hz} Hz: slow the loop."
        )
    best = min(fitting, key=lambda one: (one.link != PREFERRED[0], one.fit is Fit.TIGHT))
    return LinkChoice(best.link, _why(best))


def _row(link: MotorLink, loop_hz: Decimal | None, feedback: bool) -> LinkRow:
    frame = link.frame_us(feedback)
    share = None
    if frame is not None and loop_hz is not None:
        share = frame * Fraction(loop_hz) / 1_000_000
    fit = Fit.FITS
    if share is not None and share > TIGHT:
        fit = Fit.TIGHT if share <= 1 else Fit.TOO_LONG
    return LinkRow(link.name, feedback, frame, share, fit, link.source)


def _why(best: LinkRow) -> str:
    if best.frame_us is None:
        return "The ESC speaks it, and it has no frame to fit into the loop."
    if best.share is None:
        return "The ESC speaks it; whether it fits the loop is not known."
    frame = "frame and the reply take" if best.feedback else "frame takes"
    room = (
        "it leaves the controller headroom, and few pilots can tell it from DShot600"
        if best.link == "DShot300"
        else f"{PREFERRED[0]} is not spoken or does not fit"
    )
    return (
        f"Its {frame} {float(best.frame_us):.1f} µs, {float(best.share):.1%} of the "
        f"loop's period; {room}."
    ).replace("%", " %")
