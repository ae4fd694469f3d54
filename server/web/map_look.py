"""What the map's pages look at: the ticket, its map in force, and what is being drawn up."""

import hashlib
from dataclasses import dataclass

from sqlalchemy import Connection

from server.records import builds, tickets
from server.records.builds import DraftRow
from server.records.engine import reading
from server.records.tickets import TicketHead
from server.trade.card import Card, compare
from server.work.errors import Missing, Stale
from server.work.facts import Facts, facts_of
from server.work.permissions import may
from server.work.shop import Person, Shop
from server.work.standing_of import Work, work_of


@dataclass(frozen=True)
class Look:
    """One ticket's map as it is now. `text` is the draft's sheet, else the sheet in force."""

    head: TicketHead
    draft: DraftRow | None
    work: Work | None

    @property
    def text(self) -> str:
        """The sheet shown. Empty before there is one."""
        return self.draft.sheet if self.draft else self.head.sheet or ""

    @property
    def facts(self) -> Facts:
        """What the rules say of it. Raises Missing before there is one."""
        if not self.text:
            raise Missing("This ticket has no map yet.", "Start one first.")
        return facts_of(self.text)

    @property
    def version(self) -> int:
        """The draft's number; 0 without one."""
        return self.draft.version if self.draft else 0

    @property
    def base(self) -> str:
        """Names the sheet shown."""
        return hashlib.sha256(self.text.encode()).hexdigest()[:16]

    @property
    def changed(self) -> bool:
        """Whether the draft says something else than the map in force."""
        return self.draft is not None and self.draft.sheet != self.head.sheet

    def require_seen(self, base: str) -> None:
        """Raise Stale where the page that was sent showed another map."""
        if base != self.base:
            raise Stale("Somebody else changed this map meanwhile.", "Load the page again.")


def look(shop: Shop, number: int) -> Look:
    """The map of one ticket. Raises Missing."""
    with reading(shop.engine) as connection:
        return look_in(connection, number)


def look_in(connection: Connection, number: int) -> Look:
    """The same inside a transaction that is open already."""
    head = tickets.head(connection, number)
    if head is None:
        raise Missing(f"There is no ticket {number:04d}.", "Look in the queue.")
    return Look(head, builds.draft(connection, head.id), work_of(connection, head))


def why_not(head: TicketHead, by: Person) -> str:
    """Why this person cannot change the map now; empty where they can."""
    if not may(by, "work at the bench"):
        return "The map is changed at the bench. Ask a technician."
    if head.state not in ("bench", "to-sign"):
        return "This ticket is not on a bench. Take it first, then change its map."
    return ""


@dataclass(frozen=True)
class Reopening:
    """What saving does to the ticks there are."""

    head: str
    says: str


def reopening(work: Work | None, card: Card) -> Reopening | None:
    """The steps with evidence that a new card asks anew; None before there is evidence."""
    steps = work.steps if work else ()
    seen = {s.step.key for s in steps if s.entries}
    if work is None or not seen:
        return None
    changes = compare(work.facts.card, card)
    again = [r.step for r in changes.reopened if r.step.key in seen]
    lost = seen.intersection(changes.gone) | {step.key for step in again}
    stay = sum(s.done and s.step.key not in lost for s in steps)
    gone = len(seen.intersection(changes.gone))
    named = _listed([f"{step.number} {step.title}" for step in again])
    falls = f" {gone} {'step falls' if gone == 1 else 'steps fall'} away." if gone else ""
    ticks = f" The other {stay} {'tick stays' if stay == 1 else 'ticks stay'}." if lost else ""
    if not again:
        return Reopening(
            "Saving this re-opens no step.", (falls + ticks or " All ticks stay.").strip()
        )
    count = f"{len(again)} step" + ("s" if len(again) > 1 else "")
    return Reopening(f"Saving this re-opens {count}:", f"{named}.{falls}{ticks}")


def _listed(words: list[str]) -> str:
    return ", ".join(words[:-1]) + (", and " if len(words) > 1 else "") + (words or [""])[-1]
