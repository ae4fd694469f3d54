"""What each rail gives, the pack included, and which power pads suit a device."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import islice

from server.trade.exact import times, total
from server.trade.sheet import PACK, Device
from server.trade.tables.cells import CELLS
from server.trade.wiring.seating import MOST_LOOKED_AT
from server.trade.wiring.wiring import Wiring


def pack_volts(wiring: Wiring) -> tuple[Decimal, Decimal]:
    """Volts of the whole pack, empty and full."""
    battery = wiring.sheet.battery
    cell = CELLS[battery.chemistry]
    return times(cell.empty, battery.cells), times(cell.full, battery.cells)


def rail_volts(wiring: Wiring, rail: str) -> tuple[Decimal, Decimal]:
    """Lowest and highest volts of a rail; both alike but on the pack."""
    if rail == PACK:
        return pack_volts(wiring)
    volts = wiring.rails[rail].volts
    return volts, volts


def fed(wiring: Wiring) -> Iterator[tuple[Device, str]]:
    """Devices fed by one rail, with the rail; a power lead that joins two is left out."""
    for device, rails in wiring.fed_by.items():
        if len(rails) == 1:
            yield wiring.devices[device], rails[0]


def suiting_pads(wiring: Wiring, part: Device) -> list[str]:
    """Power pads whose rail is in the device's range and has the current to spare."""
    pads = islice(wiring.pads_of_signal["power"], MOST_LOOKED_AT)
    return [pad.pad for pad in pads if pad.rail is not None and _suits(wiring, part, pad.rail)]


def _suits(wiring: Wiring, part: Device, rail: str) -> bool:
    low, high = rail_volts(wiring, rail)
    if low < part.supply_v[0] or high > part.supply_v[1]:
        return False
    if rail == PACK:
        return True
    others = [other.amps for other in wiring.on_rail(rail) if other is not part]
    return total([*others, part.amps]) <= wiring.rails[rail].amps
