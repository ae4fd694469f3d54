"""The current that a craft draws at rest, from its sheet.

Seen from the battery, with the motors still. A part fed by the pack itself draws its own figure; a
part on a rail draws `amps * rail volts / (pack volts * efficiency)`, as behind a switching
regulator. The window is wide on purpose, since a sheet holds makers' figures and not measurements:

* low:  0.05 A for board and ESC, and a third of the parts' draws at a full pack, nothing lost;
* high: 0.30 A for board and ESC, and all of the parts' draws at an empty pack, 80 % efficient.

Source: none published. Common practice (a board without motors draws 0.1 to 0.6 A; a limiter of
1 to 2 A); the third, the 80 % and the board's own share are the shop trade's rules of thumb.
"""

from dataclasses import dataclass
from decimal import Decimal

from server.trade.battery.first_power import CurrentShare
from server.trade.card.bench import SheetView
from server.trade.card.text import plain, rounded_down, rounded_up
from server.trade.sheet import Battery
from server.trade.tables.cells import CELLS

SOURCE = "common practice, no source: a board without motors draws 0.1 to 0.6 A at rest"

BOARD_LEAST, BOARD_MOST = Decimal("0.05"), Decimal("0.30")
SHARE_LEAST = Decimal(1) / Decimal(3)
EFFICIENCY = Decimal("0.8")
_LIMITER_LEAST, _LIMITER_STEP = Decimal(1), Decimal("0.5")


@dataclass(frozen=True, slots=True)
class Draw:
    """What one wired part draws: its rail ('pack' for the battery), the rail's volts, its amps."""

    device: str
    rail: str
    volts: Decimal | None
    amps: Decimal


@dataclass(frozen=True, slots=True)
class Idle:
    """The window for the current at rest and the limiter's setting, in A."""

    low: Decimal
    high: Decimal
    limiter: Decimal


def pack_window(battery: Battery) -> tuple[Decimal, Decimal]:
    """Volts of the pack when empty and when full."""
    cell = CELLS[battery.chemistry]
    return cell.empty * battery.cells, cell.full * battery.cells


def draws(bench: SheetView) -> tuple[Draw, ...]:
    """Every part whose power lead is on a power pad, by name. A part on two rails counts once,
    on the first by name: such a sheet has a finding at `stop`."""
    rails = {rail.rail: rail.volts for rail in bench.sheet.board.rails}
    found = []
    for device in sorted(bench.sheet.devices, key=lambda d: d.device):
        pads = (bench.pads.get(name) for name in bench.pads_of(device.device, device.power))
        fed = sorted(pad.rail for pad in pads if pad and pad.rail)
        if fed:
            # A draw that no label tells counts as none here; the sheet's findings do the same.
            amps = Decimal(0) if device.amps is None else device.amps
            found.append(Draw(device.device, fed[0], rails.get(fed[0]), amps))
    return tuple(found)


def draw_parts(found: tuple[Draw, ...]) -> dict[str, str]:
    """The draws as a basis."""
    return {f"{d.device} fed from": f"{d.rail}, {plain(d.amps)} A" for d in found}


def idle(bench: SheetView) -> Idle:
    """The window by the module's rule, rounded outwards to 0.01 A.

    The limiter is set to the first half ampere that is not under the window, 1 A at least.
    """
    empty, full = pack_window(bench.sheet.battery)
    found = draws(bench)
    least = sum((_seen_from_pack(d, full) for d in found), Decimal(0))
    most = sum((_seen_from_pack(d, empty * EFFICIENCY) for d in found), Decimal(0))
    low = rounded_down(BOARD_LEAST + least * SHARE_LEAST, "0.01")
    high = rounded_up(BOARD_MOST + most, "0.01")
    halves = rounded_up(high / _LIMITER_STEP, "1")
    return Idle(low, high, max(_LIMITER_LEAST, halves * _LIMITER_STEP))


def shares(bench: SheetView) -> tuple[CurrentShare, ...]:
    """What each part adds to the window, the board first, rounded to 0.001 A."""
    empty, full = pack_window(bench.sheet.battery)
    parts = (
        CurrentShare(
            d.device,
            d.rail,
            _to_milliamps(_seen_from_pack(d, full) * SHARE_LEAST),
            _to_milliamps(_seen_from_pack(d, empty * EFFICIENCY)),
        )
        for d in draws(bench)
    )
    return (CurrentShare("board and ESC", "", BOARD_LEAST, BOARD_MOST), *parts)


def _to_milliamps(amps: Decimal) -> Decimal:
    return rounded_up(amps, "0.001")


def _seen_from_pack(draw: Draw, pack_volts: Decimal) -> Decimal:
    if draw.volts is None:
        return draw.amps
    return draw.amps * draw.volts / pack_volts
