"""The battery against board and ESC, and the motors against the ESC."""

from collections.abc import Iterator
from decimal import Decimal

from server.trade.exact import over_share, plain, times
from server.trade.finding import Severity
from server.trade.rules.registry import Hit, rule
from server.trade.rules.supply import NEAR_PERCENT
from server.trade.tables.cells import CELLS
from server.trade.wiring.feeding import Volts, pack_volts
from server.trade.wiring.wiring import Wiring

ESC = "ESC"
HIGH_CHARGE, USUAL_CHARGE = "LiHV", CELLS["LiPo"].full


def _on_the_pack(wiring: Wiring) -> Iterator[tuple[str, Volts]]:
    """What the pack feeds directly, with its range."""
    yield "board", wiring.sheet.board.supply_v
    yield ESC, wiring.sheet.esc.supply_v


def _pack(wiring: Wiring) -> str:
    battery = wiring.sheet.battery
    if battery.cells == 1:
        return f"1 cell of {battery.chemistry} gives"
    return f"{battery.cells} cells of {battery.chemistry} give"


@rule("pack-too-high", "stop", "caution", bars="battery")
def pack_too_high(wiring: Wiring) -> Iterator[Hit]:
    """The full pack above what board or ESC takes; a caution where only the last charge is."""
    battery = wiring.sheet.battery
    full = pack_volts(wiring)[1]
    for subject, (_, high) in _on_the_pack(wiring):
        if full > high:
            usual = times(USUAL_CHARGE, battery.cells)
            spared = battery.chemistry == HIGH_CHARGE and usual <= high
            charge = f"Charge it to {USUAL_CHARGE} V a cell and no further"
            yield Hit(
                subject,
                f"{_pack(wiring)} {plain(full)} V when full, and the {subject} takes"
                f" {plain(high)} V at most.",
                f"{charge}, and say so to the customer."
                if spared
                else f"Use a pack of fewer cells, or another {subject}.",
                Severity.CAUTION if spared else Severity.STOP,
                CELLS[battery.chemistry].source,
            )


@rule("pack-too-low", "stop", "caution")
def pack_too_low(wiring: Wiring) -> Iterator[Hit]:
    """The pack below what board or ESC needs; a caution where only an empty one is."""
    empty, full = pack_volts(wiring)
    for subject, (low, _) in _on_the_pack(wiring):
        if empty < low:
            spared = full >= low
            yield Hit(
                subject,
                f"{_pack(wiring)} {plain(empty)} V when empty, and the {subject} needs"
                f" {plain(low)} V.",
                f"Set the battery warning above {plain(low)} V for the pack, and land on it."
                if spared
                else f"Use a pack of more cells, or another {subject}.",
                Severity.CAUTION if spared else Severity.STOP,
                CELLS[wiring.sheet.battery.chemistry].source,
            )


def _peak(wiring: Wiring) -> tuple[Decimal, Decimal] | None:
    """A motor's peak and what the ESC gives for a moment; None where either is not known."""
    esc, peak = wiring.sheet.esc, wiring.sheet.motors.peak_amps
    most = esc.amps if esc.burst_amps is None else esc.burst_amps
    return None if peak is None or most is None else (peak, most)


@rule("esc-short-of-current", "caution", source="the ESC's own data sheet for its rating")
def esc_short_of_current(wiring: Wiring) -> Iterator[Hit]:
    """A motor draws more at its peak than the ESC gives for a moment."""
    known = _peak(wiring)
    if known is not None and known[0] > known[1]:
        yield Hit(
            ESC,
            f"A motor draws {plain(known[0])} A at its peak, and the ESC gives"
            f" {plain(known[1])} A.",
            "Look up the ESC's rating for a burst; limit the throttle, or fit one that gives more.",
        )


@rule("esc-near-limit", "note", holds_for="craft")
def esc_near_limit(wiring: Wiring) -> Iterator[Hit]:
    """A motor draws over 80 % of what the ESC gives for a moment."""
    known = _peak(wiring)
    if known is not None and known[0] <= known[1] and over_share(*known, NEAR_PERCENT):
        yield Hit(
            ESC,
            f"A motor draws {plain(known[0])} A at its peak, over {NEAR_PERCENT} % of the ESC's"
            f" {plain(known[1])} A.",
            "Fit an ESC of a higher rating, or limit the throttle.",
        )
