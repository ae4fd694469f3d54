"""The closer bounds of the search: rows seated at ports exactly.

The second bound seats every row at a port or pad, two on one port where they may share it. It
forgets only what idle and set-aside wires stand in the way of. The third, the second with charges,
remembers those as well: who takes what such a wire is on pays for its move, and the wire's own row
is let off that move.
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from server.trade.planner.claim import HEARS, TALKS
from server.trade.planner.cost import MOVE, NARROW_BITS, narrow, widened
from server.trade.planner.search.bound import Relaxed
from server.trade.planner.search.options import Node, PlanOption, PlanRow

NARROW_MOVE = narrow(MOVE)
BOUND_TO_SIT = 1 << NARROW_BITS + 4  # more than all rows set aside

Wires = frozenset[tuple[int, int]]  # stays, by row and number
NO_WIRES: Wires = frozenset()


class PricedOption(NamedTuple):
    """An option of a row, and what it costs more than setting the row aside, charges included."""

    price: int
    row: int
    option: PlanOption


Group = tuple[PricedOption, ...]


def by_seats(
    rows: Sequence[PlanRow], node: Node, first: Relaxed, charged: Wires = NO_WIRES
) -> Relaxed | None:
    """The second bound, the third with wires in `charged`; `first` for more rows than it serves.

    None where a row that must be placed has no place left. Why charging is sound: what such a wire
    is on is used by one placed row at most. Is that its own row, nothing changes. Is it another,
    the wire is moved or comes off, which costs the move that the other is charged; if the wire's
    row is placed elsewhere, it is let off one move that it either has paid or did not owe.
    """
    # Most plans end at the first bound, and numpy takes longer to load than they do.
    from server.trade.planner.search.subsets import ROWS, Seat, seat

    seated = [at for at, pool in enumerate(node.pools) if pool]
    if len(seated) > ROWS:
        return first
    asides = [
        narrow(node.aside_cost(rows, at, first.certain)) if may else BOUND_TO_SIT
        for at, may in enumerate(node.leavable)
    ]
    number_of = {at: number for number, at in enumerate(seated)}
    places = _places(_priced(rows, node, asides, charged))
    seats = [
        [
            Seat(tuple(number_of[it.row] for it in group), sum(it.price for it in group))
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
        for priced in groups[number] if number is not None else ():
            chosen[priced.row] = priced.option
    return Relaxed(max(widened(total), first.bound), chosen, first.certain)


def _priced(
    rows: Sequence[PlanRow], node: Node, asides: Sequence[int], charged: Wires
) -> Iterator[PricedOption]:
    for at, pool in enumerate(node.pools):
        for option in pool:
            price = narrow(option.cost) - asides[at]
            if charged:
                price += NARROW_MOVE * _charge(rows, at, option, charged)
            yield PricedOption(price, at, option)


def _charge(rows: Sequence[PlanRow], at: int, option: PlanOption, charged: Wires) -> int:
    """Moves that an option is charged for the wires of others, less those it is let off itself."""
    total = 0
    for row, number in charged:
        used = rows[row].stays[number].is_on(option.claim)
        if row != at:
            total += used
        elif not used:
            total -= 1
    return total


def _places(priced: Iterator[PricedOption]) -> list[list[Group]]:
    """Of every port or pad: who may have it alone, the cheapest way each; and who may share it."""
    alone: dict[int, dict[int, PricedOption]] = {}
    halves: dict[tuple[int, str, bool], dict[int, PricedOption]] = {}
    for each in priced:
        claim = each.option.claim
        _keep_cheaper(alone.setdefault(claim.column // 2, {}), each)
        sides = claim.sides >> 2 * claim.port if claim.port >= 0 else 0
        if sides in (HEARS, TALKS):
            half = (claim.port, claim.line, sides == HEARS)
            _keep_cheaper(halves.setdefault(half, {}), each)
    return [
        [*((each,) for each in ways.values()), *_shared(place, halves)]
        for place, ways in sorted(alone.items())
    ]


def _keep_cheaper(ways: dict[int, PricedOption], each: PricedOption) -> None:
    known = ways.get(each.row)
    if known is None or each.price < known.price:
        ways[each.row] = each


def _shared(
    place: int, halves: dict[tuple[int, str, bool], dict[int, PricedOption]]
) -> Iterator[Group]:
    for (port, line, hears), ways in halves.items():
        if port == place and hears:
            for one in ways.values():
                for other in halves.get((port, line, False), {}).values():
                    if one.row != other.row:
                        yield (one, other) if one.row < other.row else (other, one)


def in_the_way(rows: Sequence[PlanRow], node: Node, relaxed: Relaxed) -> Wires:
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


def not_in_the_way(rows: Sequence[PlanRow], relaxed: Relaxed, charged: Wires) -> Wires:
    """The charged wires whose own row was let off a move, and that nobody needed off."""
    chosen = relaxed.chosen
    placed = [at for at, option in enumerate(chosen) if option is not rows[at].aside]
    return frozenset(
        (at, number)
        for at, number in charged
        if at in placed
        and not any(rows[at].stays[number].is_on(chosen[other].claim) for other in placed)
    )
