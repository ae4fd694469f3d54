"""The options of one serial link: every protocol that it speaks, on every pad that can carry it."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import product
from typing import NamedTuple

from server.trade.planner.claim import HEARS, TALKS, Claim
from server.trade.planner.cost import PlanCost
from server.trade.planner.facts import SheetIndex, in_force, leads_of, ways
from server.trade.planner.places import Place, bit, places, port_claim
from server.trade.planner.search.options import PlanOption, PlanRow, Stay
from server.trade.planner.search.thinning import undominated
from server.trade.planner.shift import Shift, shifts
from server.trade.sheet.parts import Device, Link, Pad
from server.trade.tables.serial import SERIAL, Need, SerialLink

TOUCHED = PlanCost(touched=1).packed()
# Idle wires of one link that may stay or come off as suits the others. Beyond these they come off:
# every further one would double the options, and no part has so many.
FREE_WIRES = 6


def rows_of_links(facts: SheetIndex) -> Iterable[PlanRow]:
    """The search's rows: one for every link in use, in the order of the sheet."""
    return (link_row(facts, device, number, link) for device, number, link in facts.links())


def link_row(facts: SheetIndex, device: Device, number: int, link: Link) -> PlanRow:
    """The search's row for one link in use."""
    rewiring = _Rewiring(facts, device.device)
    options = [option for word in link.speaks for option in _options(rewiring, link, SERIAL[word])]
    stays, off = _as_it_is(facts, device, link)
    cost = PlanCost(unsolved=1, moves=len(off), touched=min(1, len(off))).packed()
    aside = PlanOption(cost, Claim(), tuple(off))
    return PlanRow(device.device, tuple(undominated(options)), aside, tuple(stays), number)


class _End(NamedTuple):
    """One lead brought to one pad: its moves, and their part of the cost."""

    shifts: tuple[Shift, ...]
    cost: int


@dataclass(slots=True)
class _Rewiring:
    """The moves that bring a device's leads to pads, each worked out once."""

    facts: SheetIndex
    device: str
    known: dict[tuple[str, str | None], _End] = field(default_factory=dict)

    def end(self, lead: str, pad: Pad | None) -> _End:
        """What it takes to have `lead` on `pad` alone, or on none."""
        name = pad.pad if pad else None
        found = self.known.get((lead, name))
        if found is None:
            found = self.known[lead, name] = self._work_out(lead, pad, name)
        return found

    def _work_out(self, lead: str, pad: Pad | None, name: str | None) -> _End:
        moved = shifts(lead, self.facts.wired(self.device, lead), name)
        ends = [s.end for s in moved if s.end]
        crowds = [end for end in ends if self.facts.shared(self.device, end)]
        strange = [end for end in ends if self.facts.new_port(self.device, end)]
        later = self.facts.pad_at[pad.pad] if pad else 0
        cost = PlanCost(
            moves=len(moved), new_ports=len(strange), onto_others=len(crowds), later_pads=later
        )
        return _End(moved, cost.packed())


class _Idle(NamedTuple):
    """What becomes of a wire that the protocol has no use for, or of several together."""

    shifts: tuple[Shift, ...] = ()
    cost: int = 0
    drives: int = 0


def _options(rewiring: _Rewiring, link: Link, protocol: SerialLink) -> Iterator[PlanOption]:
    """The options of a link under one protocol: its places, each with every fate of idle leads."""
    now = in_force(link)
    setting = PlanCost(
        given_up=len(ways(link, now) - ways(link, protocol)) if now else 0,
        changes=int(protocol is not now),
        later_words=link.speaks.index(protocol.name),
    ).packed()
    changed = None if protocol is now else protocol.name
    idle_of: dict[tuple[str, ...], list[_Idle]] = {}
    for place in places(rewiring.facts, link, protocol):
        used = tuple(lead for lead, _ in place.pads)
        if used not in idle_of:
            idle_of[used] = _idle_choices(rewiring, link, protocol, used)
        ends = [rewiring.end(lead, pad) for lead, pad in place.pads]
        moved = [shift for end in ends for shift in end.shifts]
        cost = setting + PlanCost(cautions=place.cautions).packed() + sum(end.cost for end in ends)
        for idle in idle_of[used]:
            if not idle.drives & place.claim.drives:
                yield _option(place, cost, moved, idle, changed)


