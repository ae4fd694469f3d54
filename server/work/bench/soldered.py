"""What was recorded on a ticket, with what a moved lead ended for good."""

from collections.abc import Sequence

from sqlalchemy import Connection

from server.records import builds, evidence
from server.records.builds import RevisionRow
from server.records.evidence import EntryRow
from server.trade.card import Card
from server.work.port_map.facts import facts_of

# Before the basis of such an entry: no basis is written so, and it counts for no target any more.
MOVED = "moved since: "


def entries_now(
    connection: Connection, ticket_id: int, card: Card, revision: int
) -> list[EntryRow]:
    """Every entry of the ticket, oldest first, as it counts under the `card` of that revision."""
    entries = evidence.entries(connection, ticket_id)
    proofs = {step.key for step in card.steps() if step.joints}
    # Away and back are two revisions: without them nothing has to be looked up.
    if not any(e.key in proofs and e.revision + 1 < revision for e in entries):
        return entries
    return moved_since(card, entries, builds.revisions(connection, ticket_id))


def moved_since(
    card: Card, entries: Sequence[EntryRow], revisions: Sequence[RevisionRow]
) -> list[EntryRow]:
    """The entries; those on joints that were opened since count for no target any more.

    A lead that was moved and put back is where it was, but on a new joint.
    """
    since = {
        step.key: _same_since(step.key, step.basis, revisions)
        for step in card.steps()
        if step.joints
    }
    return [
        entry._replace(basis=MOVED + entry.basis)
        if entry.revision < since.get(entry.key, 0)
        else entry
        for entry in entries
    ]


def _same_since(key: str, basis: str, revisions: Sequence[RevisionRow]) -> int:
    """The first of the last revisions under all of which the step had this basis."""
    since = revisions[-1].revision + 1 if revisions else 0
    for row in reversed(revisions):
        steps = facts_of(row.sheet).card.steps()
        if not any(step.key == key and step.basis == basis for step in steps):
            break
        since = row.revision
    return since
