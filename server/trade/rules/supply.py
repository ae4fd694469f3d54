"""What feeds each device, and what each rail can give."""

from collections.abc import Iterator
from decimal import Decimal
from functools import partial

from server.trade.exact import over_share, plain, total
from server.trade.finding import Bars, Severity
from server.trade.rules.advice import Advice
from server.trade.rules.registry import Hit, rule
from server.trade.rules.wording import sentence, together
from server.trade.sheet import PACK, Device, Rail
from server.trade.wiring.feeding import Volts, fed, on_usb, rail_volts
from server.trade.wiring.wiring import Wiring

LABEL = "the part's own label or data sheet; cell volts by the table of cells"
NEAR_PERCENT = 80


@rule("supply-too-high", "stop", source=LABEL, bars="power battery")
def supply_too_high(wiring: Wiring) -> Iterator[Hit]:
    """A rail, or the full pack, above what the device takes."""
    for part, rail, span in fed(wiring):
        high = rail_volts(wiring, rail)[1]
        if high > span[1]:
            full = "the full pack gives" if rail == PACK else f"rail {rail} gives"
            yield Hit(
                part.device,
                f"{sentence(full)} {plain(high)} V, and the {part.device} takes"
                f" {plain(span[1])} V at most.",
                partial(_refeed, part, span),
                bars=Bars.POWER if on_usb(wiring, rail) else Bars.BATTERY,
            )


@rule("supply-too-low", "stop", "caution", source=LABEL)
def supply_too_low(wiring: Wiring) -> Iterator[Hit]:
    """A rail, or the empty pack, below what the device needs; a caution where a full one is not."""
    for part, rail, span in fed(wiring):
        low, high = rail_volts(wiring, rail)
        if low < span[0]:
            empty = "the empty pack gives" if rail == PACK else f"rail {rail} gives"
            yield Hit(
                part.device,
                f"{sentence(empty)} {plain(low)} V, and the {part.device} needs"
                f" {plain(span[0])} V.",
                partial(_refeed, part, span),
                Severity.STOP if high < span[0] else Severity.CAUTION,
            )


def _refeed(part: Device, span: Volts, advice: Advice) -> str:
    volts = f"{plain(span[0])} to {plain(span[1])} V"
    last = f"No power pad of this board suits {volts} and has the current: feed the {part.device}"
    return _power_lead([part], f"{last} by a regulator of its own.", advice)


def _power_lead(parts: list[Device], otherwise: str, advice: Advice) -> str:
    return advice.for_ends([(part.device, part.power or "") for part in parts], otherwise)


@rule("supply-missing", "stop")
def supply_missing(wiring: Wiring) -> Iterator[Hit]:
    """A device whose power lead is not wired."""
    for part in wiring.sheet.devices:
        if part.power is not None and not wiring.joints_of(part.device, part.power):
            last = f"Wire the {part.device}'s {part.power} to a supply in its range; no power pad"
            yield Hit(
                part.device,
                f"{sentence(f'the {part.device}')} has no power: {part.power} is not wired.",
                partial(_power_lead, [part], f"{last} here suits."),
            )


@rule("ground-missing", "stop", bars="power")
def ground_missing(wiring: Wiring) -> Iterator[Hit]:
    """A device whose ground lead is not wired."""
    for part in wiring.sheet.devices:
        if part.ground is not None and not wiring.joints_of(part.device, part.ground):
            last = f"Wire the {part.device}'s {part.ground} to ground; the sheet lists no ground"
            yield Hit(
                part.device,
                f"{sentence(f'the {part.device}')} has no ground: {part.ground} is not wired.",
                partial(_ground_lead, part, f"{last} pad."),
            )


def _ground_lead(part: Device, otherwise: str, advice: Advice) -> str:
    return advice.for_ends([(part.device, part.ground or "")], otherwise)


def _loads(wiring: Wiring) -> Iterator[tuple[Rail, Decimal, Decimal, list[Device]]]:
    """Every rail of a known rating: its rating, what is known to be drawn, and by whom."""
    for name, rail in wiring.rails.items():
        if rail.amps is not None:
            parts = wiring.on_rail(name)
            known = [part.amps for part in parts if part.amps is not None]
            yield rail, rail.amps, total(known), parts


@rule("rail-overloaded", "stop", source="the board's own data sheet for the rail's rating")
def rail_overloaded(wiring: Wiring) -> Iterator[Hit]:
    """Devices that together draw more than the rail gives."""
    for rail, most, load, parts in _loads(wiring):
        if load > most:
            yield _loaded(rail, load, parts, f"and it gives {plain(most)} A")


@rule("rail-near-limit", "caution")
def rail_near_limit(wiring: Wiring) -> Iterator[Hit]:
    """Devices that together draw over 80 % of what the rail gives."""
    for rail, most, load, parts in _loads(wiring):
        if load <= most and over_share(load, most, NEAR_PERCENT):
            yield _loaded(rail, load, parts, f"over {NEAR_PERCENT} % of its {plain(most)} A")


def _loaded(rail: Rail, load: Decimal, parts: list[Device], limit: str) -> Hit:
    known = [part for part in parts if part.amps is not None]
    draw = "draws" if len(known) == 1 else "draw"
    who = together(f"the {part.device} ({plain(part.amps or 0)} A)" for part in known)
    heaviest = max(known, key=lambda part: part.amps or 0)
    says = f"{sentence(who)} {draw} {plain(load)} A from rail {rail.rail}, {limit}."
    last = f"Feed the {heaviest.device} by a supply of its own; no other rail of the board has room"
    return Hit(rail.rail, says, partial(_power_lead, parts, f"{last}."))
