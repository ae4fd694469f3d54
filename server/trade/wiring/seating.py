"""Where a lead could go instead: free pads that suit it, for a finding's advice.

Advice is sought among the first pads and ports only: more than any board has, and a bound on what
a sheet of a megabyte can ask for.
"""

from collections.abc import Iterator
from itertools import islice

from server.trade.sheet import Pad, Port
from server.trade.tables.chips import inversion
from server.trade.tables.serial import Need, SerialLink
from server.trade.wiring.leads import LeadView, LinkView
from server.trade.wiring.wiring import Wiring

Seating = dict[str, Pad]

MOST_LOOKED_AT = 64


def room_for(wiring: Wiring, view: LinkView) -> Seating | None:
    """Pads that the whole link could have on one port, by kind of lead; None where none suit.

    The port the link is on now is tried first, then the board's in order. The leads that the
    protocol would like come along where there is room for them.
    """
    protocol = view.protocol
    if protocol is not None and protocol.baud is None:
        return _timer_pad(wiring, view)
    for kinds in _wishes(wiring, view):
        for port in _ports(wiring, view):
            found = _on_port(wiring, view, port, kinds)
            if found:
                return found
    return None


def free_pads(wiring: Wiring, signal: str, lead: LeadView | None = None) -> list[Pad]:
    """Pads of this signal without a wire of any other lead than `lead`, in board order."""
    return [
        pad
        for pad in wiring.pads_of_signal[signal][:MOST_LOOKED_AT]
        if all(joint.lead is lead for joint in wiring.joints_at(pad.pad))
    ]


def _timer_pad(wiring: Wiring, view: LinkView) -> Seating | None:
    lead = next((lead for lead in view.leads if lead.kind == "tx"), None)
    pads = free_pads(wiring, "ppm", lead)
    return {"tx": pads[0]} if lead and pads else None


def _wishes(wiring: Wiring, view: LinkView) -> Iterator[list[str]]:
    """Kinds of leads to seat: first all with work, then only what is wired or must be."""
    if view.protocol is None:
        half = {view.single} if view.single else {"tx", "rx"}
        yield [lead.kind for lead in view.leads if lead.kind in half]
        return
    working = [lead for lead in view.leads if lead.needed]
    yield [lead.kind for lead in working]
    yield [
        lead.kind
        for lead in working
        if view.need(lead.kind) is Need.MUST or wiring.joints_of(lead.device.device, lead.name)
    ]


def _ports(wiring: Wiring, view: LinkView) -> list[Port]:
    now = {
        joint.pad.port
        for lead in view.leads
        for joint in wiring.joints_of(view.device.device, lead.name)
        if joint.pad is not None
    }
    return sorted(islice(wiring.ports.values(), MOST_LOOKED_AT), key=lambda p: p.port not in now)


def _on_port(wiring: Wiring, view: LinkView, port: Port, kinds: list[str]) -> Seating | None:
    protocol = view.protocol
    if port.taken_by is not None or _too_slow(port, protocol):
        return None
    claims = wiring.claims[port.port]
    if any(joint.lead is not None and joint.lead.link is not view for joint in claims):
        return None
    found: Seating = {}
    for lead in view.leads:
        if lead.kind in kinds:
            pads = wiring.pads_of_port[port.port][:MOST_LOOKED_AT]
            suits = [pad for pad in pads if _suits(wiring, lead, pad)]
            if not suits:
                return None
            found[lead.kind] = suits[0]
    return found


def _too_slow(port: Port, protocol: SerialLink | None) -> bool:
    if protocol is None or protocol.baud is None or port.max_baud is None:
        return False
    return protocol.baud > port.max_baud


def _suits(wiring: Wiring, lead: LeadView, pad: Pad) -> bool:
    view = lead.link
    wanted = "tx" if lead.half_duplex or lead.kind == "rx" else "rx"
    if view is None or pad.signal != wanted:
        return False
    if lead.drives and view.link.level_v > pad.max_v:
        return False
    if any(j.lead is None or j.lead.link is not view for j in wiring.joints_at(pad.pad)):
        return False
    protocol = view.protocol
    if protocol is None:
        return True
    if protocol.inverted:
        return pad.inverter or inversion(wiring.sheet.board.mcu) is True
    return not pad.inverter
