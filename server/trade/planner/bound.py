"""What a node of the search costs at least, and the choice that comes to it.

The first bound is an assignment: a row a column, a column a port side or a pad. It forgets clashes
between unlike claims on one port. Where its choice has a clash, the second bound seats rows at
ports exactly, two on one port where they may share it; it forgets only what idle and set-aside
wires stand in the way of. The third, the second with charges, remembers those as well: who takes
what such a wire is on pays for its move, and its own row is let off that move.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from server.trade.planner.assign import assign
from server.trade.planner.claim import HEARS, TALKS, Claim
from server.trade.planner.cost import MOVE, NARROW_BITS, decisive, narrow, widened
from server.trade.planner.options import Node, Option, Row

ALONE = 1 << 40  # columns from here on belong to one row only
NARROW_MOVE = narrow(MOVE)
BOUND_TO_SIT = 1 << NARROW_BITS + 4  # more than all rows set aside


class Relaxed(NamedTuple):
    """The bound on the decisive counts, the choice that has it, what each row is bound to claim."""

    bound: int
    chosen: list[Option]
    certain: list[Claim]


def by_assignment(rows: Sequence[Row], node: Node) -> Relaxed | None:
    """The assignment bound; None where a row that must be placed has no place left."""
    certain = node.certain()
    ways: list[dict[int, Option]] = []
    costs: list[dict[int, int]] = []
    for at, pool in enumerate(node.pools):
        way: dict[int, Option] = {}
        for option in pool:
            way.setdefault(option.claim.column, option)
        cost = {column: option.cost for column, option in way.items()}
        if node.leavable[at]:
            way[ALONE + at] = rows[at].aside
            cost[ALONE + at] = node.aside_cost(rows, at, certain)
        ways.append(way)
        costs.append(cost)
    try:
        columns = assign(costs)
    except ValueError:
        return None
    bound = sum(cost[column] for cost, column in zip(costs, columns, strict=True))
    chosen = [way[column] for way, column in zip(ways, columns, strict=True)]
    return Relaxed(decisive(bound), chosen, certain)


Wires = frozenset[tuple[int, int]]  # stays, by row and number


def by_seats(
    rows: Sequence[Row], node: Node, first: Relaxed, charged: Wires = frozenset()
) -> Relaxed | None:
    """The second bound, the third with wires in `charged`; `first` for more rows than it serves.

    Why charging is sound: what such a wire is on is used by one placed row at most. Is that its own
    row, nothing changes. Is it another, the wire is moved or comes off, which costs the move that
    the other is charged; if the wire's row is placed elsewhere, it is let off one move that it
    either has paid or did not owe.
    """
    # Most plans end at the first bound, and numpy takes longer to load than they do.
    from server.trade.planner.subsets import ROWS, Seat, seat

    seated = [at for at, pool in enumerate(node.pools) if pool]
    if len(seated) > ROWS:
        return first
    asides = [
        narrow(node.aside_cost(rows, at, first.certain)) if may else BOUND_TO_SIT
        for at, may in enumerate(node.leavable)
    ]
    places = list(_places(node, seated))
    seats = [
        [
            Seat(
                tuple(seated.index(at) for at, _ in group),
                _gain(group, asides) + NARROW_MOVE * _charge(rows, group, charged),
            )
            for group in groups
        ]
        for groups in places
    ]
    least, taken = seat(len(seated), seats)
    total = least + sum(asides)
    if total >= BOUND_TO_SIT:
        return None
    chosen = [row.aside for row in rows]
    for groups, number in zip(places, taken, strict=True):
        for at, option in groups[number] if number is not None else ():
            chosen[at] = option
    return Relaxed(max(widened(total), first.bound), chosen, first.certain)


Group = tuple[tuple[int, Option], ...]


def _gain(group: Group, asides: Sequence[int]) -> int:
    return sum(narrow(option.cost) - asides[at] for at, option in group)


def _charge(rows: Sequence[Row], group: Group, charged: Wires) -> int:
    """Moves that a group is charged for the wires of others, less those it is let off itself."""
    total = 0
    for at, option in group:
        for row, number in charged:
            used = rows[row].stays[number].is_on(option.claim)
            total += (used if row != at else 0) - (not used if row == at else 0)
    return total


def in_the_way(rows: Sequence[Row], node: Node, relaxed: Relaxed) -> Wires:
    """The wires that another placed row of a relaxed choice needs off, and that may be charged."""
    chosen = relaxed.chosen
    placed = [at for at, option in enumerate(chosen) if option is not rows[at].aside]
    return frozenset(
        (at, number)
        for at, row in enumerate(rows)
        for number, stay in enumerate(row.stays)
        if (chosen[at] is row.aside or stay.is_on(chosen[at].claim))
        and any(other != at and stay.is_on(chosen[other].claim) for other in placed)
        and not node.is_off(rows, at, number, relaxed.certain)
    )


def not_in_the_way(rows: Sequence[Row], relaxed: Relaxed, charged: Wires) -> Wires:
    """The charged wires whose own row was let off a move, and that nobody needed off."""
    chosen = relaxed.chosen
    placed = [at for at, option in enumerate(chosen) if option is not rows[at].aside]
    return frozenset(
        (at, number)
        for at, number in charged
        if at in placed
        and not any(rows[at].stays[number].is_on(chosen[other].claim) for other in placed)
    )


def _places(node: Node, seated: Sequence[int]) -> Iterator[list[Group]]:
    """Of every port or pad: who may have it alone, the cheapest way each; and who may share it."""
    alone: dict[int, dict[int, Option]] = {}
    halves: dict[tuple[int, str, bool], dict[int, Option]] = {}
    for at in seated:
        for option in node.pools[at]:
            claim = option.claim
            alone.setdefault(claim.column // 2, {}).setdefault(at, option)
            sides = claim.sides >> 2 * claim.port if claim.port >= 0 else 0
            if sides in (HEARS, TALKS):
                half = (claim.port, claim.line, sides == HEARS)
                halves.setdefault(half, {}).setdefault(at, option)
    for place, ways in sorted(alone.items()):
        yield [*(((at, option),) for at, option in ways.items()), *_shared(place, halves)]


def _shared(place: int, halves: dict[tuple[int, str, bool], dict[int, Option]]) -> Iterator[Group]:
    for (port, line, hears), ways in halves.items():
        if port == place and hears:
            for at, option in ways.items():
                for other, beside in halves.get((port, line, False), {}).items():
                    if at != other:
                        pair = ((at, option), (other, beside))
                        yield pair if at < other else pair[::-1]
