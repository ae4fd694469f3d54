"""What comes before any step: a map, somebody who takes the ticket, the end of a hold."""

from dataclasses import dataclass

from server.trade.ticket import State
from server.web.bench.state import Look
from server.work.bench.recording import WORKABLE
from server.work.bench.step_status import Standing
from server.work.permissions import may


@dataclass(frozen=True)
class Gate:
    """Said in place of a step. `posts`: the button acts, else it leads to `href`."""

    title: str
    says: str
    label: str = ""
    href: str = ""
    posts: bool = False


def gate_of(look: Look, chosen: Standing | None) -> Gate | None:
    """What comes first; None where a step can be shown."""
    head, at = look.head, look.address
    if head.state == State.WAITING:
        return _take(look)
    if head.state == State.ON_HOLD:
        return Gate(
            "The ticket is on hold",
            f"It waits for: {head.hold_reason}.",
            "End the hold",
            f"{at}/hold/end",
            posts=True,
        )
    if head.state not in WORKABLE:
        return Gate(
            "The work is signed", "Nothing more is recorded on this card.", "Open the ticket", at
        )
    if look.work is None:
        says = "The card is made from the port map, and there is none yet."
        return Gate("Enter the port map first", says, "Enter the map", f"{at}/map")
    if chosen is None and all(s.done for s in look.steps):
        return _all_done(look)
    return None


def _take(look: Look) -> Gate:
    title = "Nobody has taken this ticket"
    if not may(look.by, "work at the bench"):
        return Gate(title, "A technician or the supervisor takes it.", "Open the queue", "/queue")
    says = "Take it, and its card opens on your bench."
    label = f"Take ticket {look.head.number:04d}"
    return Gate(title, says, label, f"{look.address}/holder", posts=True)


def _all_done(look: Look) -> Gate:
    says = "Read the log, then sign it."
    if look.obstacles:
        says = "What still stands in the way of signing is in the list."
    return Gate("All steps are done", says, "Go to sign", f"{look.address}/signature")
