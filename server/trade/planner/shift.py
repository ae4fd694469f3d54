"""How wires are changed so that a lead ends on one pad, and what that counts."""

from collections.abc import Collection
from typing import NamedTuple


class Shift(NamedTuple):
    """One lead move: from a pad, None where the lead was loose, to a pad, None to take it off."""

    lead: str
    start: str | None
    end: str | None


def shifts(lead: str, wired: Collection[str], end: str | None) -> tuple[Shift, ...]:
    """The fewest moves that leave `lead` on `end` alone, or on no pad where `end` is None."""
    if end is None or end in wired:
        return tuple(Shift(lead, pad, None) for pad in wired if pad != end)
    first, *rest = tuple(wired) or (None,)
    return (Shift(lead, first, end), *(Shift(lead, pad, None) for pad in rest))
