"""What the map's pages look at: the ticket, its map in force, and what is being drawn up."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection

from server.records import builds, evidence, tickets
from server.records.builds import DraftRow, RevisionRow
from server.records.engine import reading
from server.records.evidence import EntryRow
from server.records.tickets import TicketHead
from server.trade.card import Step
from server.trade.ticket import ON_A_BENCH
from server.work.bench.progress import Work, work_of
from server.work.bench.soldered import moved_since
from server.work.errors import Missing, Stale
from server.work.permissions import may
from server.work.port_map.facts import SheetFacts, facts_of
from server.work.port_map.reopening import Reopens, reopens
from server.work.shop import Person, Shop


@dataclass(frozen=True)
class MapState:
    """One ticket's map as it is now. `text` is the draft's sheet, else the sheet in force."""

    head: TicketHead
    draft: DraftRow | None
    work: Work | None
    entries: tuple[EntryRow, ...] = ()
    revisions: tuple[RevisionRow, ...] = ()

    @property
    def text(self) -> str:
        """The sheet shown. Empty before there is one."""
        return self.draft.sheet if self.draft else self.head.sheet or ""

    @property
    def facts(self) -> SheetFacts:
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

    def reopens(self, after: SheetFacts) -> Reopens | None:
        """What a map with these facts would do to the ticks; None without a card."""
        if self.work is None:
            return None
        entries = moved_since(after.card, self.entries, self.revisions)
        return reopens(self.work.steps, entries, self.work.accepted, after)

    def require_seen(self, base: str) -> None:
        """Raise Stale where the page that was sent showed another map."""
        if base != self.base:
            raise Stale("Somebody else changed this map meanwhile.", "Load the page again.")


def look(shop: Shop, number: int) -> MapState:
    """The map of one ticket. Raises Missing."""
    with reading(shop.engine) as connection:
        return look_in(connection, number)


def look_in(connection: Connection, number: int) -> MapState:
    """The same inside a transaction that is open already."""
    head = tickets.head(connection, number)
    if head is None:
        raise Missing(f"There is no ticket {number:04d}.", "Look in the queue.")
    entries = tuple(evidence.entries(connection, head.id))
    revisions = tuple(builds.revisions(connection, head.id)) if entries else ()
    draft, work = builds.draft(connection, head.id), work_of(connection, head)
    return MapState(head, draft, work, entries, revisions)


def why_not(head: TicketHead, by: Person) -> str:
    """Why this person cannot change the map now; empty where they can."""
    if not may(by, "work at the bench"):
        return "The map is changed at the bench. Ask a technician."
    if head.state not in ON_A_BENCH:
        return "This ticket is not on a bench. Take it first, then change its map."
    return ""


@dataclass(frozen=True)
class Reopening:
    """What saving does to the ticks there are; `keys` go back with the form that was asked."""

    head: str
    says: str
    keys: tuple[str, ...]


def reopening(seen: MapState, after: SheetFacts) -> Reopening | None:
    """What saving a map with these facts re-opens; None before there is evidence."""
    found = seen.reopens(after)
    if seen.work is None or found is None or not any(s.entries for s in seen.work.steps):
        return None
    again, keys = len(found.again), tuple(sorted(found.keys))
    falls = _count(len(found.gone), "step falls away", "steps fall away", found.gone)
    back = _count(len(found.back), "older tick counts again", "older ticks count again", found.back)
    anew = _count(found.cautions, "caution is accepted anew", "cautions are accepted anew")
    if not again:
        says = f"{falls}{anew}{back}" or " All ticks stay."
        return Reopening("Saving this re-opens no step.", says.strip(), keys)
    named = _listed([f"{step.number} {step.title}" for step in found.again])
    ticks = f" The other {found.stay} {'tick stays' if found.stay == 1 else 'ticks stay'}."
    head = f"Saving this re-opens {again} step{'' if again == 1 else 's'}:"
    return Reopening(head, f"{named}.{falls}{anew}{back}{ticks}", keys)


def _count(count: int, one: str, more: str, steps: Sequence[Step] = ()) -> str:
    if not count:
        return ""
    named = f" ({_listed([step.number for step in steps])})" if steps else ""
    return f" {count} {one if count == 1 else more}{named}."


def _listed(words: list[str]) -> str:
    return ", ".join(words[:-1]) + (", and " if len(words) > 1 else "") + (words or [""])[-1]
