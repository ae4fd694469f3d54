"""What each link is set to, and that there is one receiver."""

from collections.abc import Iterator
from functools import partial

from server.trade.rules.advice import Advice
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import sentence, together
from server.trade.wiring.leads import LinkView
from server.trade.wiring.wiring import Wiring

RECEIVER = "receiver"


def _set(view: LinkView, advice: Advice) -> str:
    """The protocol that the plan proposes, with the moves that go with it; else any spoken one."""
    return advice.for_links([view], f"Set it to {together(view.link.speaks, 'or')}.")


@rule("protocol-unspoken", "stop")
def protocol_unspoken(wiring: Wiring) -> Iterator[Hit]:
    """A link set to what it does not speak."""
    for view in wiring.used_links:
        link = view.link
        if link.set_to is not None and link.set_to not in link.speaks:
            yield Hit(
                view.device.device,
                f"{sentence(f'the {view.name}')} is set to {link.set_to}, which it does not speak.",
                partial(_set, view),
            )


@rule("protocol-unset", "caution")
def protocol_unset(wiring: Wiring) -> Iterator[Hit]:
    """A link that speaks several protocols, with none chosen."""
    for view in wiring.used_links:
        if view.link.set_to is None and len(view.link.speaks) > 1:
            yield Hit(
                view.device.device,
                f"{sentence(f'the {view.name}')} speaks {together(view.link.speaks)}, and none is"
                " chosen.",
                partial(_set, view),
            )


def _receivers(wiring: Wiring) -> list[str]:
    return [view.device.device for view in wiring.used_links if view.link.role == RECEIVER]


@rule("receiver-missing", "stop")
def receiver_missing(wiring: Wiring) -> Iterator[Hit]:
    """No receiver link in use: nothing to arm or to stop the craft with."""
    if not _receivers(wiring):
        yield Hit(
            RECEIVER,
            "No receiver link is in use, so nothing can command the craft or cut its motors.",
            "Add the receiver and its wires, name it as built in, or put its link in use.",
        )


@rule("receiver-doubled", "stop")
def receiver_doubled(wiring: Wiring) -> Iterator[Hit]:
    """More than one receiver link in use."""
    found = _receivers(wiring)
    if len(found) > 1:
        where = together(f"the {device}" for device in found)
        yield Hit(
            RECEIVER,
            f"{len(found)} receiver links are in use, on {where}.",
            "Leave one receiver link in use, and mark the others as not in use.",
        )
