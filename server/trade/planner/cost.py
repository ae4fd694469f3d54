"""What a plan costs: several counts in order of weight, packed into one whole number.

The counts that stand before `TASTE` decide, and are proven least. Those after it only choose
among plans that are equally good, so that the same sheet always gets the same plan.
"""

from typing import NamedTuple

BITS = 16  # a sheet of 1 MiB holds fewer than 65,536 wires


class PlanCost(NamedTuple):
    """Counts, the weightiest first."""

    unsolved: int = 0
    cautions: int = 0
    given_up: int = 0
    moves: int = 0
    changes: int = 0
    touched: int = 0
    new_ports: int = 0
    onto_others: int = 0
    idle_leads: int = 0
    later_words: int = 0
    later_pads: int = 0

    def packed(self) -> int:
        """One number that sorts, and adds up, as the counts do."""
        total = 0
        for count in self:
            total = (total << BITS) + count
        return total


TASTE = PlanCost._fields.index("new_ports")
TASTE_BITS = BITS * (len(PlanCost._fields) - TASTE)
MOVE = PlanCost(moves=1).packed()

# Widths of the decisive counts in a number for tables of 64-bit integers: 13 rows at most, of
# three leads each, on a sheet of fewer than 65,536 wires.
NARROW = (6, 7, 7, 16, 6, 6)
NARROW_BITS = sum(NARROW)


def decisive(packed: int) -> int:
    """The part of a packed cost that is proven least."""
    return packed >> TASTE_BITS


def unpacked(packed: int) -> PlanCost:
    """The counts again."""
    mask = (1 << BITS) - 1
    size = len(PlanCost._fields)
    return PlanCost(*((packed >> BITS * (size - 1 - at)) & mask for at in range(size)))


def narrow(packed: int) -> int:
    """The decisive counts in NARROW_BITS bits; sorts and adds up as they do."""
    total, shift = 0, BITS * len(PlanCost._fields)
    for width in NARROW:
        shift -= BITS
        total = (total << width) + (packed >> shift & (1 << BITS) - 1)
    return total


def widened(narrowed: int) -> int:
    """A narrow cost as `decisive` gives it."""
    total = 0
    for at, width in enumerate(reversed(NARROW)):
        total += (narrowed & (1 << width) - 1) << BITS * at
        narrowed >>= width
    return total
