"""What the search chooses from: options in rows, and a node's narrowed view of them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from server.trade.planner.claim import Bone, Claim, clash, common
from server.trade.planner.cost import MOVE
from server.trade.planner.shift import Shift


@dataclass(frozen=True, slots=True)
class PlanOption:
    """One way to place a link or a lead: the lead moves, and the protocol to change to, if any.

    `clashes` is how many of its cautions are for timers.
    """

    cost: int
    claim: Claim
    shifts: tuple[Shift, ...]
    protocol: str | None = None
    clashes: int = 0


class Stay(NamedTuple):
    """A wire that a thing keeps when it is set aside, unless another is given what it claims."""

    claim: Claim
    lead: str
    pad: str

    def is_on(self, claim: Claim) -> bool:
        """Whether a claim takes the one thing that this wire is on: the pad that it drives, or else
        the side of the port that it listens to. One placed row at most can have it."""
        if self.claim.drives:
            return bool(claim.drives & self.claim.drives)
        return bool(claim.sides & self.claim.sides)


@dataclass(frozen=True, slots=True)
class PlanRow:
    """A link or a lead that needs a place, its options, and what setting it aside comes to.

    `stays` are the wires that it keeps when set aside; each that clashes with what another row was
    given comes off, a move more. `link` is the link's number in its device, None for another lead,
    whose signal is `signal`.
    """

    device: str
    options: tuple[PlanOption, ...]
    aside: PlanOption
    stays: tuple[Stay, ...] = ()
    link: int | None = None
    signal: str = ""


@dataclass(frozen=True, slots=True)
class Node:
    """What each row may still be given, the cheapest first, and whether it may be set aside.

    `off` are the stays, by row and number, that come off for sure if their row is set aside.
    """

    pools: tuple[tuple[PlanOption, ...], ...]
    leavable: tuple[bool, ...]
    off: frozenset[tuple[int, int]] = frozenset()

    def using(self, row: int, contested: Bone) -> "Node":
        """The node where `row` uses what is contested, and no other row can."""
        pools = tuple(
            tuple(option for option in pool if contested.used_by(option.claim))
            if at == row
            else tuple(option for option in pool if not contested.spoilt_by(option.claim))
            for at, pool in enumerate(self.pools)
        )
        leavable = tuple(may and at != row for at, may in enumerate(self.leavable))
        return Node(pools, leavable, self.off)

    def without(self, row: int, contested: Bone, off: int | None = None) -> "Node":
        """The node where `row` does not use it; with `off` that stay of the row is off for sure."""
        kept = tuple(option for option in self.pools[row] if not contested.used_by(option.claim))
        gone = self.off if off is None else self.off | {(row, off)}
        return Node((*self.pools[:row], kept, *self.pools[row + 1 :]), self.leavable, gone)

    def sparing(self, row: int, contested: Bone) -> "Node":
        """The node where no row but `row` spoils what is contested."""
        pools = tuple(
            pool
            if at == row
            else tuple(option for option in pool if not contested.spoilt_by(option.claim))
            for at, pool in enumerate(self.pools)
        )
        return Node(pools, self.leavable, self.off)

    def certain(self) -> list[Claim]:
        """What each row is bound to claim, whatever it is given."""
        return [
            Claim() if may or not pool else common([option.claim for option in pool])
            for pool, may in zip(self.pools, self.leavable, strict=True)
        ]

    def aside_cost(self, rows: Sequence[PlanRow], at: int, certain: Sequence[Claim]) -> int:
        """What setting a row aside costs, with the stays that are bound to come off."""
        return rows[at].aside.cost + MOVE * sum(
            self.is_off(rows, at, number, certain) for number in range(len(rows[at].stays))
        )

    def is_off(
        self, rows: Sequence[PlanRow], at: int, number: int, certain: Sequence[Claim]
    ) -> bool:
        """Whether a stay is bound to come off. What a row is certain of is never its own stay's."""
        claim = rows[at].stays[number].claim
        return (at, number) in self.off or any(clash(claim, other) for other in certain)