def _option(
    place: Place, cost: int, moved: list[Shift], idle: _Idle, changed: str | None
) -> PlanOption:
    claim = place.claim
    if idle.drives:
        claim = replace(claim, drives=claim.drives | idle.drives)
    whole = (*idle.shifts, *moved)
    touched = TOUCHED if whole or changed else 0
    return PlanOption(cost + idle.cost + touched, claim, whole, changed, place.clashes)


def _idle_choices(
    rewiring: _Rewiring, link: Link, protocol: SerialLink, used: Sequence[str]
) -> list[_Idle]:
    """Every sensible fate of the idle leads' wires together: left where they harm none, or off.

    The rules let an idle lead be forked, so each wire has a fate of its own.
    """
    fates: list[list[_Idle]] = []
    free = 0
    for lead, drives in leads_of(link):
        if lead not in used:
            for name in rewiring.facts.wired(rewiring.device, lead):
                fate = _idle_fates(rewiring.facts, link, protocol, Shift(lead, name, None), drives)
                free += len(fate) > 1
                fates.append(fate if free <= FREE_WIRES else fate[-1:])
    return [_together(choice) for choice in product(*fates)]


def _together(choice: Sequence[_Idle]) -> _Idle:
    moved = tuple(shift for idle in choice for shift in idle.shifts)
    drives = 0
    for idle in choice:
        drives |= idle.drives
    return _Idle(moved, PlanCost(moves=len(moved), idle_leads=len(choice)).packed(), drives)


def _idle_fates(
    facts: SheetIndex, link: Link, protocol: SerialLink, off: Shift, drives: bool
) -> list[_Idle]:
    """The fates of one idle wire, `off` being the last of them or the only one."""
    pad = facts.pads.get(off.start or "")
    harmless = {"rx"} if drives else {"rx", "tx"}
    if protocol.baud is None:
        harmless.add("ppm")
    if pad is None or pad.signal not in harmless or (drives and link.level_v > pad.max_v):
        return [_Idle((off,))]
    return [_Idle(drives=bit(facts, pad)), _Idle((off,))] if drives else [_Idle()]


def _as_it_is(facts: SheetIndex, device: Device, link: Link) -> tuple[list[Stay], list[Shift]]:
    """The wires that a link keeps when it is set aside, and those that must come off anyway.

    A serial lead on a pad that is not there or that carries no signal of its kind helps nobody
    where it is; taking it off leaves the other parts of the plan alone.
    """
    stays: list[Stay] = []
    off: list[Shift] = []
    for lead, drives in leads_of(link):
        for name in facts.wired(device.device, lead):
            pad = facts.pads.get(name)
            if pad is None or pad.signal not in ("rx", "tx", "ppm"):
                off.append(Shift(lead, name, None))
            else:
                stays.append(Stay(_stay_claim(facts, link, lead, drives, pad), lead, name))
    return stays, off


def _stay_claim(facts: SheetIndex, link: Link, lead: str, drives: bool, pad: Pad) -> Claim:
    driven = bit(facts, pad) if drives else 0
    protocol = in_force(link)
    sides = _held(link, protocol, lead, pad) if protocol is not None else 0
    if protocol is None or not sides or pad.port is None:
        return Claim(driven)
    return port_claim(facts, facts.ports[pad.port], link, protocol, sides, driven)


def _held(link: Link, protocol: SerialLink, lead: str, pad: Pad) -> int:
    """The sides that a lead holds under `protocol`; 0 for a misplaced or idle one."""
    if protocol.baud is None:
        return 0
    if protocol.one_wire:
        own = lead == (link.one_wire or link.tx)
        return HEARS | TALKS if own and pad.signal == "tx" else 0
    if lead == link.tx and pad.signal == "rx" and protocol.hear is not Need.NO:
        return HEARS
    if lead == link.rx and pad.signal == "tx" and protocol.talk is not Need.NO:
        return TALKS
    return 0
