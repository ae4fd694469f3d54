"""What a placed lead keeps from others: the pads that it drives, and sides of a port."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce
from typing import NamedTuple

HEARS, TALKS = 1, 2  # the board's two sides of a port


@dataclass(frozen=True, slots=True)
class Claim:
    """A claim of one option, in bits.

    drives: a bit for every pad that the option's leads drive.
    sides: two bits a port, HEARS and TALKS, shifted by twice the port's number.
    port, line: the port that a protocol runs on (-1: none) and its line settings.
    column: the one resource that stands for the claim in the assignment bound. Two claims with
    the same column clash always; the reverse need not hold.
    """

    drives: int = 0
    sides: int = 0
    port: int = -1
    line: str = ""
    column: int = -1


class Bone(NamedTuple):
    """One thing that two claims clash on: a pad, a side of a port, or a port's line settings."""

    pad: int = 0
    side: int = 0
    port: int = -1
    line: str = ""

    def used_by(self, claim: Claim) -> bool:
        """Whether the claim is among those that this is kept for."""
        if self.pad or self.side:
            return bool(claim.drives & self.pad or claim.sides & self.side)
        return claim.port == self.port and claim.line == self.line

    def spoilt_by(self, claim: Claim) -> bool:
        """Whether the claim cannot be met beside one that uses this."""
        if self.pad or self.side:
            return self.used_by(claim)
        return claim.port == self.port and claim.line != self.line


def clash(one: Claim, other: Claim) -> bool:
    """Whether two claims cannot both be met.

    Two links may share a port where one only needs the board to hear, the other only the board to
    talk, and their line settings are alike (docs/build-sheet.md, 'Numbers that the rules use').
    """
    if one.drives & other.drives or one.sides & other.sides:
        return True
    return one.port == other.port >= 0 and one.line != other.line


def bone(one: Claim, other: Claim) -> Bone:
    """What two clashing claims clash on; of line settings, those of `one`."""
    pads, sides = one.drives & other.drives, one.sides & other.sides
    if pads:
        return Bone(pad=pads & -pads)
    return Bone(side=sides & -sides) if sides else Bone(port=one.port, line=one.line)


def common(claims: Sequence[Claim]) -> Claim:
    """What is claimed whichever of `claims` is chosen."""
    return reduce(_both, claims)


def _both(one: Claim, other: Claim) -> Claim:
    alike = (one.port, one.line) == (other.port, other.line)
    port, line = (one.port, one.line) if alike else (-1, "")
    return Claim(one.drives & other.drives, one.sides & other.sides, port, line)
