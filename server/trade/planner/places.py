"""Every place on a bare board where a link can run a protocol without a stop."""

from collections.abc import Iterator
from itertools import product
from typing import NamedTuple

from server.trade.planner.claim import HEARS, TALKS, Claim
from server.trade.planner.facts import SheetIndex, is_inverted
from server.trade.sheet.parts import Link, Pad, Port
from server.trade.tables.serial import Need, SerialLink


class Place(NamedTuple):
    """Where a protocol's own leads go, None for one that is left loose; and the cautions left.

    `clashes` is how many of the cautions are for a timer that motors use too.
    """

    pads: tuple[tuple[str, Pad | None], ...]
    claim: Claim
    cautions: int
    clashes: int = 0


def places(facts: SheetIndex, link: Link, protocol: SerialLink) -> Iterator[Place]:
    """Every place on the bare board where `link` would run `protocol` without a stop."""
    if protocol.baud is None:
        yield from _ppm_places(facts, link)
        return
    for port in facts.ports.values():
        if fits_port(facts, port, protocol):
            if protocol.one_wire:
                yield from _one_wire_places(facts, link, protocol, port)
            else:
                yield from _pair_places(facts, link, protocol, port)


def fits_port(facts: SheetIndex, port: Port, protocol: SerialLink) -> bool:
    """Whether a port is free of the board's own parts and fast enough."""
    return facts.is_free(port) and is_fast(port, protocol)


def is_fast(port: Port, protocol: SerialLink) -> bool:
    """Whether a port does the protocol's rate."""
    return port.max_baud is None or protocol.baud is None or protocol.baud <= port.max_baud


def inversion_at(facts: SheetIndex, pad: Pad, link: Link, protocol: SerialLink) -> int | None:
    """Cautions for the level of a link on a pad, 0 or 1; None where it cannot work there."""
    if not is_inverted(link, protocol):
        return None if pad.inverter else 0
    if pad.inverter or facts.inverts or facts.software(pad):
        return 0
    return 1 if facts.inverts is None else None


def _ppm_places(facts: SheetIndex, link: Link) -> Iterator[Place]:
    if link.tx is None:
        return
    for pad in facts.of_signal("ppm"):
        if link.level_v <= pad.max_v:
            column = 2 * (len(facts.ports) + facts.pad_at[pad.pad])
            clash = facts.clashes(pad)
            yield Place(((link.tx, pad),), Claim(bit(facts, pad), column=column), clash, clash)


def _one_wire_places(
    facts: SheetIndex, link: Link, protocol: SerialLink, port: Port
) -> Iterator[Place]:
    lead = link.one_wire or link.tx
    if lead is None:
        return
    for pad in facts.of_port(port.port, "tx"):
        cautions = inversion_at(facts, pad, link, protocol)
        if cautions is not None and link.level_v <= pad.max_v:
            claim = port_claim(facts, port, link, protocol, HEARS | TALKS, bit(facts, pad))
            clash = facts.clashes(pad)
            yield Place(((lead, pad),), claim, cautions + clash, clash)


def _pair_places(
    facts: SheetIndex, link: Link, protocol: SerialLink, port: Port
) -> Iterator[Place]:
    hears = _side(facts, port, link, protocol, "rx")
    talks = _side(facts, port, link, protocol, "tx")
    for (hear, first), (talk, second) in product(hears, talks):
        if hear is not None and link.level_v > hear.max_v:
            continue
        sides = (HEARS if hear is not None else 0) | (TALKS if talk is not None else 0)
        drives = bit(facts, hear) if hear is not None else 0
        leads = [(link.tx, hear, protocol.hear), (link.rx, talk, protocol.talk)]
        pads = tuple((lead, pad) for lead, pad, need in leads if lead and need is not Need.NO)
        clashes = sum(facts.clashes(pad) for pad in (hear, talk) if pad is not None)
        claim = port_claim(facts, port, link, protocol, sides, drives)
        yield Place(pads, claim, first + second + clashes, clashes)


def _side(
    facts: SheetIndex, port: Port, link: Link, protocol: SerialLink, signal: str
) -> list[tuple[Pad | None, int]]:
    """The pads that one direction can have, with their cautions; (None, …) for none at all."""
    hears = signal == "rx"
    need, lead = (protocol.hear, link.tx) if hears else (protocol.talk, link.rx)
    if need is Need.NO:
        return [(None, 0)]
    fitting: list[tuple[Pad | None, int]] = []
    if lead is not None:
        for pad in facts.of_port(port.port, signal):
            cautions = inversion_at(facts, pad, link, protocol)
            if cautions is not None:
                fitting.append((pad, cautions))
    return fitting if need is Need.MUST else [*fitting, (None, 1)]


def port_claim(
    facts: SheetIndex, port: Port, link: Link, protocol: SerialLink, sides: int, drives: int
) -> Claim:
    """The claim of `sides` of a port, as bits HEARS and TALKS, for a link and its protocol."""
    at = facts.port_at[port.port]
    column = 2 * at + (0 if sides & HEARS else 1)
    line = f"{protocol.line} inverted" if is_inverted(link, protocol) else protocol.line
    return Claim(drives, sides << 2 * at, at, line, column)


def bit(facts: SheetIndex, pad: Pad) -> int:
    """The pad's bit in a claim's `drives`."""
    return 1 << facts.pad_at[pad.pad]
