"""The pack that is to be connected: its cells as counted, its volts by a meter."""

from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from typing import Any, ClassVar

from server.trade.battery.readings import MOST_CELLS, cell_counts, zone
from server.trade.card.answers import Answer, BadAnswer, each, number, only
from server.trade.card.judgement import Judgement, failed, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.spec import Spec
from server.trade.card.text import places, plain
from server.trade.tables.cells import CELLS

_OTHER = "Connect nothing. Take a pack that the map names, or correct the map."
_STORED = Decimal("3.85")  # V a cell of a pack put away: common practice, no source


@dataclass(frozen=True, slots=True)
class Cells(Spec):
    """`{"cells": "6", "volts": "23.1"}`, a pack's cells as counted on it and its volts by a
    meter"""

    # `chemistry` and `wanted` are the sheet's.
    kind: ClassVar[str] = "cells"
    chemistry: str = "LiPo"
    wanted: int = 4


@dataclass(frozen=True, slots=True)
class Pack:
    """Cells as counted, volts as measured."""

    cells: int
    volts: Decimal


@register
class CellsKind(WholeKind[Cells, Pack]):
    name = "cells"
    spec = Cells

    def read(self, spec: Cells, given: Answer) -> Pack:
        only(given, ("cells", "volts"))
        read = each(
            (
                ("cells", partial(_count, given.get("cells"))),
                ("volts", partial(_volts, given.get("volts"))),
            )
        )
        return Pack(int(read["cells"]), read["volts"])

    def write(self, answer: Pack) -> dict[str, Any]:
        return {"cells": str(answer.cells), "volts": plain(answer.volts)}

    def judge(self, spec: Cells, answer: Pack, before: Results) -> Judgement:
        """The count against the map, the volts against the count; ends included.

        The volts alone never decide: what else they may mean is said beside it.
        """
        counted, volts = answer.cells, answer.volts
        found = f"{counted} cells, {plain(volts)} V"
        possible = cell_counts(volts, spec.chemistry)
        result = {"cells": counted, "volts": plain(volts), "possible": list(possible)}
        says, do = _fault(spec, counted, volts)
        may = _may(volts, [n for n in possible if n != counted], counted)
        if says:
            return failed(f"{says} {may}".strip(), do, found, result)
        a_cell = f"{places(volts / counted, 2)} V a cell."
        return passed(f"{plain(volts)} V on {counted} cells, {a_cell} {may}".strip(), found, result)

    def paper(self, spec: Cells) -> tuple[Blank, ...]:
        return Blank("cells counted"), Blank("pack", unit="V")

    def example(self, spec: Cells) -> tuple[Pack, ...]:
        return (Pack(spec.wanted, spec.wanted * _STORED),)


def _count(value: object) -> Decimal:
    read = number(value, "cells")
    if read != read.to_integral_value() or not 1 <= read <= MOST_CELLS:
        raise BadAnswer("cells", f"Enter the number of cells, 1 to {MOST_CELLS}.")
    return read


def _volts(value: object) -> Decimal:
    read = number(value, "volts", unit="V")
    if read <= 0:
        raise BadAnswer("volts", "Enter the volts, above zero. Change the meter's tips over.")
    return read


def _fault(spec: Cells, counted: int, volts: Decimal) -> tuple[str, str]:
    if counted != spec.wanted:
        return f"The pack has {counted} cells; the map says {spec.wanted}.", _OTHER
    flat, full = zone(counted, spec.chemistry)
    empty = CELLS[spec.chemistry].empty * counted
    name = f"{counted} {spec.chemistry} cells"
    if volts > full:
        over = f"{plain(volts)} V is over {plain(full)} V, the most that {name} hold."
        return over, "Connect nothing. Count the cells again, and read the meter again."
    if volts < flat:
        under = f"{plain(volts)} V is under {plain(flat)} V: a cell may be dead."
        return (
            under,
            "Connect nothing. Measure each cell on the balance lead; never charge a dead one.",
        )
    if volts < empty:
        low = f"{plain(volts)} V is under {plain(empty)} V, an empty pack of {name}."
        return low, "Charge it, or take another, before anything is judged by its volts."
    return "", ""


def _may(volts: Decimal, others: list[int], counted: int) -> str:
    """The ambiguous zone in words."""
    if not others:
        return ""
    low = [n for n in others if n > counted]
    full = [n for n in others if n < counted]
    said = [f"a low pack of {' or '.join(map(str, low))}"] if low else []
    said += [f"a fuller one of {' or '.join(map(str, full))}"] if full else []
    return f"By its volts alone it may be {', or '.join(said)} cells: the count decides."
