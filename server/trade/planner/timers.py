"""Pads that work by a timer, in use in a wiring: which there are, and which share with motors."""

from collections.abc import Iterator

from server.trade.planner.facts import TIMED, SheetIndex
from server.trade.planner.outcome import Unsolved
from server.trade.rules.outputs import in_use, needs_its_timer, timer_clash
from server.trade.sheet.parts import Pad, Sheet
from server.trade.wiring.wiring import Wiring

WHY = "the board has no pad on another timer free for it; look in its pad list whether that hurts"


def matter(facts: SheetIndex) -> bool:
    """Whether any pad of the board could share a timer with a motor pad."""
    motors = {pad.timer for pad in facts.of_signal("motor")} - {None}
    return any(
        pad.timer in motors and (pad.signal in TIMED or facts.software(pad))
        for pad in facts.pads.values()
    )


def still(sheet: Sheet) -> list[Pad]:
    """Pads in use that work by a timer, those of lights left out."""
    wiring = Wiring(sheet)
    return [
        pad
        for pad in wiring.pads.values()
        if pad.signal != "led" and pad.timer is not None and needs_its_timer(wiring, pad)
        if any(in_use(joint) for joint in wiring.joints_at(pad.pad))
    ]


def clashing(sheet: Sheet) -> Iterator[Unsolved]:
    """Why leads on pads that share a motor's timer stay there, in a sheet that is planned."""
    wiring = Wiring(sheet)
    for hit in timer_clash(wiring):
        for joint in wiring.joints_at(hit.subject):
            if in_use(joint):
                yield Unsolved(joint.wire.device, joint.wire.lead, f"{hit.says[:-1]}: {WHY}")
