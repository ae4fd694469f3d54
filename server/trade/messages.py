"""What a shop may say to a customer: our words, the shop's own in their place, and the gaps."""

import re
from collections.abc import Mapping

GAPS = {
    "name": "the customer’s first name",
    "craft": "what the craft is called",
    "ticket": "the ticket’s number",
    "state": "how far it is",
    "reason": "what a ticket on hold waits for",
    "promised": "the promised day and time",
    "days": "for how long, such as 8 days",
    "shop": "the shop’s name",
    "phone": "the shop’s telephone",
}
OURS = {
    "held": (
        "Hello {name}, your {craft} (ticket {ticket}) has been on hold for {days}: it waits for"
        " {reason}. We go on as soon as that is settled. Questions: {phone}. {shop}"
    ),
    "late": (
        "Hello {name}, we promised your {craft} (ticket {ticket}) for {promised}. It is {state}"
        " and may take longer. We tell you the new day when we know it. Questions: {phone}. {shop}"
    ),
    "ready": (
        "Hello {name}, your {craft} (ticket {ticket}) has been ready to collect for {days}."
        " Bring the claim slip, or tell us who comes in your place: {phone}. {shop}"
    ),
}
_GAP = re.compile(r"\{([^{}]*)\}")


def unknown_gaps(words: str) -> list[str]:
    """The gaps in a text that nothing fills, as they stand in it; a lone bracket too."""
    rest = _GAP.sub("", words)
    strange = [found[0] for found in _GAP.finditer(words) if found[1] not in GAPS]
    return strange + [sign for sign in "{}" if sign in rest]


def filled(words: str, told: Mapping[str, str]) -> str:
    """The text with its gaps filled, white space made plain. Raises KeyError for an unknown gap."""
    return " ".join(_GAP.sub(lambda gap: told[gap[1]], words).split())
