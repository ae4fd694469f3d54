"""Stage 'battery readings': what the meter says against what the craft shows."""

from collections.abc import Iterator
from decimal import Decimal

from server.trade.card.bench import LIVE, SETTING, Chapter, Draft, SheetView
from server.trade.card.current import pack_window
from server.trade.card.kinds.tick import Tick
from server.trade.card.kinds.value import Field, Near, Value
from server.trade.card.spec import Option
from server.trade.card.stages import hazards
from server.trade.card.text import places, plain
from server.trade.power import Power
from server.trade.tables.cells import CELLS

# A pilot who is warned here has time to come back before the cells are empty.
WARN_ABOVE_EMPTY = Decimal("0.2")
NEAR_MAH = Decimal(10), Decimal(5)
NEAR_VOLTS, NEAR_PERCENT = Decimal("0.1"), Decimal(1)


def drafts(bench: SheetView) -> Iterator[Draft]:
    """The warnings, the voltage against a meter, the current against a charger."""
    yield _warnings(bench)
    yield _volts(bench)
    yield _current(bench)


# Where the program shows the scale itself, the new one is worked out and not only the factor.
_SCALE = Field("scale", "The scale that is set now", "", optional=True)


def battery_parts(bench: SheetView) -> dict[str, str]:
    """The battery as a basis."""
    battery = bench.sheet.battery
    return {"battery": f"{battery.cells} cells {battery.chemistry}"}


def _warnings(bench: SheetView) -> Draft:
    battery = bench.sheet.battery
    land = CELLS[battery.chemistry].empty
    warn = land + WARN_ABOVE_EMPTY
    packs = f"{places(warn * battery.cells, 1)} V and {places(land * battery.cells, 1)} V"
    return Draft(
        key="battery/warnings",
        title="Set the battery warnings",
        do=(
            f"Set the number of cells to {battery.cells}, or leave it to be counted.",
            f"Set the warning to {plain(warn)} V a cell.",
            f"Set landing to {plain(land)} V a cell.",
            "Save the settings.",
        ),
        target=f"warn at {plain(warn)} V, land at {plain(land)} V a cell ({packs} for the pack)",
        why="Cells drawn below empty swell and burn at the next charge.",
        source="common practice, no source: LiPo warns at 3.5 V and lands at 3.3 V a cell",
        states=SETTING,
        evidence=Tick(f"{plain(warn)} and {plain(land)} V a cell"),
        parts=battery_parts(bench),
        setting="battery-warnings",
    )


def _volts(bench: SheetView) -> Draft:
    battery, (empty, full) = bench.sheet.battery, pack_window(bench.sheet.battery)
    return Draft(
        key="battery/volts",
        title="Read the battery with a meter and on the craft",
        do=(
            "Connect the battery.",
            "Read the meter on the battery's balance or main lead.",
            "Read the voltage that the craft shows.",
        ),
        target=(
            f"meter {places(empty, 2)} to {places(full, 2)} V; shown within 0.1 V or "
            "1 % of the meter, whichever is more"
        ),
        why=f"Empty to full, {battery.cells} {battery.chemistry} cells. A wrong one warns late.",
        source=f"{CELLS[battery.chemistry].source}; "
        "0.1 V or 1 % of a meter: common practice, no source",
        states=LIVE,
        evidence=Value(
            fields=(
                Field(
                    "meter",
                    "Volts on the meter",
                    "V",
                    low=empty,
                    high=full,
                    under="Unplug and charge the battery, or correct its cells in the sheet.",
                    over="Unplug. Correct the cells in the sheet, or take another battery.",
                ),
                Field(
                    "shown", "Volts on the craft", "V", near=Near("meter", NEAR_VOLTS, NEAR_PERCENT)
                ),
                _SCALE,
            ),
            fix="voltage-scale",
        ),
        parts=battery_parts(bench),
        hazard=hazards.LIPO,
        setting="battery-scale",
    )


def _current(bench: SheetView) -> Draft:
    return Draft(
        key="battery/current",
        title="Compare what the craft counted with what the charger put back",
        do=(
            "Take the mAh that the craft counted over one whole flight, from a full pack.",
            "Take the mAh that the charger put back afterwards, until the pack was full.",
        ),
        target="counted within 5 % of what was put back",
        why="A craft that counts too little says that there is charge left when there is none.",
        source="5 % or 10 mAh: common practice, no source",
        states=frozenset(Power),
        evidence=Value(
            fields=(
                Field("charger", "Put back by the charger", "mAh", low=Decimal(1)),
                Field("craft", "Counted by the craft", "mAh", near=Near("charger", *NEAR_MAH)),
                _SCALE,
            ),
            instead=(
                Option("no-flight", "There is no flight to compare yet", passes=True),
                Option("no-sensor", "The craft counts no current", passes=True),
            ),
            fix="current-scale",
        ),
        parts=battery_parts(bench),
        setting="current-scale",
        off_bench=True,
    )


CHAPTER = Chapter("battery", "Battery readings", "Battery", drafts)
