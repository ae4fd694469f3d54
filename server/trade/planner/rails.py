"""Which rails can feed a device, and what each rail can give, in exact whole numbers."""

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import lcm

from server.trade.planner.facts import SheetIndex
from server.trade.sheet.parts import PACK, Device
from server.trade.tables.cells import CELLS

NEAR = Fraction(8, 10)  # over this share of its rating a rail is near its limit


@dataclass(frozen=True, slots=True)
class RailLoad:
    """A rail that has a pad. `low` and `high` in V; `limit` and `near` in the units of the draws.

    limit: None for the pack, which is never overloaded, and for a rail of unknown rating.
    """

    name: str
    low: Decimal
    high: Decimal
    limit: int | None
    near: int | None
    pads: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Supply:
    """The rails of a board in board order, the pack last, and each device's draw."""

    rails: tuple[RailLoad, ...]
    draws: dict[str, int]

    def rail_of(self, pad: str) -> int | None:
        """The number of the rail behind a pad; None for a pad that is no power pad."""
        return next((at for at, rail in enumerate(self.rails) if pad in rail.pads), None)


def read_supply(facts: SheetIndex) -> Supply:
    """The rails and draws of a sheet, scaled so that 80 % of a rating is a whole number too."""
    board = facts.sheet.board
    devices = facts.sheet.devices
    ratings = [Fraction(rail.amps) for rail in board.rails if rail.amps is not None]
    amounts = [rating * part for rating in ratings for part in (NEAR, 1)]
    amounts += [Fraction(device.amps or 0) for device in devices]
    scale = lcm(1, *(amount.denominator for amount in amounts))
    rails = [
        RailLoad(
            rail.rail,
            rail.volts,
            rail.volts,
            None if rail.amps is None else int(Fraction(rail.amps) * scale),
            None if rail.amps is None else int(Fraction(rail.amps) * NEAR * scale),
            _pads(facts, rail.rail),
        )
        for rail in board.rails
    ]
    low, high = pack_volts(facts)
    rails.append(RailLoad(PACK, low, high, None, None, _pads(facts, PACK)))
    return Supply(
        tuple(rails), {device.device: int(Fraction(device.amps or 0) * scale) for device in devices}
    )


def pack_volts(facts: SheetIndex) -> tuple[Decimal, Decimal]:
    """The pack's voltage empty and full, in V."""
    battery = facts.sheet.battery
    cell = CELLS[battery.chemistry]
    return battery.cells * cell.empty, battery.cells * cell.full


def in_range(rail: RailLoad, device: Device) -> int | None:
    """Cautions for a device on a rail: 1 where only the empty pack is under its range, else 0.

    None where the rail is out of its range.
    """
    if device.supply_v is None:
        return None
    low, high = device.supply_v
    if rail.high > high or rail.high < low:
        return None
    return int(rail.low < low)


def _pads(facts: SheetIndex, rail: str) -> tuple[str, ...]:
    return tuple(pad.pad for pad in facts.of_signal("power") if pad.rail == rail)
