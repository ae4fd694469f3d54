"""What the motors' steps say about link and loop."""

from math import ceil

from server.trade.motors.motor_link import row
from server.trade.sheet import Sheet
from server.trade.tables.motor_links import MOTOR_LINKS

# A loop so fast that its share has no place on a card is a slip of the pen; a rule says so.
_BEYOND = 1000


def motor_link(sheet: Sheet) -> str | None:
    """The link in force: the one set, or the only one that the ESC speaks."""
    if sheet.esc.set_to is not None:
        return sheet.esc.set_to
    return sheet.esc.speaks[0] if len(sheet.esc.speaks) == 1 else None


def loop_share(sheet: Sheet) -> str | None:
    """Per cent of the loop's period that a frame takes, feedback included, whole and rounded up."""
    link = motor_link(sheet)
    if link is None or sheet.control.loop_hz is None:
        return None
    answers = sheet.esc.use_feedback and sheet.esc.feedback and MOTOR_LINKS[link].digital
    share = row(link, sheet.control.loop_hz, answers).share
    return None if share is None or share > _BEYOND else str(ceil(share * 100))
