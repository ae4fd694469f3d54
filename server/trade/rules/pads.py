"""What a single pad can carry: one driver, leads of its kind, a level it takes."""

from collections.abc import Iterator

from server.trade.exact import plain
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import MOST_NAMED, move_lead, sentence, together
from server.trade.wiring.wiring import Joint, Standing, Wiring


@rule("pad-crowded", "stop")
def pad_crowded(wiring: Wiring) -> Iterator[Hit]:
    """Two leads that both drive one pad."""
    for pad in wiring.pads:
        drivers = [joint for joint in wiring.joints_at(pad) if joint.drives]
        if len(drivers) > 1:
            names = together(f"the {j.wire.device}'s {j.wire.lead}" for j in drivers)
            many = "both" if len(drivers) == 2 else "all"
            yield Hit(pad, f"{sentence(names)} {many} drive {pad}.", _clear(wiring, drivers))


def _clear(wiring: Wiring, drivers: list[Joint]) -> str:
    """Move the later lead if it has somewhere to go, else an earlier one."""
    pad = drivers[0].wire.pad
    for joint in drivers[:-MOST_NAMED:-1]:
        advice = move_lead(wiring, joint, "")
        if advice:
            return advice
    return f"Take all but one lead off {pad}; the board has no free pad that suits."


@rule("pad-wrong-signal", "stop")
def pad_wrong_signal(wiring: Wiring) -> Iterator[Hit]:
    """A lead, or an ESC channel, on a pad of another kind."""
    for joint in wiring.joints:
        if joint.standing is Standing.WRONG_SIGNAL and joint.lead and joint.pad:
            pad = joint.pad
            kind = f"a {pad.signal} pad"
            says = f"{joint.lead.says} is on {pad.pad}, which is {kind}."
            otherwise = f"Take {joint.lead.says} off {pad.pad}; the board has no free pad for it."
            yield Hit(pad.pad, sentence(says), move_lead(wiring, joint, otherwise))
    for channel, name in wiring.sheet.esc.outputs.items():
        found = wiring.pads.get(name)
        if found is not None and found.signal != "motor":
            yield Hit(
                name,
                f"ESC channel {channel} is named to {name}, which is a {found.signal} pad.",
                f"Name a motor pad for ESC channel {channel}: {_motor_pads(wiring)}.",
            )


def _motor_pads(wiring: Wiring) -> str:
    used = set(wiring.sheet.esc.outputs.values())
    free = [pad.pad for pad in wiring.pads_of_signal["motor"] if pad.pad not in used]
    return together(free, "or") if free else "the board has none free"


@rule("level-too-high", "stop", source="the board's own data sheet for the pad's highest voltage")
def level_too_high(wiring: Wiring) -> Iterator[Hit]:
    """A lead that drives more volts than its pad takes."""
    for joint in wiring.joints:
        if not joint.drives or joint.lead is None or joint.lead.link is None or joint.pad is None:
            continue
        level, most = joint.lead.link.link.level_v, joint.pad.max_v
        if level > most:
            pad = joint.pad.pad
            yield Hit(
                pad,
                f"{sentence(joint.lead.says)} drives {plain(level)} V, and {pad} takes"
                f" {plain(most)} V at most.",
                move_lead(
                    wiring, joint, f"Put a level shifter between {joint.lead.says} and {pad}."
                ),
            )
