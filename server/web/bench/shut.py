"""How a page draws what the gate says: its very sentence, and a link to the page that opens it."""

from dataclasses import dataclass
from urllib.parse import quote

from server.trade.gate import Blocked, Opens

LINKS: dict[Opens, tuple[str, str]] = {
    Opens.NOWHERE: ("", ""),
    Opens.TAKING: ("Open the card", "/card"),
    Opens.HOLD: ("Open the card", "/card"),
    Opens.TICKET: ("Open the ticket", ""),
    Opens.MAP: ("Open the map", "/map"),
    Opens.STEP: ("Go to {number}", "/steps/{key}"),
    Opens.SOURCE: ("Change the power", "/power?step={back}"),
    Opens.CRAFT: ("Look at the craft", "/power?step={back}"),
    Opens.PROPELLERS: ("Look at the propellers", "/power?step={back}"),
}


@dataclass(frozen=True)
class Shut:
    """Why a step or a source is not open, and the page that opens it."""

    says: str
    href: str = ""
    link: str = ""


def drawn(blocked: Blocked, address: str, back: str = "") -> Shut:
    """`address` is where the ticket's pages begin, `back` what the power page returns to."""
    link, path = LINKS[blocked.opens]
    step = blocked.step
    given = {
        "back": quote(back),
        "key": quote(step.key) if step else "",
        "number": step.number if step else "",
    }
    href = f"{address}{path.format(**given)}" if link else ""
    return Shut(f"{blocked.says} {blocked.do}", href, link.format(**given))
