"""The motor link to set where none is set, and why."""

from fractions import Fraction

from server.trade.planner.facts import Facts
from server.trade.tables.motor_links import MOTOR_LINKS

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
TIGHT = Fraction(95, 100)


def proposed_motor_link(facts: Facts) -> tuple[str, str] | None:
    """(link, why) for an ESC that speaks several links and has none chosen; None otherwise.

    DShot300 if the ESC speaks it and it fits the control loop. Else the first in PREFERRED that it
    speaks, that can carry the feedback where it is wanted, and whose frame takes 95 % of the
    loop's period at most; failing that, one that just fits.
    """
    esc = facts.sheet.esc
    if esc.set_to is not None or len(esc.speaks) == 1:
        return None
    period = 1_000_000 / Fraction(facts.sheet.control.loop_hz)
    feedback = esc.use_feedback and esc.feedback
    spoken = [
        MOTOR_LINKS[word]
        for word in PREFERRED
        if word in esc.speaks and (MOTOR_LINKS[word].digital or not feedback)
    ]
    first = [link for link in spoken if link.name == PREFERRED[0]]
    for share, links in ((Fraction(1), first), (TIGHT, spoken), (Fraction(1), spoken)):
        for link in links:
            frame = link.frame_us(feedback and link.digital)
            if frame is None or frame <= period * share:
                return link.name, _why(frame, period)
    return None


def _why(frame: Fraction | None, period: Fraction) -> str:
    if frame is None:
        return "the ESC speaks it, and it has no frame to fit into the control loop"
    return (
        f"the ESC speaks it, and its frame of {float(frame):.1f} µs fits the control loop's"
        f" {float(period):.1f} µs"
    )
