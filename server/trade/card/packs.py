"""Judging the pack that is to be connected: its cells as counted, its volts by a meter."""

from decimal import Decimal

from server.trade.battery.readings import MOST_CELLS, cell_counts, zone
from server.trade.card.answers import Answer, BadAnswer, number, only
from server.trade.card.evidence import Cells
from server.trade.card.judgement import Judgement, failed, passed
from server.trade.card.text import places, plain
from server.trade.tables.cells import CELLS

_OTHER = "Connect nothing. Take a pack that the map names, or correct the map."


def cells(spec: Cells, answer: Answer) -> Judgement:
    """The count against the map, the volts against the count; ends included.

    The volts alone never decide: what else they may mean is said beside it.
    """
    only(answer, ("cells", "volts"))
    counted, volts = _count(answer.get("cells")), number(answer.get("volts"), "volts", unit="V")
    if volts <= 0:
        raise BadAnswer("volts", "Enter the volts, above zero. Change the meter's tips over.")
    found = f"{counted} cells, {plain(volts)} V"
    possible = cell_counts(volts, spec.chemistry)
    result = {"cells": counted, "volts": plain(volts), "possible": list(possible)}
    says, do = _fault(spec, counted, volts)
    may = _may(volts, [n for n in possible if n != counted], counted)
    if says:
        return failed(f"{says} {may}".strip(), do, found, result)
    each = f"{places(volts / counted, 2)} V a cell."
    return passed(f"{plain(volts)} V on {counted} cells, {each} {may}".strip(), found, result)


def _count(value: object) -> int:
    read = number(value, "cells")
    if read != read.to_integral_value() or not 1 <= read <= MOST_CELLS:
        raise BadAnswer("cells", f"Enter the number of cells, 1 to {MOST_CELLS}.")
    return int(read)


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
