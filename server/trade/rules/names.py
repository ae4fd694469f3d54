"""Wires and ESC channels that name what is not there."""

from collections import defaultdict
from collections.abc import Iterator

from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import move_lead, together
from server.trade.wiring.wiring import Wiring


@rule("pad-unknown", "stop")
def pad_unknown(wiring: Wiring) -> Iterator[Hit]:
    """A wire or an ESC channel on a pad that the board does not have."""
    users: dict[str, list[str]] = defaultdict(list)
    advice: dict[str, str] = {}
    for joint in wiring.joints:
        if joint.pad is None:
            pad = joint.wire.pad
            users[pad].append(f"the {joint.wire.device}'s {joint.wire.lead}")
            if pad not in advice:
                advice[pad] = move_lead(
                    wiring, joint, f"Name a pad of the board in place of {pad}."
                )
    for channel, pad in wiring.sheet.esc.outputs.items():
        if pad not in wiring.pads:
            users[pad].append(f"ESC channel {channel}")
            advice.setdefault(pad, f"Name the motor pad that drives ESC channel {channel}.")
    for pad, names in users.items():
        who = f"{together(names)} {'is' if len(names) == 1 else 'are'}"
        yield Hit(pad, f"The board has no pad {pad}, and {who} wired to it.", advice[pad])


@rule("lead-unknown", "stop")
def lead_unknown(wiring: Wiring) -> Iterator[Hit]:
    """A wire on a lead that its device does not have."""
    pads: dict[tuple[str, str], list[str]] = defaultdict(list)
    for joint in wiring.joints:
        if joint.lead is None and joint.wire.device in wiring.devices:
            pads[joint.wire.device, joint.wire.lead].append(joint.wire.pad)
    if not pads:
        return
    leads: dict[str, list[str]] = defaultdict(list)
    for device, name in wiring.leads:
        leads[device].append(name)
    for (device, lead), on in pads.items():
        where = together(on)
        has = f"Name one of its leads: {together(leads[device], 'or')}." if leads[device] else ""
        yield Hit(
            device,
            f"The {device} has no lead {lead}, and the sheet wires it to {where}.",
            has or f"Take the wire off {where}: the {device} has no leads.",
        )


@rule("device-unknown", "stop")
def device_unknown(wiring: Wiring) -> Iterator[Hit]:
    """A wire of a device that the sheet does not list."""
    pads: dict[str, list[str]] = defaultdict(list)
    for joint in wiring.joints:
        if joint.wire.device not in wiring.devices:
            pads[joint.wire.device].append(joint.wire.pad)
    for device, on in pads.items():
        where = together(on)
        yield Hit(
            device,
            f"Wires of {device} are on {where}, and the sheet lists no such device.",
            f"Add {device} to the sheet, or take its wires off {where}.",
        )
