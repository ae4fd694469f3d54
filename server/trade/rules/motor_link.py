"""The link from board to ESC: spoken, chosen, and short enough for the loop."""

from collections.abc import Iterator
from fractions import Fraction

from server.trade.exact import plain
from server.trade.motors.motor_link import PREFERRED, TIGHT, Fit, choose, row
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import together
from server.trade.tables.motor_links import MOTOR_LINKS
from server.trade.wiring.wiring import Wiring

ESC = "ESC"
OWN_LIMIT = "95 % is this program's own limit"
PROPOSED = PREFERRED[0]


def _says(wiring: Wiring, share: Fraction) -> str:
    link, frame, loop = wiring.motor_link, wiring.frame, wiring.sheet.control.loop_hz
    if link is None or frame is None or loop is None:
        return ""
    us, reply = frame
    answer = " with its reply" if reply else ""
    return (
        f"{link.name}{answer} takes {plain(us)} µs, {plain(share * 100)} % of the period of a"
        f" {plain(loop)} Hz loop"
    )


def _fitting(wiring: Wiring) -> list[str]:
    """The spoken links that leave room at this loop, DShot300 before all."""
    esc, loop = wiring.sheet.esc, wiring.sheet.control.loop_hz
    if loop is None:
        return []
    wants = esc.use_feedback and esc.feedback
    names = sorted(esc.speaks, key=lambda name: name != PROPOSED)
    rows = [row(name, loop, wants and MOTOR_LINKS[name].digital) for name in names]
    return [each.link for each in rows if each.frame_us is not None and each.fit is Fit.FITS]


def _faster(wiring: Wiring) -> str:
    fits = _fitting(wiring)
    if not fits:
        return "Run the control loop slower."
    return f"Set the ESC to {together(fits, 'or')}, or run the control loop slower."


@rule("motor-link-unspoken", "stop")
def motor_link_unspoken(wiring: Wiring) -> Iterator[Hit]:
    """The ESC is set to a link that it does not speak."""
    esc = wiring.sheet.esc
    if esc.set_to is not None and esc.set_to not in esc.speaks:
        says = f"The ESC is set to {esc.set_to}, which it does not speak."
        yield Hit(ESC, says, f"Set it to {together(esc.speaks, 'or')}.")


@rule("motor-link-unset", "caution")
def motor_link_unset(wiring: Wiring) -> Iterator[Hit]:
    """The ESC speaks several links, and none is chosen."""
    esc = wiring.sheet.esc
    if esc.set_to is None and len(esc.speaks) > 1:
        says = f"The ESC speaks {together(esc.speaks)}, and none is chosen."
        yield Hit(ESC, says, _proposal(wiring))


def _proposal(wiring: Wiring) -> str:
    """What the plan proposes too, by the same choice."""
    esc, loop = wiring.sheet.esc, wiring.sheet.control.loop_hz
    choice = choose(esc.speaks, loop, esc.use_feedback and esc.feedback)
    if choice.link is None:
        return choice.why
    if choice.link != PROPOSED:
        return f"Set the ESC to {choice.link}."
    fits = "fits the loop and " if loop is not None else ""
    return f"Set the ESC to {choice.link}: it {fits}leaves the controller headroom."


@rule("feedback-unspoken", "stop")
def feedback_unspoken(wiring: Wiring) -> Iterator[Hit]:
    """Feedback is wanted over a link, or from an ESC, that has none."""
    esc, link = wiring.sheet.esc, wiring.motor_link
    if not esc.use_feedback:
        return
    if not esc.feedback:
        yield Hit(
            ESC,
            "Feedback is wanted, and the ESC cannot give it.",
            "Switch feedback off, or fit an ESC that answers.",
        )
    elif link is not None and not link.digital:
        digital = [name for name in esc.speaks if MOTOR_LINKS[name].digital]
        way = f"Set the ESC to {together(digital, 'or')}, or switch" if digital else "Switch"
        says = f"Feedback is wanted, and {link.name} carries no answer: only DShot does."
        yield Hit(ESC, says, f"{way} feedback off.", source=link.source)


@rule("motor-link-too-slow", "stop")
def motor_link_too_slow(wiring: Wiring) -> Iterator[Hit]:
    """The frame is longer than the control loop's period."""
    share, link = wiring.frame_share, wiring.motor_link
    if share is not None and link is not None and share > 1:
        says = f"{_says(wiring, share)}: it does not fit."
        yield Hit(ESC, says, _faster(wiring), source=link.source)


@rule("motor-link-tight", "caution", source=OWN_LIMIT)
def motor_link_tight(wiring: Wiring) -> Iterator[Hit]:
    """The frame fits the period, and takes over 95 % of it."""
    share, link = wiring.frame_share, wiring.motor_link
    if share is not None and link is not None and TIGHT < share <= 1:
        says = f"{_says(wiring, share)}: it fits with nothing to spare."
        yield Hit(ESC, says, _faster(wiring), source=f"{link.source}; {OWN_LIMIT}")
