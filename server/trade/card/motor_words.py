"""What the motors' steps say about link and loop."""

from fractions import Fraction

from server.trade.sheet import Sheet
from server.trade.tables.motor_links import MOTOR_LINKS


def motor_link(sheet: Sheet) -> str | None:
    """The link in force: the one set, or the only one that the ESC speaks."""
    if sheet.esc.set_to is not None:
        return sheet.esc.set_to
    return sheet.esc.speaks[0] if len(sheet.esc.speaks) == 1 else None


def loop_share(sheet: Sheet) -> str | None:
    """Per cent of the loop's period that a frame takes, feedback included, whole and rounded up."""
    link = motor_link(sheet)
    frame = MOTOR_LINKS[link].frame_us(_carries_back(sheet, link)) if link else None
    if frame is None:
        return None
    percent = frame * Fraction(sheet.control.loop_hz) / 10_000
    return str(-(-percent.numerator // percent.denominator)) if percent < 10**6 else None


def _carries_back(sheet: Sheet, link: str) -> bool:
    return sheet.esc.use_feedback and sheet.esc.feedback and MOTOR_LINKS[link].digital
