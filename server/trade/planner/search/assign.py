"""The cheapest one-to-one assignment of rows to columns, in whole numbers of any size.

Successive shortest paths with potentials (Kuhn 1955; the shortest-path form is that of Edmonds and
Karp 1972). scipy's `linear_sum_assignment` does the same on floats: it is the outside check in the
tests, and is not used here, since importing `scipy.optimize` takes longer than a whole plan, and
since costs packed into one integer are wider than a float holds exactly.
"""

from collections.abc import Mapping, Sequence

Column = int


def assign(rows: Sequence[Mapping[Column, int]]) -> list[Column]:
    """The column of each row such that no column is used twice and the sum of costs is least.

    A row gives its cost in each column that it may take. Raises ValueError where some row can have
    none; a row with a column of its own always can.
    """
    taken: dict[Column, int] = {}
    row_price = [min(row.values(), default=0) for row in rows]
    column_price: dict[Column, int] = {}
    for start in range(len(rows)):
        _augment(rows, start, taken, row_price, column_price)
    chosen = [0] * len(rows)
    for column, row in taken.items():
        chosen[row] = column
    return chosen


def _augment(
    rows: Sequence[Mapping[Column, int]],
    start: int,
    taken: dict[Column, int],
    row_price: list[int],
    column_price: dict[Column, int],
) -> None:
    """Give `start` a column along the cheapest alternating path, and reprice what it touched."""
    distance: dict[Column, int] = {}
    came_from: dict[Column, int] = {}
    done: dict[Column, int] = {}
    row, walked = start, 0
    while True:
        for column, cost in rows[row].items():
            if column not in done:
                through = walked + cost - row_price[row] - column_price.get(column, 0)
                if column not in distance or through < distance[column]:
                    distance[column], came_from[column] = through, row
        if not distance:
            raise ValueError(f"Row {start} can have no column.")
        nearest = min(distance, key=lambda column: (distance[column], column))
        walked = done[nearest] = distance.pop(nearest)
        if nearest not in taken:
            break
        row = taken[nearest]
    for column, length in done.items():
        if column in taken:
            row_price[taken[column]] += walked - length
        column_price[column] = column_price.get(column, 0) - (walked - length)
    row_price[start] += walked
    _flip(nearest, start, came_from, taken)


def _flip(end: Column, start: int, came_from: dict[Column, int], taken: dict[Column, int]) -> None:
    """Shift every row on the path to the column that it was reached by."""
    held = {row: column for column, row in taken.items()}
    column = end
    while True:
        row = came_from[column]
        taken[column] = row
        if row == start:
            return
        column = held[row]
