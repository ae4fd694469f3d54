"""How each step of a card stands, from what was recorded. Pure: rows in, standings out."""

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from server.records.evidence import EntryRow as Entry
from server.trade.card import (
    FIRST_POWER,
    BadAnswer,
    Card,
    Judgement,
    Results,
    Step,
    judge,
    merged,
)
from server.trade.gate import StepRef


@dataclass(frozen=True)
class StepStatus:
    """A step with what was recorded for its present target, and for targets it had before.

    `mark` is one of todo, done, out, more, stale. `waits_for` are those before it.
    """

    step: Step
    mark: str
    entries: tuple[Entry, ...] = ()
    older: tuple[Entry, ...] = ()
    judgement: Judgement | None = None
    waits_for: tuple[StepRef, ...] = ()

    @property
    def last(self) -> Entry | None:
        """The newest entry for the present target, else for an older one."""
        return (self.entries or self.older or (None,))[-1]

    @property
    def answer(self) -> Any | None:
        """What is recorded for the present target, of the type of the step's kind.

        None where there is nothing, or nothing that can still be read.
        """
        return _answer(self.step, _texts(self.entries))

    @property
    def done(self) -> bool:
        """Whether nothing is left to do here."""
        return self.mark == "done"


def standings(card: Card, entries: Iterable[Entry]) -> tuple[StepStatus, ...]:
    """Every step of the card, in its order."""
    by_key = _by_key(entries)
    steps = {step.key: step for step in card.steps()}
    found: dict[str, StepStatus] = {}
    for step in steps.values():
        read = [steps[key] for key in step.reads if key in steps]
        found[step.key] = _standing(step, by_key, read, found)
    return tuple(found.values())


def first_power(steps: Iterable[StepStatus]) -> StepStatus | None:
    """The first-power step while it is still to be passed for the wiring as it is, else None."""
    return next((s for s in steps if s.step.key == FIRST_POWER and not s.done), None)


def answers(steps: Iterable[StepStatus]) -> Results:
    """What is recorded at each of these steps that has an answer."""
    return Results({s.step.key: answer for s in steps if (answer := s.answer) is not None})


def answer_of(step: Step, entry: Entry) -> Any | None:
    """One entry by itself; None where it can no longer be read."""
    return _answer(step, (entry.answer,))


def judged(standing: StepStatus, others: Mapping[str, StepStatus]) -> Judgement | None:
    """What stands at a step, judged with all that a solver works out.

    None without entries, and where they were kept under an older reading of the kind.
    """
    step = standing.step
    read = ((others[key].step, _texts(others[key].entries)) for key in step.reads if key in others)
    return _judged(step, _texts(standing.entries), tuple(read))


def in_force(step: Step, entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """The entries that were made for the step's present target."""
    return tuple(e for e in entries if e.basis == step.basis)


def _by_key(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    found: dict[str, list[Entry]] = {}
    for entry in entries:
        found.setdefault(entry.key, []).append(entry)
    return found


def _standing(
    step: Step,
    entries: Mapping[str, Sequence[Entry]],
    read: Sequence[Step],
    before: Mapping[str, StepStatus],
) -> StepStatus:
    own = entries.get(step.key, ())
    present = in_force(step, own)
    older = tuple(e for e in own if e.basis != step.basis)
    waits = tuple(
        StepRef(key, before[key].step.number)
        for key in step.after
        if key in before and not before[key].done
    )
    if not present:
        return StepStatus(step, "stale" if older else "todo", (), older, None, waits)
    # A judgement that reads other steps' answers is asked again: they may have changed since, and
    # then the step has to be done again.
    others = tuple((each, _texts(in_force(each, entries.get(each.key, ())))) for each in read)
    judgement = _judged(step, _texts(present), others) if step.reads else None
    verdict = present[-1].verdict
    moved = judgement is not None and judgement.state != verdict
    mark = "stale" if moved else {"pass": "done", "fail": "out", "more": "more"}[verdict]
    return StepStatus(step, mark, present, older, judgement, waits)


def _texts(entries: Iterable[Entry]) -> tuple[str, ...]:
    return tuple(e.answer for e in entries)


@lru_cache(maxsize=1024)
def _answer(step: Step, texts: tuple[str, ...]) -> Any | None:
    """The same entries of the same step are the same answer; a card asks at every look."""
    return merged(step, [json.loads(text) for text in texts])


@lru_cache(maxsize=1024)
def _judged(
    step: Step, texts: tuple[str, ...], others: tuple[tuple[Step, tuple[str, ...]], ...]
) -> Judgement | None:
    """What stands at a step in the light of the others; None where it can no longer be read."""
    answer = _answer(step, texts)
    read = {other.key: _answer(other, entries) for other, entries in others}
    try:
        return None if answer is None else judge(step, answer, Results(read))
    except BadAnswer:
        return None


def counted(steps: Iterable[StepStatus]) -> tuple[int, int, int]:
    """How many are done, how many have to be done again, and how many there are."""
    marks = [s.mark for s in steps]
    return marks.count("done"), marks.count("stale") + marks.count("out"), len(marks)
