"""What a changed map does to the ticks there are, worked out before it is saved. Pure.

The same standings that hold afterwards are worked out over the new card: so a step counts as
re-opened also where only an answer that its judgement reads falls away.
"""

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

from server.records.evidence import AcceptedRow
from server.records.evidence import EntryRow as Entry
from server.trade.card import Step
from server.work.bench.step_status import StepStatus, standings
from server.work.port_map.facts import SheetFacts


@dataclass(frozen=True)
class Reopens:
    """`again`: steps with evidence that the new card asks anew. `gone`: steps with evidence that it
    does not have. `back`: steps whose older evidence counts again. `stay`: ticks that stay.
    `cautions`: how many accepted ones the supervisor looks at anew.
    """

    again: tuple[Step, ...]
    gone: tuple[Step, ...]
    back: tuple[Step, ...]
    stay: int
    cautions: int

    @property
    def keys(self) -> frozenset[str]:
        """The steps that have to be asked about."""
        return frozenset(step.key for step in (*self.again, *self.gone))


def reopens(
    now: Sequence[StepStatus],
    entries: Iterable[Entry],
    accepted: Collection[AcceptedRow],
    after: SheetFacts,
) -> Reopens:
    """What saving a map with these `after` facts does to a card that stands as `now`."""
    new = {s.step.key: s for s in standings(after.card, entries)}
    before = {s.step.key: s for s in now}
    seen = [s for s in now if s.entries]
    kept = {f.key for f in after.cautions}
    return Reopens(
        again=tuple(
            new[s.step.key].step
            for s in seen
            if s.step.key in new and _asks_anew(s, new[s.step.key])
        ),
        gone=tuple(s.step for s in seen if s.step.key not in new),
        back=tuple(s.step for s in new.values() if s.done and not _done(before.get(s.step.key))),
        stay=sum(s.done and s.step.key in new and new[s.step.key].done for s in seen),
        cautions=sum(row.finding_key in kept for row in accepted),
    )


def _asks_anew(before: StepStatus, after: StepStatus) -> bool:
    lost = not after.entries  # its target changed
    return lost or (before.done and not after.done)


def _done(standing: StepStatus | None) -> bool:
    return standing is not None and standing.done
