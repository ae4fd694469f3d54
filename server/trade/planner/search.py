"""Choose one option for every lead or link, so that none clash and the sum of costs is least.

Branch and bound. The bound leaves out clashes between unlike claims and keeps those on one port
side or one pad, which makes it an assignment problem: solved exactly, and mostly free of clashes
at once, so that the first node is the last. Where two claims do clash on something, the search
splits on it: either the one row does not use it, or it does and nobody else can.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from server.trade.planner.assign import assign
from server.trade.planner.claim import Bone, Claim, bone, clash, common
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


class _Node(NamedTuple):
    """What each row may still be given, the cheapest first, and whether it may be set aside."""

    pools: tuple[tuple[Option, ...], ...]
    leavable: tuple[bool, ...]


class _Relaxed(NamedTuple):
    """The bound, the choice that has it, and what each row is certain to claim."""

    bound: int
    chosen: list[Option]
    certain: list[Claim]


@dataclass(slots=True)
class _Best:
    rows: Sequence[Row]
    cost: int | None = None
    chosen: list[Option] = field(default_factory=list)
    nodes: int = 0

    def beats(self, bound: int) -> bool:
        """Whether nothing decisively better than what is known can cost `bound` or more."""
        return self.cost is not None and decisive(bound) >= decisive(self.cost)


def solve(rows: Sequence[Row]) -> tuple[list[Option], int]:
    """The cheapest choice, one option a row in the order of `rows`, and the nodes looked at."""
    best = _Best(rows)
    pools = tuple(tuple(sorted(row.options, key=lambda option: option.cost)) for row in rows)
    node = _Node(pools, (True,) * len(rows))
    relaxed = _relax(rows, node)
    if relaxed is not None:
        _look(best, node, relaxed)
    return best.chosen, best.nodes


def _look(best: _Best, node: _Node, relaxed: _Relaxed) -> None:
    best.nodes += 1
    if best.beats(relaxed.bound):
        return
    blocked, pushed = _faults(best.rows, relaxed)
    if blocked is None:
        whole = relaxed.bound + MOVE * len(pushed)
        if best.cost is None or whole < best.cost:
            best.cost, best.chosen = whole, relaxed.chosen
        if not pushed:
            return
    row, contested = blocked or pushed[0]
    children: list[tuple[int, int, _Node, _Relaxed]] = []
    for child in (_without(node, row, contested), _with(node, row, contested)):
        below = _relax(best.rows, child)
        if below is not None:
            children.append((below.bound, len(children), child, below))
    for _, _, child, below in sorted(children, key=lambda found: found[:2]):
        _look(best, child, below)


def _without(node: _Node, row: int, contested: Bone) -> _Node:
    """The node where `row` does not use what is contested."""
    kept = tuple(option for option in node.pools[row] if not contested.used_by(option.claim))
    return _Node((*node.pools[:row], kept, *node.pools[row + 1 :]), node.leavable)


def _with(node: _Node, row: int, contested: Bone) -> _Node:
    """The node where `row` does use it, and no other row can."""
    pools = tuple(
        tuple(option for option in pool if contested.used_by(option.claim))
        if at == row
        else tuple(option for option in pool if not contested.spoilt_by(option.claim))
        for at, pool in enumerate(node.pools)
    )
    leavable = tuple(may and at != row for at, may in enumerate(node.leavable))
    return _Node(pools, leavable)


def _relax(rows: Sequence[Row], node: _Node) -> _Relaxed | None:
    """The assignment bound; None where a row that must be placed has no place left."""
    certain = [
        Claim() if may or not pool else common([option.claim for option in pool])
        for pool, may in zip(node.pools, node.leavable, strict=True)
    ]
    ways: list[dict[int, Option]] = []
    costs: list[dict[int, int]] = []
    for at, pool in enumerate(node.pools):
        way: dict[int, Option] = {}
        for option in pool:
            way.setdefault(option.claim.column, option)
        cost = {column: option.cost for column, option in way.items()}
        if node.leavable[at]:
            way[ALONE + at] = rows[at].aside
            cost[ALONE + at] = rows[at].aside.cost + MOVE * _pushed(rows[at], certain)
        ways.append(way)
        costs.append(cost)
    try:
        columns = assign(costs)
    except ValueError:
        return None
    bound = sum(cost[column] for cost, column in zip(costs, columns, strict=True))
    chosen = [way[column] for way, column in zip(ways, columns, strict=True)]
    return _Relaxed(bound, chosen, certain)


def _pushed(row: Row, certain: Sequence[Claim]) -> int:
    """How many wires a row cannot keep when it is set aside. What is certain is never its own."""
    return sum(any(clash(stay.claim, claim) for claim in certain) for stay in row.stays)


Fault = tuple[int, Bone]


def _faults(rows: Sequence[Row], relaxed: _Relaxed) -> tuple[Fault | None, list[Fault]]:
    """The first clash of two placed rows; and who makes each wire that is not counted give way."""
    chosen = relaxed.chosen
    placed = [at for at, option in enumerate(chosen) if option is not rows[at].aside]
    for number, one in enumerate(placed):
        for other in placed[number + 1 :]:
            if clash(chosen[one].claim, chosen[other].claim):
                return (one, bone(chosen[one].claim, chosen[other].claim)), []
    pushed = []
    for at, row in enumerate(rows):
        if chosen[at] is row.aside:
            for stay in row.stays:
                by = [other for other in placed if clash(stay.claim, chosen[other].claim)]
                if by and not any(clash(stay.claim, claim) for claim in relaxed.certain):
                    pushed.append((by[0], bone(chosen[by[0]].claim, stay.claim)))
    return None, pushed
