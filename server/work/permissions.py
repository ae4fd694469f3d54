"""Who may do what: one table, read by the acts, the pages' buttons and the tests."""

from server.work.errors import NotAllowed
from server.work.shop import Person

COUNTER, TECHNICIAN, LEAD = "counter", "technician", "lead"

WHO_MAY: dict[str, frozenset[str]] = {
    "book in": frozenset({COUNTER, TECHNICIAN, LEAD}),
    "hand over": frozenset({COUNTER, LEAD}),
    "write an estimate": frozenset({COUNTER, TECHNICIAN, LEAD}),
    "withdraw a status page": frozenset({COUNTER, LEAD}),
    "remind customers": frozenset({COUNTER, LEAD}),
    "take money": frozenset({COUNTER, LEAD}),
    "work at the bench": frozenset({TECHNICIAN, LEAD}),
    "sign": frozenset({TECHNICIAN, LEAD}),
    "hold work": frozenset({COUNTER, TECHNICIAN, LEAD}),
    "move somebody's ticket": frozenset({LEAD}),
    "accept a caution": frozenset({LEAD}),
    "change the catalogue": frozenset({TECHNICIAN, LEAD}),
    "list a board": frozenset({LEAD}),
    "run the office": frozenset({LEAD}),
    "see to a customer’s data": frozenset({LEAD}),
}


def may(person: Person, what: str) -> bool:
    """Whether this role may do it. Raises KeyError for an act that is not in the table."""
    return person.role in WHO_MAY[what]


def refusal(person: Person, what: str) -> NotAllowed | None:
    """What names the roles that may do it, where this one may not; None where it may."""
    if may(person, what):
        return None
    roles = " or the ".join(sorted(WHO_MAY[what]))
    return NotAllowed(f"A {person.role} cannot {what}.", f"Ask the {roles}.")


def require(person: Person, what: str) -> None:
    """Raise NotAllowed where this person may not do it."""
    if (no := refusal(person, what)) is not None:
        raise no
