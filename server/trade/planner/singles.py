"""Leads that belong to no link and need a pad of their own signal: bus, buzzer, camera, analogue.

Listening and bus leads may share a pad, so each is placed by itself. Analogue leads drive theirs,
one a pad, and go through the search like the links. Lights are in `lights.py`, for their timers.
"""

from collections.abc import Iterator

from server.trade.planner.claim import Claim
from server.trade.planner.cost import Cost
from server.trade.planner.facts import Facts
from server.trade.planner.options import Option, Row
from server.trade.planner.shift import Shift, shifts
from server.trade.sheet.parts import Device, Lead, Pad

DRIVING = "analogue"
TIMED = "led"


def wired_leads(facts: Facts, *signals: str) -> Iterator[tuple[Device, Lead, tuple[str, ...]]]:
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


def place_singles(facts: Facts) -> Iterator[tuple[str, str, str, tuple[Shift, ...], bool]]:
    """(device, lead, signal, moves, whether there is a pad) of every wired lead that may share."""
    for device, lead, wired in wired_leads(facts, "buzzer", "camera", "sda", "scl"):
        end = kept_or_first(wired, facts.of_signal(lead.signal))
        moved = shifts(lead.lead, wired, end)
        yield device.device, lead.lead, lead.signal, moved, end is not None


def analogue_rows(facts: Facts) -> Iterator[Row]:
    """The search's rows of the leads that drive an `analogue` pad."""
    for device, lead, wired in wired_leads(facts, DRIVING):
        off = shifts(lead.lead, wired, None)
        cost = Cost(unsolved=1, moves=len(off), touched=1).packed()
        options = tuple(
            _analogue(facts, device.device, lead.lead, wired, pad)
            for pad in facts.of_signal(DRIVING)
        )
        yield Row(device.device, options, Option(cost, Claim(), off))


def _analogue(facts: Facts, device: str, lead: str, wired: tuple[str, ...], pad: Pad) -> Option:
    moved = shifts(lead, wired, pad.pad)
    at = facts.pad_at[pad.pad]
    cost = Cost(
        moves=len(moved),
        touched=min(1, len(moved)),
        onto_others=int(bool(moved) and facts.shared(device, pad.pad)),
        later_pads=at,
    )
    claim = Claim(1 << at, column=2 * (len(facts.ports) + at))
    return Option(cost.packed(), claim, moved)
