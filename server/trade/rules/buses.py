"""A bus of two wires: data and clock go together."""

from collections.abc import Iterator
from functools import partial

from server.trade.rules.advice import Advice
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import sentence, together
from server.trade.sheet import Device
from server.trade.wiring.wiring import Wiring

I2C = "NXP UM10204, section 3.1: a bus of two wires, serial data and serial clock; from memory"


@rule("bus-incomplete", "stop", source=I2C)
def bus_incomplete(wiring: Wiring) -> Iterator[Hit]:
    """A part with both bus leads, of which only one is wired."""
    for part in wiring.sheet.devices:
        data, clock = _leads(part, "sda"), _leads(part, "scl")
        if not data or not clock:
            continue
        wired = [any(wiring.joints_of(part.device, n) for n in names) for names in (data, clock)]
        if wired[0] != wired[1]:
            have, lack = (data, clock) if wired[0] else (clock, data)
            says = f"the {part.device}'s {together(have)} is wired, and its {together(lack)} is not"
            yield Hit(part.device, f"{sentence(says)}.", partial(_complete, part, lack))


def _leads(part: Device, signal: str) -> list[str]:
    return [lead.lead for lead in part.leads if lead.signal == signal]


def _complete(part: Device, lack: list[str], advice: Advice) -> str:
    last = f"Wire the {part.device}'s {together(lack)}; the board lists no pad for it."
    return advice.for_ends([(part.device, name) for name in lack], last)
