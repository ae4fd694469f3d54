"""Sentences that several rules share: which lead is where, and where it could go."""

from collections.abc import Iterable, Iterator

from server.trade.wiring.feeding import suiting_pads
from server.trade.wiring.leads import LeadView, LinkView
from server.trade.wiring.seating import Seating, free_pads, room_for
from server.trade.wiring.wiring import Joint, Wiring

MOST_NAMED = 8


def together(names: Iterable[str], last: str = "and") -> str:
    """'A, B and C', cut short where there are many."""
    words = list(dict.fromkeys(names))
    if len(words) > MOST_NAMED:
        return f"{', '.join(words[:MOST_NAMED])} {last} {len(words) - MOST_NAMED} more"
    return f" {last} ".join(filter(None, [", ".join(words[:-1]), "".join(words[-1:])]))


def sentence(text: str) -> str:
    """`text` with a capital at its start."""
    return text[:1].upper() + text[1:]


def move_link(wiring: Wiring, view: LinkView, otherwise: str) -> str:
    """Which leads of the link go where, on pads that are free and suit; else `otherwise`."""
    if view.protocol is None and view.single and len(view.leads) > 1:
        spoken = together(view.link.speaks, "or")
        return f"Set the {view.name} to {spoken} first: it says which of its leads are wanted."
    room = room_for(wiring, view)
    steps = [] if room is None else list(_steps(wiring, view, room))
    return f"{sentence(together(steps))}." if steps else otherwise


def _steps(wiring: Wiring, view: LinkView, room: Seating) -> Iterator[str]:
    for lead in view.leads:
        target = room.get(lead.kind)
        if target is not None:
            joints = wiring.joints_of(view.device.device, lead.name)
            yield from _moves(lead, [joint.wire.pad for joint in joints], target.pad)


def _moves(lead: LeadView, pads: list[str], target: str) -> Iterator[str]:
    if not pads:
        yield f"wire {lead.says} to {target}"
    elif target not in pads:
        yield f"move {lead.says} from {pads[0]} to {target}"
        pads = pads[1:]
    spare = [pad for pad in pads if pad != target]
    if spare:
        yield f"take {lead.says} off {together(spare)}"


def move_lead(wiring: Wiring, joint: Joint, otherwise: str) -> str:
    """Where one wired lead could go: with its whole link where it has one."""
    lead = joint.lead
    if lead is None:
        return otherwise
    if not lead.in_use:
        return f"Take the wire of {lead.says} off {joint.wire.pad}: its link is not in use."
    if lead.link is not None:
        if not lead.needed:
            name = lead.link.protocol.name if lead.link.protocol else "the link"
            return f"Take {lead.says} off {joint.wire.pad}: {name} does not need it."
        return move_link(wiring, lead.link, otherwise)
    return _to_free_pad(wiring, joint, lead, otherwise)


def _to_free_pad(wiring: Wiring, joint: Joint, lead: LeadView, otherwise: str) -> str:
    if lead.kind == "power":
        names = suiting_pads(wiring, lead.device)
    elif lead.kind == "ground":
        names = [pad.pad for pad in wiring.pads_of_signal["ground"]]
    else:
        names = [pad.pad for pad in free_pads(wiring, lead.kind, lead)]
    pads = [name for name in names if name != joint.wire.pad]
    if not pads:
        return otherwise
    return f"Move {lead.says} from {joint.wire.pad} to {together(pads[:3], 'or')}."
