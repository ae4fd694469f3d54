"""The options of one serial link: every protocol that it speaks, on every pad that can carry it."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from typing import NamedTuple

from server.trade.planner.claim import HEARS, TALKS, Claim
from server.trade.planner.cost import Cost
from server.trade.planner.facts import Facts, in_force, leads_of, ways
from server.trade.planner.search import Option, Row, Stay
from server.trade.planner.shift import Shift, shifts
from server.trade.sheet_parts import Device, Link, Pad, Port
from server.trade.tables.serial import SERIAL, Need, SerialLink


class Place(NamedTuple):
    """Where a protocol's own leads go. `cautions` are those that the place leaves standing."""

    pads: tuple[tuple[str, Pad | None], ...]
    claim: Claim
    cautions: int


def link_row(facts: Facts, device: Device, number: int, link: Link) -> Row:
    """The search's row for one link in use."""
    options = [
        _option(facts, device, link, protocol, place, idle)
        for word in link.speaks
        for protocol in [SERIAL[word]]
        for place in places(facts, link, protocol)
        for idle in _idle_choices(facts, device, link, protocol, place)
        if not idle.drives & place.claim.drives
    ]
    stays, off = _as_it_is(facts, device, link)
    cost = Cost(unsolved=1, moves=len(off), touched=min(1, len(off))).packed()
    return Row(
        device.device, tuple(options), Option(cost, Claim(), tuple(off)), tuple(stays), number
    )


def places(facts: Facts, link: Link, protocol: SerialLink) -> Iterator[Place]:
    """Every place on the bare board where `link` would run `protocol` without a stop."""
    if protocol.baud is None:
        yield from _ppm_places(facts, link)
        return
    for port in facts.ports.values():
        if fits_port(port, protocol):
            if protocol.one_wire:
                yield from _one_wire_places(facts, link, protocol, port)
            else:
                yield from _pair_places(facts, link, protocol, port)


def fits_port(port: Port, protocol: SerialLink) -> bool:
    """Whether a port is free of the board's own parts and fast enough."""
    fast = port.max_baud is None or protocol.baud is None or protocol.baud <= port.max_baud
    return port.taken_by is None and fast


def inversion_at(facts: Facts, pad: Pad, protocol: SerialLink) -> int | None:
    """Cautions for the level of a protocol on a pad, 0 or 1; None where it cannot work there."""
    if not protocol.inverted:
        return None if pad.inverter else 0
    if pad.inverter or facts.inverts:
        return 0
    return 1 if facts.inverts is None else None


def _ppm_places(facts: Facts, link: Link) -> Iterator[Place]:
    if link.tx is None:
        return
    for pad in facts.of_signal("ppm"):
        if link.level_v <= pad.max_v:
            column = 2 * (len(facts.ports) + facts.pad_at[pad.pad])
            yield Place(((link.tx, pad),), Claim(_bit(facts, pad), column=column), 0)


def _one_wire_places(facts: Facts, link: Link, protocol: SerialLink, port: Port) -> Iterator[Place]:
    lead = link.one_wire or link.tx
    if lead is None:
        return
    for pad in facts.of_port(port.port, "tx"):
        cautions = inversion_at(facts, pad, protocol)
        if cautions is not None and link.level_v <= pad.max_v:
            claim = _claim(facts, port, protocol, HEARS | TALKS, _bit(facts, pad))
            yield Place(((lead, pad),), claim, cautions)


def _pair_places(facts: Facts, link: Link, protocol: SerialLink, port: Port) -> Iterator[Place]:
    hears = _side(facts, port, protocol, protocol.hear, link.tx, "rx")
    talks = _side(facts, port, protocol, protocol.talk, link.rx, "tx")
    for (hear, first), (talk, second) in product(hears, talks):
        if hear is not None and link.level_v > hear.max_v:
            continue
        sides = (HEARS if hear is not None else 0) | (TALKS if talk is not None else 0)
        drives = _bit(facts, hear) if hear is not None else 0
        leads = [(link.tx, hear, protocol.hear), (link.rx, talk, protocol.talk)]
        pads = tuple((lead, pad) for lead, pad, need in leads if lead and need is not Need.NO)
        yield Place(pads, _claim(facts, port, protocol, sides, drives), first + second)


