"""Leads that belong to no link and need a pad of their own signal: bus, buzzer, picture, analogue.

Listening and bus leads may share a pad, so each is placed by itself. Analogue leads and those that
give a picture drive theirs, one a pad, and go through the search like the links. Lights are in
`lights.py`, for their timers.
"""

from collections.abc import Iterator

from server.trade.planner.claim import Claim
from server.trade.planner.cost import PlanCost
from server.trade.planner.facts import SheetIndex
from server.trade.planner.search.options import PlanOption, PlanRow, Stay
from server.trade.planner.shift import Shift, shifts
from server.trade.sheet.parts import Device, Lead, Pad
from server.trade.wiring.leads import PAD_OF_LEAD

DRIVING = ("analogue", "video-out")
BUS = {"sda": "scl", "scl": "sda"}
SHARING = ("buzzer", "camera", "sda", "scl", "video-in")
LIGHT = "led"


def wired_leads(facts: SheetIndex, *signals: str) -> Iterator[tuple[Device, Lead, tuple[str, ...]]]:
    """The leads of these signals that have a wire. One without a wire is no fault of the wiring."""
    for device in facts.sheet.devices:
        for lead in device.leads:
            wired = facts.wired(device.device, lead.lead)
            if lead.signal in signals and wired:
                yield device, lead, wired


def kept_or_first(wired: tuple[str, ...], fitting: list[Pad]) -> str | None:
    """The pad for a lead that may share: one that it is on already, else the first that fits."""
    names = [pad.pad for pad in fitting]
    kept = [name for name in wired if name in names]
    return next(iter(kept or names), None)


def place_singles(facts: SheetIndex) -> Iterator[tuple[str, str, str, tuple[Shift, ...], bool]]:
    """(device, lead, pad's signal, moves, whether there is a pad) of every lead that may share.

    Those that have a wire, and the loose lead of a bus whose other lead has one.
    """
    for device, lead, wired in [*wired_leads(facts, *SHARING), *_loose_of_a_bus(facts)]:
        signal = PAD_OF_LEAD.get(lead.signal, lead.signal)
        end = kept_or_first(wired, facts.of_signal(signal))
        moved = () if end is None and not wired else shifts(lead.lead, wired, end)
        yield device.device, lead.lead, signal, moved, end is not None


def _loose_of_a_bus(facts: SheetIndex) -> Iterator[tuple[Device, Lead, tuple[str, ...]]]:
    for device in facts.sheet.devices:
        wired = {lead.signal for lead in device.leads if facts.wired(device.device, lead.lead)}
        done = set(wired)
        for lead in device.leads:
            if BUS.get(lead.signal) in wired and lead.signal not in done:
                done.add(lead.signal)
                yield device, lead, ()


def rows_of_driving_leads(facts: SheetIndex) -> Iterator[PlanRow]:
    """The search's rows of the leads that drive a pad of their own kind."""
    for device, lead, wired in wired_leads(facts, *DRIVING):
        pads = facts.of_signal(PAD_OF_LEAD.get(lead.signal, lead.signal))
        names = {pad.pad for pad in pads}
        off = [Shift(lead.lead, name, None) for name in wired if name not in names]
        stays = [
            Stay(Claim(1 << facts.pad_at[name]), lead.lead, name) for name in wired if name in names
        ]
        cost = PlanCost(unsolved=1, moves=len(off), touched=min(1, len(off))).packed()
        options = tuple(
            _option(facts, device.device, lead.lead, wired, pad)
            for pad in pads
            if lead.signal != "analogue" or lead.level_v <= pad.max_v
        )
        aside = PlanOption(cost, Claim(), tuple(off))
        yield PlanRow(device.device, options, aside, tuple(stays), signal=lead.signal)


def _option(
    facts: SheetIndex, device: str, lead: str, wired: tuple[str, ...], pad: Pad
) -> PlanOption:
    moved = shifts(lead, wired, pad.pad)
    at = facts.pad_at[pad.pad]
    cost = PlanCost(
        moves=len(moved),
        touched=min(1, len(moved)),
        onto_others=int(bool(moved) and facts.shared(device, pad.pad)),
        later_pads=at,
    )
    claim = Claim(1 << at, column=2 * (len(facts.ports) + at))
    return PlanOption(cost.packed(), claim, moved)
