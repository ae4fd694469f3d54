"""The cheapest way to seat rows at places, one row or one fitting pair a place, for every subset.

A table over all subsets of the rows, filled place by place: after each place it holds, for every
subset, the least cost of seating just these rows at the places so far. Exact for what it models;
the table doubles with every row, so it serves up to ROWS rows.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

ROWS = 13
FAR = 1 << 60  # more than any cost; two of them still fit into 64 bits

Table = NDArray[np.int64]


class Seat(NamedTuple):
    """One way to fill a place: which rows it seats (one or two, ascending), and for what."""

    rows: tuple[int, ...]
    cost: int


def seat(count: int, places: Sequence[Sequence[Seat]]) -> tuple[int, list[int | None]]:
    """The least sum of costs over all subsets of `count` rows, and the seat taken at each place.

    A row that is not seated costs nothing, so a seat that is worth taking has a negative cost. The
    answer names each place's seat by its number, None for an empty place.
    """
    table: Table = np.full(1 << count, FAR, dtype=np.int64)
    table[0] = 0
    tables = [table]
    for seats in places:
        table = table.copy()
        for each in seats:
            _offer(tables[-1], table, each)
        tables.append(table)
    return _traced(places, tables)


def _offer(before: Table, after: Table, each: Seat) -> None:
    """Lower the entries of all subsets that hold the seat's rows, where taking it is cheaper."""
    if len(each.rows) == 1:
        shape: tuple[int, ...] = (-1, 2, 1 << each.rows[0])
        old, new = before.reshape(shape)[:, 0], after.reshape(shape)[:, 1]
    else:
        low, high = each.rows
        shape = (-1, 2, 1 << (high - low - 1), 2, 1 << low)
        old, new = before.reshape(shape)[:, 0, :, 0], after.reshape(shape)[:, 1, :, 1]
    np.minimum(new, old + each.cost, out=new)


def _traced(
    places: Sequence[Sequence[Seat]], tables: Sequence[Table]
) -> tuple[int, list[int | None]]:
    subset = int(np.argmin(tables[-1]))
    least = int(tables[-1][subset])
    taken: list[int | None] = [None] * len(places)
    for at in range(len(places) - 1, -1, -1):
        cost = int(tables[at + 1][subset])
        if int(tables[at][subset]) == cost:
            continue
        for number, each in enumerate(places[at]):
            held = sum(1 << row for row in each.rows)
            if held & ~subset == 0 and int(tables[at][subset ^ held]) + each.cost == cost:
                taken[at], subset = number, subset ^ held
                break
    return least, taken