def _side(
    facts: Facts, port: Port, protocol: SerialLink, need: Need, lead: str | None, signal: str
) -> list[tuple[Pad | None, int]]:
    """The pads that one direction can have, with their cautions; (None, …) for none at all."""
    if need is Need.NO:
        return [(None, 0)]
    fitting: list[tuple[Pad | None, int]] = []
    if lead is not None:
        for pad in facts.of_port(port.port, signal):
            cautions = inversion_at(facts, pad, protocol)
            if cautions is not None:
                fitting.append((pad, cautions))
    return fitting if need is Need.MUST else [*fitting, (None, 1)]


def _claim(facts: Facts, port: Port, protocol: SerialLink, sides: int, drives: int) -> Claim:
    at = facts.port_at[port.port]
    column = 2 * at + (0 if sides & HEARS else 1)
    return Claim(drives, sides << 2 * at, at, protocol.line, column)


def _bit(facts: Facts, pad: Pad) -> int:
    return 1 << facts.pad_at[pad.pad]


class Idle(NamedTuple):
    """What becomes of the leads that the protocol has no use for."""

    shifts: tuple[Shift, ...] = ()
    drives: int = 0
    wired: int = 0


def _idle_choices(
    facts: Facts, device: Device, link: Link, protocol: SerialLink, place: Place
) -> list[Idle]:
    """Every sensible fate of the idle leads together: each is left where it harms none, or off."""
    used = {lead for lead, _ in place.pads}
    fates = [
        _idle_fates(facts, device, link, protocol, lead, drives)
        for lead, drives in leads_of(link)
        if lead not in used and facts.wired(device.device, lead)
    ]
    return [_together(choice) for choice in product(*fates)]


def _together(choice: Sequence[Idle]) -> Idle:
    moved = tuple(shift for idle in choice for shift in idle.shifts)
    drives = 0
    for idle in choice:
        drives |= idle.drives
    return Idle(moved, drives, len(choice))


def _idle_fates(
    facts: Facts, device: Device, link: Link, protocol: SerialLink, lead: str, drives: bool
) -> list[Idle]:
    wired = facts.wired(device.device, lead)
    harmless = {"rx"} if drives else {"rx", "tx"}
    if protocol.baud is None:
        harmless.add("ppm")
    kept = [
        Idle(shifts(lead, wired, pad.pad), _bit(facts, pad) if drives else 0)
        for pad in (facts.pads[name] for name in wired if name in facts.pads)
        if pad.signal in harmless and (not drives or link.level_v <= pad.max_v)
    ]
    if kept and not drives:
        return kept[:1]
    return [*kept, Idle(shifts(lead, wired, None))]


def _option(
    facts: Facts, device: Device, link: Link, protocol: SerialLink, place: Place, idle: Idle
) -> Option:
    moved = [*idle.shifts]
    for lead, pad in place.pads:
        moved += shifts(lead, facts.wired(device.device, lead), pad.pad if pad else None)
    now = in_force(link)
    changed = protocol is not now
    cost = Cost(
        cautions=place.cautions,
        given_up=len(ways(link, now) - ways(link, protocol)) if now else 0,
        moves=len(moved),
        changes=int(changed),
        touched=int(changed or bool(moved)),
        onto_others=sum(
            1 for s in moved if s.end is not None and facts.shared(device.device, s.lead, s.end)
        ),
        idle_leads=idle.wired,
        later_words=link.speaks.index(protocol.name),
        later_pads=sum(facts.pad_at[pad.pad] for _, pad in place.pads if pad),
    )
    claim = place.claim
    if idle.drives:
        claim = Claim(claim.drives | idle.drives, claim.sides, claim.port, claim.line, claim.column)
    return Option(cost.packed(), claim, tuple(moved), protocol.name if changed else None)


def _as_it_is(facts: Facts, device: Device, link: Link) -> tuple[list[Stay], list[Shift]]:
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


def _stay_claim(facts: Facts, link: Link, lead: str, drives: bool, pad: Pad) -> Claim:
    bit = _bit(facts, pad) if drives else 0
    protocol = in_force(link)
    sides = _held(link, protocol, lead, pad) if protocol is not None else 0
    if protocol is None or not sides or pad.port is None:
        return Claim(bit)
    return _claim(facts, facts.ports[pad.port], protocol, sides, bit)


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


def rows_of_links(facts: Facts) -> Iterable[Row]:
    """One row a link in use, in the order of the sheet."""
    return (link_row(facts, device, number, link) for device, number, link in facts.links())
