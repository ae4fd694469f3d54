"""What a single pad can carry: one driver, leads of its kind, a level it takes."""

from collections.abc import Iterator
from decimal import Decimal
from functools import partial

from server.trade.exact import plain
from server.trade.finding import Bars
from server.trade.rules.advice import Advice
from server.trade.rules.names import FEEDING
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import sentence, together
from server.trade.wiring.leads import LeadView
from server.trade.wiring.wiring import Joint, WireStatus, Wiring

BUS = {"sda": "scl", "scl": "sda"}


@rule("pad-crowded", "stop")
def pad_crowded(wiring: Wiring) -> Iterator[Hit]:
    """Two leads that both drive one pad."""
    for pad in wiring.pads:
        joints = wiring.joints_at(pad)
        drivers = [joint for joint in joints if joint.drives] if len(joints) > 1 else []
        if len(drivers) > 1:
            names = together(f"the {j.wire.device}'s {j.wire.lead}" for j in drivers)
            many = "both" if len(drivers) == 2 else "all"
            says = f"{sentence(names)} {many} drive {pad}."
            yield Hit(pad, says, partial(_clear, [j.lead for j in drivers if j.lead], pad))


def _clear(drivers: list[LeadView], pad: str, advice: Advice) -> str:
    last = f"Take all but one lead off {pad}; the board has no free pad that suits."
    return advice.for_leads(drivers, last)


@rule("pad-wrong-signal", "stop", bars="signing power battery")
def pad_wrong_signal(wiring: Wiring) -> Iterator[Hit]:
    """A lead, or an ESC channel, on a pad of another kind."""
    for joint in wiring.joints:
        if joint.standing is WireStatus.WRONG_SIGNAL and joint.lead and joint.pad:
            pad = joint.pad
            says = f"{joint.lead.says} is on {pad.pad}, which is a {pad.signal} pad."
            bars = None
            if joint.lead.kind in FEEDING or pad.signal in FEEDING:
                bars = Bars.POWER
            elif pad.signal == "motor":
                bars = Bars.BATTERY
            yield Hit(pad.pad, sentence(says), partial(_own_pad, joint), bars=bars)
    for channel, name in wiring.sheet.esc.outputs.items():
        found = wiring.pads.get(name)
        if found is not None and found.signal != "motor":
            last = f"Name a motor pad for ESC channel {channel}; the board has none free."
            yield Hit(
                name,
                f"ESC channel {channel} is named to {name}, which is a {found.signal} pad.",
                partial(_channel, channel, last),
                bars=Bars.POWER if found.signal in FEEDING else Bars.BATTERY,
            )


def _channel(channel: str, last: str, advice: Advice) -> str:
    return advice.for_channels([channel], last)


def _own_pad(joint: Joint, advice: Advice) -> str:
    lead = joint.lead
    assert lead is not None  # a joint without a lead is adrift, and never of a wrong signal
    last = f"Take {lead.says} off {joint.wire.pad}; the board has no free pad for it."
    other = _exchanged_with(advice.wiring, joint)
    moves = advice.for_leads([lead, *([other] if other else [])], last)
    if other is None or " from " not in moves:
        return moves
    return f"Exchange the {lead.device.device}'s {lead.name} and {other.name}: {_lower(moves)}"


def _exchanged_with(wiring: Wiring, joint: Joint) -> LeadView | None:
    """The part's other bus lead, where the two are on each other's kind of pad."""
    lead, pad = joint.lead, joint.pad
    if lead is None or pad is None or BUS.get(lead.kind) != pad.signal:
        return None
    for other in lead.device.leads:
        if other.signal == pad.signal:
            for found in wiring.joints_of(lead.device.device, other.lead):
                if found.pad is not None and found.pad.signal == lead.kind:
                    return found.lead
    return None


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


@rule(
    "level-too-high",
    "stop",
    source="the board's own data sheet for the pad's highest voltage",
    bars="power signing",
)
def level_too_high(wiring: Wiring) -> Iterator[Hit]:
    """A lead that drives more volts than its pad takes."""
    for joint in wiring.joints:
        if not joint.drives or joint.lead is None or joint.pad is None:
            continue
        level, most = _level(joint.lead), joint.pad.max_v
        if level is not None and level > most:
            analogue = joint.pad.signal == "analogue"
            yield Hit(
                joint.pad.pad,
                f"{sentence(joint.lead.says)} drives {plain(level)} V, and {joint.pad.pad} takes"
                f" {plain(most)} V at most.",
                partial(_shifted, joint.lead, joint.pad.pad),
                bars=Bars.SIGNING if analogue else Bars.POWER,
            )


def _level(lead: LeadView) -> Decimal | None:
    """The volts that a lead drives; None for one whose level the sheet does not give."""
    if lead.link is not None:
        return lead.link.link.level_v
    levels = {own.lead: own.level_v for own in lead.device.leads if own.signal == "analogue"}
    return levels.get(lead.name)


def _shifted(lead: LeadView, pad: str, advice: Advice) -> str:
    if lead.link is None:
        return advice.for_leads([lead], f"Put a divider between {lead.says} and {pad}.")
    both_ways = " that works both ways" if lead.half_duplex else ""
    last = f"Put a level shifter{both_ways} between {lead.says} and {pad}."
    return advice.for_leads([lead], last)
