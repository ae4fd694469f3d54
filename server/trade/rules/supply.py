"""What feeds each device, and what each rail can give."""

from collections.abc import Iterator
from decimal import Decimal

from server.trade.exact import over_share, plain, total
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import sentence, together
from server.trade.sheet import PACK, Device, Rail
from server.trade.wiring.feeding import fed, rail_volts, suiting_pads
from server.trade.wiring.wiring import Wiring

LABEL = "the part's own label or data sheet; cell volts by the table of cells"
NEAR_PERCENT = 80


@rule("supply-too-high", "stop", source=LABEL)
def supply_too_high(wiring: Wiring) -> Iterator[Hit]:
    """A rail, or the full pack, above what the device takes."""
    for part, rail in fed(wiring):
        high = rail_volts(wiring, rail)[1]
        if high > part.supply_v[1]:
            full = "the full pack gives" if rail == PACK else f"rail {rail} gives"
            yield Hit(
                part.device,
                f"{sentence(full)} {plain(high)} V, and the {part.device} takes"
                f" {plain(part.supply_v[1])} V at most.",
                _refeed(wiring, part),
            )


@rule("supply-too-low", "stop", source=LABEL)
def supply_too_low(wiring: Wiring) -> Iterator[Hit]:
    """A rail, or the empty pack, below what the device needs."""
    for part, rail in fed(wiring):
        low = rail_volts(wiring, rail)[0]
        if low < part.supply_v[0]:
            empty = "the empty pack gives" if rail == PACK else f"rail {rail} gives"
            yield Hit(
                part.device,
                f"{sentence(empty)} {plain(low)} V, and the {part.device} needs"
                f" {plain(part.supply_v[0])} V.",
                _refeed(wiring, part),
            )


def _refeed(wiring: Wiring, part: Device) -> str:
    span = f"{plain(part.supply_v[0])} to {plain(part.supply_v[1])} V"
    pads = suiting_pads(wiring, part)
    if pads:
        return f"Move the {part.device}'s {part.power} to pad {together(pads, 'or')}."
    return f"No power pad of this board gives {span}: feed it by a regulator of its own."


@rule("supply-missing", "stop")
def supply_missing(wiring: Wiring) -> Iterator[Hit]:
    """A device whose power lead is not wired."""
    for part in wiring.sheet.devices:
        if part.power is not None and not wiring.joints_of(part.device, part.power):
            pads = suiting_pads(wiring, part)
            to = (
                f"pad {together(pads, 'or')}"
                if pads
                else "a supply in its range; no power pad here suits"
            )
            yield Hit(
                part.device,
                f"{sentence(f'the {part.device}')} has no power: {part.power} is not wired.",
                f"Wire the {part.device}'s {part.power} to {to}.",
            )


@rule("ground-missing", "stop")
def ground_missing(wiring: Wiring) -> Iterator[Hit]:
    """A device whose ground lead is not wired."""
    for part in wiring.sheet.devices:
        if part.ground is not None and not wiring.joints_of(part.device, part.ground):
            pads = together((pad.pad for pad in wiring.pads_of_signal["ground"]), "or")
            to = f"pad {pads}" if pads else "ground; the sheet lists no ground pad"
            yield Hit(
                part.device,
                f"{sentence(f'the {part.device}')} has no ground: {part.ground} is not wired.",
                f"Wire the {part.device}'s {part.ground} to {to}.",
            )


def _loads(wiring: Wiring) -> Iterator[tuple[Rail, Decimal, list[Device]]]:
    for name, rail in wiring.rails.items():
        parts = wiring.on_rail(name)
        yield rail, total(part.amps for part in parts), parts


@rule("rail-overloaded", "stop", source="the board's own data sheet for the rail's rating")
def rail_overloaded(wiring: Wiring) -> Iterator[Hit]:
    """Devices that together draw more than the rail gives."""
    for rail, load, parts in _loads(wiring):
        if load > rail.amps:
            yield _loaded(wiring, rail, load, parts, f"and it gives {plain(rail.amps)} A")


@rule("rail-near-limit", "caution")
def rail_near_limit(wiring: Wiring) -> Iterator[Hit]:
    """Devices that together draw over 80 % of what the rail gives."""
    for rail, load, parts in _loads(wiring):
        if load <= rail.amps and over_share(load, rail.amps, NEAR_PERCENT):
            limit = f"over {NEAR_PERCENT} % of its {plain(rail.amps)} A"
            yield _loaded(wiring, rail, load, parts, limit)


def _loaded(wiring: Wiring, rail: Rail, load: Decimal, parts: list[Device], limit: str) -> Hit:
    draw = "draws" if len(parts) == 1 else "draw"
    who = together(f"the {part.device} ({plain(part.amps)} A)" for part in parts)
    heaviest = max(parts, key=lambda part: part.amps)
    suiting = suiting_pads(wiring, heaviest)
    pads = [pad for pad in suiting if wiring.pads[pad].rail != rail.rail]
    away = f"Move the {heaviest.device}'s {heaviest.power} to"
    do = f"{away} pad {together(pads, 'or')}." if pads else f"{away} a supply of its own."
    return Hit(
        rail.rail, f"{sentence(who)} {draw} {plain(load)} A from rail {rail.rail}, {limit}.", do
    )
