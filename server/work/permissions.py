"""Who may do what: one table, read by the acts, the pages' buttons and the tests."""

from server.trade.roles import Role
from server.work.errors import NotAllowed
from server.work.shop import Person

COUNTER, TECHNICIAN, SUPERVISOR = Role

WHO_MAY: dict[str, frozenset[Role]] = {
    "book in": frozenset({COUNTER, TECHNICIAN, SUPERVISOR}),
    "hand over": frozenset({COUNTER, SUPERVISOR}),
    "write an estimate": frozenset({COUNTER, TECHNICIAN, SUPERVISOR}),
    "withdraw a status page": frozenset({COUNTER, SUPERVISOR}),
    "remind customers": frozenset({COUNTER, SUPERVISOR}),
    "take money": frozenset({COUNTER, SUPERVISOR}),
    "work at the bench": frozenset({TECHNICIAN, SUPERVISOR}),
    "sign": frozenset({TECHNICIAN, SUPERVISOR}),
    "hold work": frozenset({COUNTER, TECHNICIAN, SUPERVISOR}),
    "cancel a ticket": frozenset({COUNTER, SUPERVISOR}),
    "move somebody's ticket": frozenset({SUPERVISOR}),
    "accept a caution": frozenset({SUPERVISOR}),
    "change the catalogue": frozenset({TECHNICIAN, SUPERVISOR}),
    "list a board": frozenset({SUPERVISOR}),
    "run the office": frozenset({SUPERVISOR}),
    "see to a customer’s data": frozenset({SUPERVISOR}),
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
