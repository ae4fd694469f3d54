"""One look at a ticket for the bench's pages: its head, its work, and the power as it holds now."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from urllib.parse import quote
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from server.records import tickets
from server.records.builds import RevisionRow
from server.records.engine import reading
from server.records.evidence import EntryRow
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade.card import Step
from server.trade.card.text import shortened
from server.trade.fault_finder import Check
from server.trade.gate import (
    Blocked,
    PowerNow,
    Situation,
    may_connect,
    may_record,
    may_work,
)
from server.trade.power import Power
from server.web.bench.shut import Shut, drawn
from server.web.site.filters import Clock
from server.web.site.page import PowerStrip
from server.web.ticket.frame import power_of, strip_from
from server.work.bench.progress import Obstacle, TicketSeen, Work, card_facts, seen_of, work_of
from server.work.bench.situation import check_task, situation, step_task
from server.work.bench.soldered import MOVED
from server.work.bench.step_status import StepStatus
from server.work.errors import Missing
from server.work.permissions import refusal
from server.work.port_map.facts import facts_of
from server.work.shop import Person, Shop

CHECK = "faults/"  # before a check's code, where a step's key may stand; no stage is called so
NO_STEP = ("This craft’s card has no such step.", "Open the card again.")


@dataclass(frozen=True)
class BenchState:
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

    @cached_property
    def power(self) -> PowerNow:
        """The power as it holds now."""
        return power_of(self.head, self.profile, self.at)

    @cached_property
    def strip(self) -> PowerStrip:
        """The power strip."""
        return strip_from(self.head, self.profile, self.at, self.power)

    @cached_property
    def situation(self) -> Situation:
        """What the gate knows."""
        return situation(self.head, self.power, self.work.facts if self.work else None, self.steps)

    @property
    def steps(self) -> tuple[StepStatus, ...]:
        """Every step of the card; none without a map."""
        return self.work.steps if self.work else ()

    @cached_property
    def obstacles(self) -> tuple[Obstacle, ...]:
        """What stands in the way of this person's signature."""
        eyes = self.profile.second_eyes
        return self.work.in_the_way_of(self.by.id, eyes) if self.work else ()

    def standing(self, key: str) -> StepStatus:
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

    def stale_since(self, standing: StepStatus) -> int | None:
        """The map revision that changed what a stale step rests on; None where it was no map."""
        last = standing.last
        if standing.entries or last is None:
            return None
        for row in self.revisions:
            if row.revision > last.revision and _other_basis(row, standing, last):
                return row.revision
        return self.head.revision

    def shut(self, standing: StepStatus) -> Shut | None:
        """What keeps this step from being recorded now; None when it is open."""
        return self.shut_to_person() or self._drawn(
            may_record(step_task(standing), self.situation), standing.step.key
        )

    def shut_check(self, check: Check) -> Shut | None:
        """What keeps this check of the fault finder from an answer; None when nothing does."""
        blocked = may_record(check_task(check), self.situation)
        return self.shut_to_person() or self._drawn(blocked, CHECK + check.code)

    def shut_to_person(self) -> Shut | None:
        """What keeps this person, or anybody, from working on the ticket."""
        no = refusal(self.by, "work at the bench")
        return Shut(f"{no.says} {no.do}") if no else self._drawn(may_work(self.situation))

    def shut_source(self, to: Power) -> Shut | None:
        """What keeps this source from being connected, propellers aside."""
        return self._drawn(may_connect(to, self.situation))

    def _drawn(self, blocked: Blocked | None, back: str = "") -> Shut | None:
        return drawn(blocked, self.address, back) if blocked else None


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


def look(shop: Shop, by: Person, profile: ShopRow, number: int) -> BenchState:
    """The ticket as it stands. Raises Missing."""
    with reading(shop.engine) as connection:
        head = _head(connection, number)
        seen = seen_of(connection, head, work_of(connection, head))
    return looked(seen, by, profile, shop.now())


def looked(seen: TicketSeen, by: Person, profile: ShopRow, at: datetime) -> BenchState:
    """The same from what an act found and decided."""
    return BenchState(seen.head, profile, by, at, seen.work, seen.symptoms, seen.revisions)


def _other_basis(row: RevisionRow, standing: StepStatus, last: EntryRow) -> bool:
    steps, basis = facts_of(row.sheet).card.steps(), last.basis.removeprefix(MOVED)
    return all(s.key != standing.step.key or s.basis != basis for s in steps)
