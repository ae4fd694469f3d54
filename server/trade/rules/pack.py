"""The battery against board and ESC, and the motors against the ESC."""

from collections.abc import Iterator
from decimal import Decimal

from server.trade.exact import over_share, plain
from server.trade.rules.registry import Hit, rule
from server.trade.rules.supply import NEAR_PERCENT
from server.trade.tables.cells import CELLS
from server.trade.wiring.feeding import pack_volts
from server.trade.wiring.wiring import Wiring

ESC = "ESC"


def _on_the_pack(wiring: Wiring) -> Iterator[tuple[str, tuple[Decimal, Decimal]]]:
    """What the pack feeds directly, with its range."""
    yield "board", wiring.sheet.board.supply_v
    yield ESC, wiring.sheet.esc.supply_v


def _pack(wiring: Wiring) -> str:
    battery = wiring.sheet.battery
    if battery.cells == 1:
        return f"1 cell of {battery.chemistry} gives"
    return f"{battery.cells} cells of {battery.chemistry} give"


@rule("pack-too-high", "stop")
def pack_too_high(wiring: Wiring) -> Iterator[Hit]:
    """The full pack is above what board or ESC takes."""
    full = pack_volts(wiring)[1]
    for subject, (_, high) in _on_the_pack(wiring):
        if full > high:
            yield Hit(
                subject,
                f"{_pack(wiring)} {plain(full)} V when full, and the {subject} takes"
                f" {plain(high)} V at most.",
                f"Use a pack of fewer cells, or another {subject}.",
                source=CELLS[wiring.sheet.battery.chemistry].source,
            )


@rule("pack-too-low", "stop")
def pack_too_low(wiring: Wiring) -> Iterator[Hit]:
    """The empty pack is below what board or ESC needs."""
    empty = pack_volts(wiring)[0]
    for subject, (low, _) in _on_the_pack(wiring):
        if empty < low:
            yield Hit(
                subject,
                f"{_pack(wiring)} {plain(empty)} V when empty, and the {subject} needs"
                f" {plain(low)} V.",
                f"Use a pack of more cells, or another {subject}.",
                source=CELLS[wiring.sheet.battery.chemistry].source,
            )


@rule("esc-short-of-current", "stop", source="the ESC's own data sheet for its rating")
def esc_short_of_current(wiring: Wiring) -> Iterator[Hit]:
    """A motor draws more at its peak than the ESC gives."""
    peak, amps = wiring.sheet.motors.peak_amps, wiring.sheet.esc.amps
    if peak > amps:
        yield Hit(
            ESC,
            f"A motor draws {plain(peak)} A at its peak, and the ESC gives {plain(amps)} A.",
            "Fit an ESC of a higher rating, or motors or props that draw less.",
        )


@rule("esc-near-limit", "caution")
def esc_near_limit(wiring: Wiring) -> Iterator[Hit]:
    """A motor draws over 80 % of the ESC's rating at its peak."""
    peak, amps = wiring.sheet.motors.peak_amps, wiring.sheet.esc.amps
    if peak <= amps and over_share(peak, amps, NEAR_PERCENT):
        yield Hit(
            ESC,
            f"A motor draws {plain(peak)} A at its peak, over {NEAR_PERCENT} % of the ESC's"
            f" {plain(amps)} A.",
            "Fit an ESC of a higher rating, or limit the throttle.",
        )
