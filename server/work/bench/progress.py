"""Everything about one ticket's work that the card, the sign page and the log need, in one look."""

from dataclasses import dataclass

from sqlalchemy import Connection

from server.records import builds, evidence, tickets, wording
from server.records.builds import RevisionRow
from server.records.tickets import TicketHead
from server.trade.finding import Finding, Severity
from server.trade.gate import barring_signature
from server.work.bench import second_eyes
from server.work.bench.soldered import entries_now
from server.work.bench.step_status import StepStatus, standings
from server.work.port_map.facts import SheetFacts, facts_of


@dataclass(frozen=True)
class Obstacle:
    """One thing that stands in the way of signing. `step` or `finding` names what to open."""

    kind: str  # todo, out, more, stale, stop, caution, eyes
    says: str
    step: str = ""
    finding: str = ""


@dataclass(frozen=True)
class Work:
    """A ticket's card as it stands."""

    facts: SheetFacts
    steps: tuple[StepStatus, ...]
    accepted: tuple[evidence.AcceptedRow, ...]

    @property
    def obstacles(self) -> tuple[Obstacle, ...]:
        """What stands in the way of signing, stops first, then steps in their order."""
        taken = {row.finding_key for row in self.accepted}
        return (
            *(_finding(f) for f in barring_signature(self.facts.findings)),
            *(_step(s) for s in self.steps if not s.done),
            *(_finding(f) for f in self.facts.cautions if f.key not in taken),
        )

    def in_the_way_of(self, by_id: int, eyes: str) -> tuple[Obstacle, ...]:
        """The same for one person's signature under the shop's rule of a second pair of eyes."""
        says = second_eyes.in_the_way(eyes, self.steps, by_id)
        if not says:
            return self.obstacles
        step = second_eyes.first_step(eyes, self.steps, by_id)
        return (*self.obstacles, Obstacle("eyes", says, step=step.key))


@dataclass(frozen=True)
class TicketSeen:
    """A ticket as it stands: what the bench's pages are drawn from.

    `work` is None before the first map was saved; `revisions` are there where a step is stale.
    """

    head: TicketHead
    work: Work | None
    symptoms: tuple[str, ...]
    revisions: tuple[RevisionRow, ...]


def card_facts(connection: Connection, head: TicketHead) -> SheetFacts | None:
    """The ticket's findings and card in the shop's words; None before its map was saved."""
    if head.sheet is None:
        return None
    return facts_of(head.sheet, wording.of(connection, head.family) if head.family else ())


def work_of(connection: Connection, head: TicketHead) -> Work | None:
    """The work on a ticket; None before its map was saved."""
    facts = card_facts(connection, head)
    if facts is None:
        return None
    steps = standings(facts.card, entries_now(connection, head.id, facts.card, head.revision))
    return Work(facts, steps, tuple(evidence.accepted(connection, head.id, head.revision)))


def seen_of(connection: Connection, head: TicketHead, work: Work | None) -> TicketSeen:
    """The ticket with its work, and what else its pages show."""
    stale = work is not None and any(step.mark == "stale" for step in work.steps)
    rows = tuple(builds.revisions(connection, head.id)) if stale else ()
    return TicketSeen(head, work, tuple(tickets.symptoms(connection, head.id)), rows)


def _finding(finding: Finding) -> Obstacle:
    kind = "stop" if finding.severity is Severity.STOP else "caution"
    return Obstacle(kind, finding.says, finding=finding.key)


def _step(standing: StepStatus) -> Obstacle:
    return Obstacle(
        standing.mark, f"{standing.step.number} {standing.step.title}", step=standing.step.key
    )
