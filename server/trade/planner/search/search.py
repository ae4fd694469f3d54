"""Choose one option for every lead or link, so that none clash and the sum of costs is least.

Branch and bound, the bounds in `bound.py` and `seating.py`. Mostly the first choice is free of
clashes, so that the first node is the last. Where two placed rows clash on something, the search
splits on it: either the one row uses it and no other can, or it does not. Where a wire of a row
that is set aside must give way, it splits on that: either nobody else needs what the wire is on,
or the wire comes off.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from server.trade.planner.claim import bone, clash
from server.trade.planner.cost import MOVE, decisive
from server.trade.planner.search.bound import Relaxed, by_assignment
from server.trade.planner.search.options import Node, PlanOption, PlanRow
from server.trade.planner.search.seating import (
    NO_WIRES,
    Wires,
    by_seats,
    in_the_way,
    not_in_the_way,
)

ROUNDS = 6  # of charging wires anew before a node is split
# Nodes after which the best plan known is given without its proof. Boards met in a shop take one to
# some ten; the limit keeps a sheet thrown together at random from holding up the page.
LIMIT = 400


class SearchResult(NamedTuple):
    """The cheapest choice, the nodes looked at, and whether no cheaper one can exist."""

    chosen: list[PlanOption]
    nodes: int
    proven: bool


@dataclass(slots=True)
class _Best:
    rows: Sequence[PlanRow]
    cost: int
    chosen: list[PlanOption]
    limit: int
    nodes: int = 0

    def beats(self, bound: int) -> bool:
        """Whether a bound on the decisive counts is no better than what is known."""
        return bound >= decisive(self.cost)

    def offer(self, cost: int, chosen: list[PlanOption]) -> None:
        """Keep a whole choice if it is the cheapest so far."""
        if cost < self.cost:
            self.cost, self.chosen = cost, chosen


def solve(rows: Sequence[PlanRow], limit: int = LIMIT) -> SearchResult:
    """The cheapest choice, one option a row in the order of `rows`."""
    aside = [row.aside for row in rows]
    best = _Best(rows, sum(option.cost for option in aside), aside, limit)
    pools = tuple(tuple(sorted(row.options, key=lambda option: option.cost)) for row in rows)
    node = Node(pools, (True,) * len(rows))
    relaxed = by_assignment(rows, node)
    if relaxed is not None:
        _look(best, node, relaxed)
    return SearchResult(best.chosen, best.nodes, best.nodes <= limit)


def _look(best: _Best, node: Node, relaxed: Relaxed) -> None:
    if best.nodes > best.limit or best.beats(relaxed.bound):
        return
    best.nodes += 1
    split = _judged(best, node, relaxed)
    if split is None:
        return
    closer = by_seats(best.rows, node, relaxed)
    if closer is None or best.beats(closer.bound):
        return
    split = _judged(best, node, closer)
    if split is None or best.beats(_sharpened(best, node, closer)):
        return
    children: list[tuple[int, int, Node, Relaxed]] = []
    for child in split:
        below = by_assignment(best.rows, child)
        if below is not None:
            children.append((below.bound, len(children), child, below))
    for _, _, child, below in sorted(children, key=lambda found: found[:2]):
        _look(best, child, below)


def _sharpened(best: _Best, node: Node, closer: Relaxed) -> int:
    """The node's bound with charges on the wires that proved to be in the way, and only those."""
    bound, relaxed = closer.bound, closer
    charged: Wires = NO_WIRES
    tried = {charged}
    for _ in range(ROUNDS):
        idle = not_in_the_way(best.rows, relaxed, charged)
        charged = (charged | in_the_way(best.rows, node, relaxed)) - idle
        if charged in tried:
            break
        tried.add(charged)
        charging = by_seats(best.rows, node, closer, charged)
        if charging is None:
            break
        relaxed = charging
        bound = max(bound, relaxed.bound)
        _judged(best, node, relaxed)
        if best.beats(bound):
            break
    return bound


def _judged(best: _Best, node: Node, relaxed: Relaxed) -> tuple[Node, Node] | None:
    """Offer the relaxed choice if it can be had; and how to split the node if it is not the last.

    None where the choice can be had for its bound.
    """
    split = _clash(node, best.rows, relaxed)
    if split is not None:
        return split
    best.offer(whole_cost(best.rows, relaxed.chosen), relaxed.chosen)
    return _push(node, best.rows, relaxed)


def whole_cost(rows: Sequence[PlanRow], chosen: Sequence[PlanOption]) -> int:
    """What a choice without a clash costs, with the wires that must give way."""
    return sum(option.cost for option in chosen) + MOVE * len(pushed_off(rows, chosen))


def pushed_off(rows: Sequence[PlanRow], chosen: Sequence[PlanOption]) -> list[tuple[int, int, int]]:
    """(row, number of the stay, row that it gives way to) for every stay that must come off."""
    placed = [at for at, option in enumerate(chosen) if option is not rows[at].aside]
    found = []
    for at, row in enumerate(rows):
        if chosen[at] is row.aside:
            for number, stay in enumerate(row.stays):
                by = next((it for it in placed if clash(stay.claim, chosen[it].claim)), None)
                if by is not None:
                    found.append((at, number, by))
    return found


def _clash(node: Node, rows: Sequence[PlanRow], relaxed: Relaxed) -> tuple[Node, Node] | None:
    """The two nodes that part the first two placed rows which clash; None where none do."""
    chosen = relaxed.chosen
    placed = [at for at, option in enumerate(chosen) if option is not rows[at].aside]
    for number, one in enumerate(placed):
        for other in placed[number + 1 :]:
            if clash(chosen[one].claim, chosen[other].claim):
                contested = bone(chosen[one].claim, chosen[other].claim)
                return node.without(one, contested), node.using(one, contested)
    return None


def _push(node: Node, rows: Sequence[PlanRow], relaxed: Relaxed) -> tuple[Node, Node] | None:
    """The two nodes for the first stay that must come off and that the bound has not counted."""
    for at, number, by in pushed_off(rows, relaxed.chosen):
        if not node.is_off(rows, at, number, relaxed.certain):
            contested = bone(rows[at].stays[number].claim, relaxed.chosen[by].claim)
            return node.sparing(at, contested), node.without(at, contested, off=number)
    return None
