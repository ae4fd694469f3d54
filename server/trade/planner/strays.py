"""Wires that name what is not there: nothing can be done with them but to take them off."""

from collections.abc import Iterator

from server.trade.planner.facts import SheetIndex, leads_of
from server.trade.planner.shift import Shift
from server.trade.sheet.parts import Device


def strays(facts: SheetIndex) -> Iterator[tuple[str, Shift]]:
    """(device, move) for every wire of an unknown device or lead, in the order of the sheet.

    The leads of a link that is not in use are left alone, save that their pad must exist.
    """
    known = {device.device: _leads(device) for device in facts.sheet.devices}
    idle = {
        (device.device, lead)
        for device in facts.sheet.devices
        for link in device.links
        if not link.in_use
        for lead, _ in leads_of(link)
    }
    for wire in facts.sheet.wires:
        lost = wire.lead not in known.get(wire.device, frozenset())
        if lost or ((wire.device, wire.lead) in idle and wire.pad not in facts.pads):
            yield wire.device, Shift(wire.lead, wire.pad, None)


def _leads(device: Device) -> frozenset[str]:
    of_links = [lead for link in device.links for lead, _ in leads_of(link)]
    others = [lead.lead for lead in device.leads]
    supply = [lead for lead in (device.power, device.ground) if lead is not None]
    return frozenset([*of_links, *others, *supply])
