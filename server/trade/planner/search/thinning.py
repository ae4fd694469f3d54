"""Options that can be left out of the search, for another does as well or better in every case."""

from collections.abc import Iterable

from server.trade.planner.claim import HEARS, TALKS, Claim
from server.trade.planner.search.options import PlanOption


def undominated(options: Iterable[PlanOption]) -> list[PlanOption]:
    """The options, cheapest first, without those that cost no less and claim no less than one."""
    kept: dict[int, list[PlanOption]] = {}
    for option in sorted(options, key=lambda option: option.cost):
        alike = kept.setdefault(option.claim.column, [])
        if not any(_claims_no_more(other.claim, option.claim) for other in alike):
            alike.append(option)
    found = [option for alike in kept.values() for option in alike]
    return sorted(found, key=lambda option: option.cost)


def _claims_no_more(one: Claim, other: Claim) -> bool:
    """Whether all that clashes with `one` clashes with `other`, both being of one column."""
    if one.drives & ~other.drives or one.sides & ~other.sides:
        return False
    # Who has both sides of a port shares it with nobody, whatever the line settings are.
    whole = other.port >= 0 and other.sides == (HEARS | TALKS) << 2 * other.port
    return whole or (one.port, one.line) == (other.port, other.line)
