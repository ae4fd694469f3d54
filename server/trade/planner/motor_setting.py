"""The motor link to set where none is set, and why."""

from server.trade.motors.motor_link import choose
from server.trade.planner.facts import SheetIndex


def proposed_motor_link(facts: SheetIndex) -> tuple[str, str] | None:
    """(link, why) for an ESC that speaks several links and has none chosen; None otherwise."""
    esc = facts.sheet.esc
    if esc.set_to is not None or len(esc.speaks) == 1:
        return None
    choice = choose(esc.speaks, facts.sheet.control.loop_hz, esc.use_feedback and esc.feedback)
    return (choice.link, choice.why) if choice.link else None
