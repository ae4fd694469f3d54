"""What stands in place of a step: what the gate says of the ticket, and the button to it."""

from dataclasses import dataclass

from server.trade.gate import Blocked, Opens, mapped, may_work
from server.web.bench.state import BenchState
from server.work.bench.step_status import StepStatus
from server.work.permissions import may

TITLES = {
    Opens.TAKING: "Nobody has taken this ticket",
    Opens.HOLD: "The ticket is held",
    Opens.TICKET: "The work is signed",
    Opens.MAP: "Enter the port map first",
}


@dataclass(frozen=True)
class Gate:
    """Said in place of a step. `posts`: the button acts, else it leads to `href`."""

    title: str
    says: str
    label: str = ""
    href: str = ""
    posts: bool = False


def gate_of(look: BenchState, chosen: StepStatus | None) -> Gate | None:
    """What comes first; None where a step can be shown."""
    blocked = may_work(look.situation) or mapped(look.situation)
    if blocked is not None:
        return _shown(look, blocked)
    if chosen is None and all(s.done for s in look.steps):
        return _all_done(look)
    return None


def _shown(look: BenchState, blocked: Blocked) -> Gate:
    label, href, posts = _opened_by(look, blocked.opens)
    return Gate(TITLES[blocked.opens], f"{blocked.says} {blocked.do}", label, href, posts)


def _opened_by(look: BenchState, opens: Opens) -> tuple[str, str, bool]:
    if opens is Opens.TAKING and not may(look.by, "work at the bench"):
        return "Open the queue", "/queue", False
    if opens is Opens.TAKING:
        return f"Take ticket {look.head.number:04d}", f"{look.address}/holder", True
    if opens is Opens.HOLD:
        return "End the hold", f"{look.address}/hold/end", True
    if opens is Opens.MAP:
        return "Enter the map", f"{look.address}/map", False
    return "Open the ticket", look.address, False


def _all_done(look: BenchState) -> Gate:
    says = "Read the log, then sign it."
    if look.obstacles:
        says = "What still stands in the way of signing is in the list."
    return Gate("All steps are done", says, "Go to sign", f"{look.address}/signature")
