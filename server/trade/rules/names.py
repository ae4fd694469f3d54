"""Wires and ESC channels that name what is not there."""

from collections import defaultdict
from collections.abc import Iterable, Iterator

from server.trade.finding import Bars, gravest
from server.trade.rules.advice import Adviser
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import together
from server.trade.wiring.wiring import Joint, Wiring

FEEDING = ("power", "ground")


@rule("pad-unknown", "stop", bars="signing power")
def pad_unknown(wiring: Wiring) -> Iterator[Hit]:
    """A wire or an ESC channel on a pad that the board does not have."""
    joints: dict[str, list[Joint]] = defaultdict(list)
    channels: dict[str, list[str]] = defaultdict(list)
    for joint in wiring.joints:
        if joint.pad is None:
            joints[joint.wire.pad].append(joint)
    for channel, pad in wiring.sheet.esc.outputs.items():
        if pad not in wiring.pads:
            channels[pad].append(channel)
    for pad in dict.fromkeys([*joints, *channels]):
        on = joints[pad]
        names = [f"the {j.wire.device}'s {j.wire.lead}" for j in on]
        names += [f"ESC channel {channel}" for channel in channels[pad]]
        feeds = any(j.lead is not None and j.lead.kind in FEEDING for j in on)
        yield Hit(
            pad,
            f"The board has no pad {pad}, and {together(names)}"
            f" {'is' if len(names) == 1 else 'are'} wired to it.",
            _elsewhere(pad, on, channels[pad]),
            bars=Bars.POWER if feeds else None,
        )


def _elsewhere(pad: str, joints: Iterable[Joint], channels: list[str]) -> Adviser:
    ends = [(joint.wire.device, joint.wire.lead) for joint in joints]
    leads = [joint.lead for joint in joints if joint.lead is not None]
    says = f"Name a pad of the board in place of {pad}, or take the wire off."
    return lambda advice: advice.for_leads(
        leads, advice.for_ends(ends, advice.for_channels(channels, says))
    )


@rule("lead-unknown", "stop", bars="signing power battery")
def lead_unknown(wiring: Wiring) -> Iterator[Hit]:
    """A wire on a lead that its device does not have."""
    joints: dict[tuple[str, str], list[Joint]] = defaultdict(list)
    for joint in wiring.joints:
        if joint.lead is None and joint.wire.device in wiring.devices:
            joints[joint.wire.device, joint.wire.lead].append(joint)
    if not joints:
        return
    leads: dict[str, list[str]] = defaultdict(list)
    for device, name in wiring.leads:
        leads[device].append(name)
    for (device, lead), on in joints.items():
        where = together(joint.wire.pad for joint in on)
        off = f"take the wire off {where}"
        has = f"Name one of its leads: {together(leads[device], 'or')}; or {off}."
        yield Hit(
            device,
            f"The {device} has no lead {lead}, and the sheet wires it to {where}.",
            has if leads[device] else f"T{off[1:]}: the {device} has no leads.",
            bars=gravest(_barred_by(joint) for joint in on),
        )


def _barred_by(joint: Joint) -> Bars:
    if joint.pad is not None and joint.pad.signal in FEEDING:
        return Bars.POWER
    # A serial line at rest is high, which can turn a brushed motor.
    on_motor = joint.pad is not None and joint.pad.signal == "motor"
    return Bars.BATTERY if on_motor else Bars.SIGNING


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
