"""Choose one option for every lead or link, so that none clash and the sum of costs is least.

Branch and bound. The bound leaves out clashes between unlike claims and keeps those on one port
side or one pad, which makes it an assignment problem: solved exactly, and mostly free of clashes
at once, so that the first node is the last. What it costs to push a thing that is set aside out of
the way is left out of the bound too, and counted when a whole choice is judged.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from server.trade.planner.assign import assign
from server.trade.planner.claim import Claim, clash
from server.trade.planner.cost import MOVE, decisive
from server.trade.planner.shift import Shift

ALONE = 1 << 40  # columns from here on belong to one row only


@dataclass(frozen=True, slots=True)
class Option:
    """One way to place a link or a lead: the lead moves, and the protocol to change to, if any."""

    cost: int
    claim: Claim
    shifts: tuple[Shift, ...]
    protocol: str | None = None


class Stay(NamedTuple):
    """A wire that a thing keeps when it is set aside, unless another is given what it claims."""

    claim: Claim
    lead: str
    pad: str


@dataclass(frozen=True, slots=True)
class Row:
    """A link or a lead that needs a place, its options, and what setting it aside comes to.

    `stays` are the wires that it keeps when set aside; each that clashes with what another row was
    given comes off, a move more. `link` is the link's number in its device, None for another lead.
    """

    device: str
    options: tuple[Option, ...]
    aside: Option
    stays: tuple[Stay, ...] = ()
    link: int | None = None


@dataclass(slots=True)
class _Best:
    cost: int | None = None
    chosen: list[Option] = field(default_factory=list)
    nodes: int = 0


def solve(rows: Sequence[Row]) -> tuple[list[Option], int]:
    """The cheapest choice, one option a row in the order of `rows`, and the nodes looked at."""
    best = _Best()
    pools = [sorted(row.options, key=lambda option: option.cost) for row in rows]
    _look(rows, pools, {}, best)
    return best.chosen, best.nodes


def _look(
    rows: Sequence[Row],
    pools: list[list[Option]],
    fixed: dict[int, Option],
    best: _Best,
) -> None:
    best.nodes += 1
    bound, chosen = _relaxed(rows, pools, fixed)
    if best.cost is not None and decisive(bound) >= decisive(best.cost):
        return
    blocked, pushed = _faults(rows, chosen, fixed)
    if blocked is None:
        whole = bound + MOVE * len(pushed)
        if best.cost is None or whole < best.cost:
            best.cost, best.chosen = whole, chosen
        if not pushed:
            return
    at = _free(blocked if blocked is not None else pushed[0], pools, fixed)
    for option in [*pools[at], rows[at].aside]:
        _look(rows, _narrowed(rows, pools, at, option), {**fixed, at: option}, best)


def _free(pair: tuple[int, int], pools: list[list[Option]], fixed: dict[int, Option]) -> int:
    """Which of two rows to branch on: the one that is not fixed yet and has the fewest options."""
    return min((at for at in pair if at not in fixed), key=lambda at: (len(pools[at]), at))


def _narrowed(
    rows: Sequence[Row], pools: list[list[Option]], at: int, option: Option
) -> list[list[Option]]:
    """The pools once row `at` has `option`."""
    if option is rows[at].aside:
        return [[] if row == at else pool for row, pool in enumerate(pools)]
    return [
        [option] if row == at else [other for other in pool if not clash(option.claim, other.claim)]
        for row, pool in enumerate(pools)
    ]


def _relaxed(
    rows: Sequence[Row], pools: list[list[Option]], fixed: dict[int, Option]
) -> tuple[int, list[Option]]:
    """The assignment bound and the choice that has it."""
    placed = [o for at, o in fixed.items() if o is not rows[at].aside]
    ways: list[dict[int, Option]] = []
    costs: list[dict[int, int]] = []
    for at, pool in enumerate(pools):
        way: dict[int, Option] = {}
        for option in pool:
            way.setdefault(option.claim.column, option)
        cost = {column: option.cost for column, option in way.items()}
        if at not in fixed or fixed[at] is rows[at].aside:
            way[ALONE + at] = rows[at].aside
            cost[ALONE + at] = rows[at].aside.cost + MOVE * _pushed(rows[at], placed)
        ways.append(way)
        costs.append(cost)
    columns = assign(costs)
    bound = sum(cost[column] for cost, column in zip(costs, columns, strict=True))
    return bound, [way[column] for way, column in zip(ways, columns, strict=True)]


def _pushed(row: Row, placed: Sequence[Option]) -> int:
    return sum(any(clash(stay.claim, other.claim) for other in placed) for stay in row.stays)


def _faults(
    rows: Sequence[Row], chosen: list[Option], fixed: dict[int, Option]
) -> tuple[tuple[int, int] | None, list[tuple[int, int]]]:
    """The first two placed rows that clash; and each stay, not yet counted, that must give way."""
    placed = [at for at, option in enumerate(chosen) if option is not rows[at].aside]
    for number, one in enumerate(placed):
        for other in placed[number + 1 :]:
            if clash(chosen[one].claim, chosen[other].claim):
                return (one, other), []
    pushed = []
    for at, row in enumerate(rows):
        if chosen[at] is row.aside:
            for stay in row.stays:
                by = [other for other in placed if clash(stay.claim, chosen[other].claim)]
                if by and not any(other in fixed for other in by):
                    pushed.append((by[0], at))
    return None, pushed
