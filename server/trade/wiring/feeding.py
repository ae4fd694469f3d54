"""What each rail gives, the pack included, and which rails feed whom."""

from collections.abc import Iterator
from decimal import Decimal

from server.trade.exact import times
from server.trade.sheet import PACK, Device
from server.trade.tables.cells import CELLS
from server.trade.wiring.wiring import Wiring

Volts = tuple[Decimal, Decimal]


def pack_volts(wiring: Wiring) -> Volts:
    """Volts of the whole pack, empty and full."""
    battery = wiring.sheet.battery
    cell = CELLS[battery.chemistry]
    return times(cell.empty, battery.cells), times(cell.full, battery.cells)


def rail_volts(wiring: Wiring, rail: str) -> Volts:
    """Lowest and highest volts of a rail; both alike but on the pack."""
    if rail == PACK:
        return pack_volts(wiring)
    volts = wiring.rails[rail].volts
    return volts, volts


def on_usb(wiring: Wiring, rail: str) -> bool:
    """Whether a rail counts as live with the USB lead alone.

    Where the sheet does not say what USB feeds, every rail does but the pack.
    """
    feeds = wiring.sheet.board.usb_feeds
    return rail != PACK if feeds is None else rail in feeds


def fed(wiring: Wiring) -> Iterator[tuple[Device, str, Volts]]:
    """Devices fed by one rail, with the rail and the range that they take.

    A power lead that joins two rails is left out.
    """
    for name, rails in wiring.fed_by.items():
        part = wiring.devices[name]
        if len(rails) == 1 and part.supply_v is not None:
            yield part, rails[0], part.supply_v
