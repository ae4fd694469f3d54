"""What a placed lead keeps from others: the pads that it drives, and sides of a port."""

from dataclasses import dataclass

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


def clash(one: Claim, other: Claim) -> bool:
    """Whether two claims cannot both be met.

    Two links may share a port where one only needs the board to hear, the other only the board to
    talk, and their line settings are alike (docs/build-sheet.md, 'Numbers that the rules use').
    """
    if one.drives & other.drives or one.sides & other.sides:
        return True
    return one.port == other.port >= 0 and one.line != other.line
