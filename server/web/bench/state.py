"""One look at a ticket for the bench's pages: its head, its work, and the power as it holds now."""

from collections.abc import Sequence, Set
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import quote
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from server.records import builds, tickets
from server.records.builds import RevisionRow
from server.records.engine import reading
from server.records.evidence import EntryRow
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade.card import Step
from server.trade.card.text import shortened
from server.trade.fault_finder import Check
from server.trade.power import CONNECTED, POWERED, Power, current_first, states_now
from server.web.site.filters import Clock
from server.web.site.page import PowerStrip
from server.web.ticket.frame import strip_of
from server.work.bench import power
from server.work.bench.progress import Obstacle, Work, card_facts, work_of
from server.work.bench.recording import WORKABLE
from server.work.bench.soldered import MOVED
from server.work.bench.step_status import Standing, first_power, first_power_before
from server.work.errors import Missing
from server.work.permissions import may
from server.work.port_map.facts import facts_of
from server.work.shop import Person, Shop

NO_STEP = ("This craft’s card has no such step.", "Open the card again.")


@dataclass(frozen=True)
class Shut:
    """Why a step or a source is not open, and the page that opens it."""

    says: str
    href: str = ""
    link: str = ""


@dataclass(frozen=True)
class Look:
    """What the bench's pages are drawn from. `work` is None before the first map was saved."""

    head: TicketHead
    profile: ShopRow
    by: Person
    at: datetime
    work: Work | None
    symptoms: tuple[str, ...]
    revisions: tuple[RevisionRow, ...]

    @property
    def address(self) -> str:
        """Where the ticket's pages begin."""
        return f"/tickets/{self.head.number}"

    @property
    def clock(self) -> Clock:
        """Times in the shop's zone."""
        return Clock(ZoneInfo(self.profile.zone))

    @property
    def strip(self) -> PowerStrip:
        """The power strip."""
        return strip_of(self.head, self.profile, self.at)

    @property
    def looked(self) -> bool:
        """Whether a look at the propellers holds for the battery that is connected."""
        return power.look_holds(self.head.props_seen_at, self.profile.props_minutes, self.at)

    @property
    def steps(self) -> tuple[Standing, ...]:
        """Every step of the card; none without a map."""
        return self.work.steps if self.work else ()

    @property
    def obstacles(self) -> tuple[Obstacle, ...]:
        """What stands in the way of this person's signature."""
        eyes = self.profile.second_eyes
        return self.work.in_the_way_of(self.by.id, eyes) if self.work else ()

    def standing(self, key: str) -> Standing:
        """How one step stands. Raises Missing."""
        for standing in self.steps:
            if standing.step.key == key:
                return standing
        raise Missing(*NO_STEP)

    def step_address(self, key: str) -> str:
        """The page of one step."""
        return f"{self.address}/steps/{quote(key)}"

    def numbers(self, keys: Sequence[str]) -> str:
        """'7.1', '7.1 and 7.2', '7.1, 7.2, 7.3 and 12 more'."""
        named = {s.step.key: s.step.number for s in self.steps}
        return shortened([named.get(key, key) for key in keys])

    @property
    def first_power(self) -> Standing | None:
        """The first-power step while it is still to be passed for the wiring as it is."""
        return first_power(self.steps)

    def first_before(self, check: Check) -> str:
        """The number of that step where it comes before a check of the fault finder, or empty."""
        due = self.first_power
        return due.step.number if due and not check.reads_current else ""

    def stale_since(self, standing: Standing) -> int | None:
        """The map revision that changed what a stale step rests on; None where it was no map."""
        last = standing.last
        if standing.entries or last is None:
            return None
        for row in self.revisions:
            if row.revision > last.revision and _other_basis(row, standing, last):
                return row.revision
        return self.head.revision

    def shut(self, standing: Standing) -> Shut | None:
        """What keeps this step from being recorded now; None when it is open."""
        return (
            self.shut_to_person() or self._shut_by_steps(standing) or self.shut_by_power(standing)
        )

    def shut_to_person(self) -> Shut | None:
        """What keeps this person, or anybody, from working on the ticket."""
        if not may(self.by, "work at the bench"):
            return Shut(f"A {self.by.role} does not work at the bench. Ask a technician.")
        if self.head.state not in WORKABLE:
            return Shut("The ticket is on nobody’s bench.", f"{self.address}/card", "Open the card")
        return None

    def _shut_by_steps(self, standing: Standing) -> Shut | None:
        if not standing.waits_for:
            return None
        first = self.standing(standing.waits_for[0]).step
        says = f"Opens when {self.numbers(standing.waits_for)} {_are(standing.waits_for)} done."
        return Shut(says, self.step_address(first.key), f"Go to {first.number}")

    def shut_by_power(self, standing: Standing) -> Shut | None:
        """What is missing in power or in the look at the propellers for a step."""
        key = standing.step.key
        return self.shut_in(standing.step.states, key, first_power_before(key, self.steps))

    def shut_in(self, states: Set[Power], back: str, first: str) -> Shut | None:
        """The same for what is done in these states; `back` as in bench_asked.py, `first` as in
        trade/power.py."""
        state, where = self.strip.state, f"{self.address}/power?step={quote(back)}"
        if not self.strip.known:
            says = f"It is not known what is connected to the craft; it was {state}."
            return Shut(says, where, "Look at the craft")
        blocked, due = current_first(states, state, first), self.first_power
        if blocked is not None and due is not None:
            says = f"{blocked.says} {blocked.do}"
            return Shut(says, self.step_address(due.step.key), f"Go to {due.step.number}")
        if state not in states:
            says = f"Done on {_named(states_now(states, first))}. The craft is on {state}."
            return Shut(says, where, "Change the power")
        if state in POWERED and not self.looked:
            says = "Nobody has looked at the propellers for this connection, or not lately."
            return Shut(says, where, "Look at the propellers")
        return None


def _named(states: Set[Power]) -> str:
    return " or ".join(f"{s} ({CONNECTED[s]})" for s in Power if s in states)


def step_of(shop: Shop, number: int, key: str) -> Step:
    """One step of the ticket's card, without what was recorded. Raises Missing."""
    with reading(shop.engine) as connection:
        facts = card_facts(connection, _head(connection, number))
    for step in facts.card.steps() if facts else ():
        if step.key == key:
            return step
    raise Missing(*NO_STEP)


def _head(connection: Connection, number: int) -> TicketHead:
    head = tickets.head(connection, number)
    if head is None:
        says = f"There is no ticket {number:04d}."
        raise Missing(says, "Look in the queue, or search the name.")
    return head


def look(shop: Shop, by: Person, profile: ShopRow, number: int) -> Look:
    """The ticket as it stands. Raises Missing."""
    with reading(shop.engine) as connection:
        head = _head(connection, number)
        work = work_of(connection, head)
        symptoms = tuple(tickets.symptoms(connection, head.id))
        moved = any(s.mark == "stale" for s in work.steps) if work else False
        rows = tuple(builds.revisions(connection, head.id)) if moved else ()
    return Look(head, profile, by, shop.now(), work, symptoms, rows)


def _other_basis(row: RevisionRow, standing: Standing, last: EntryRow) -> bool:
    steps, basis = facts_of(row.sheet).card.steps(), last.basis.removeprefix(MOVED)
    return all(s.key != standing.step.key or s.basis != basis for s in steps)


def _are(many: Sequence[str]) -> str:
    return "is" if len(many) == 1 else "are"
