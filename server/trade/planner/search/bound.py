"""What a node of the search costs at least, and the choice that comes to it: the first bound.

It is an assignment: a row a column, a column a port side or a pad. It forgets clashes between
unlike claims on one port, and what idle and set-aside wires stand in the way of.
"""

from collections.abc import Sequence
from typing import NamedTuple

from server.trade.planner.claim import Claim
from server.trade.planner.cost import decisive
from server.trade.planner.search.assign import assign
from server.trade.planner.search.options import Node, PlanOption, PlanRow

ALONE = 1 << 40  # columns from here on belong to one row only


class Relaxed(NamedTuple):
    """The bound on the decisive counts, the choice that has it, what each row is bound to claim."""

    bound: int
    chosen: list[PlanOption]
    certain: list[Claim]


def by_assignment(rows: Sequence[PlanRow], node: Node) -> Relaxed | None:
    """The assignment bound; None where a row that must be placed has no place left."""
    certain = node.certain()
    ways: list[dict[int, PlanOption]] = []
    costs: list[dict[int, int]] = []
    for at, pool in enumerate(node.pools):
        way: dict[int, PlanOption] = {}
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
