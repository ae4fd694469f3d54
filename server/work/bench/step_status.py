"""How each step of a card stands, from what was recorded. Pure: rows in, standings out."""

import json
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from server.records.evidence import EntryRow as Entry
from server.trade.card import FIRST_POWER, Card, Judgement, Step, gather, judge
from server.trade.gate import StepRef


@dataclass(frozen=True)
class Standing:
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
    def done(self) -> bool:
        """Whether nothing is left to do here."""
        return self.mark == "done"


def standings(card: Card, entries: Iterable[Entry]) -> tuple[Standing, ...]:
    """Every step of the card, in its order."""
    by_key = _by_key(entries)
    # Only the answers that another step's judgement reads have to be taken out of their text.
    reading = [step for step in card.steps() if step.reads and step.key in by_key]
    wanted = {key for step in reading for key in (step.key, *step.reads)}
    given = _answers(card, by_key, wanted)
    found: dict[str, Standing] = {}
    for step in card.steps():
        found[step.key] = _standing(step, by_key.get(step.key, ()), given, found)
    return tuple(found.values())


def first_power(steps: Iterable[Standing]) -> Standing | None:
    """The first-power step while it is still to be passed for the wiring as it is, else None."""
    return next((s for s in steps if s.step.key == FIRST_POWER and not s.done), None)


def so_far(card: Card, entries: Iterable[Entry]) -> dict[str, dict[str, Any]]:
    """The answer in force of each step that has one."""
    by_key = _by_key(entries)
    return _answers(card, by_key, by_key)


def in_force(step: Step, entries: Iterable[Entry]) -> tuple[Entry, ...]:
    """The entries that were made for the step's present target."""
    return tuple(e for e in entries if e.basis == step.basis)


def _by_key(entries: Iterable[Entry]) -> dict[str, list[Entry]]:
    found: dict[str, list[Entry]] = {}
    for entry in entries:
        found.setdefault(entry.key, []).append(entry)
    return found


def _answers(
    card: Card, by_key: Mapping[str, Sequence[Entry]], wanted: Container[str]
) -> dict[str, dict[str, Any]]:
    steps = (step for step in card.steps() if step.key in wanted and step.key in by_key)
    answers = {step.key: _answer(step, by_key[step.key]) for step in steps}
    return {key: answer for key, answer in answers.items() if answer is not None}


def _answer(step: Step, entries: Sequence[Entry]) -> dict[str, Any] | None:
    return gather(step, [json.loads(e.answer) for e in in_force(step, entries)])


def _standing(
    step: Step,
    entries: Sequence[Entry],
    given: Mapping[str, dict[str, Any]],
    before: Mapping[str, Standing],
) -> Standing:
    present = in_force(step, entries)
    older = tuple(e for e in entries if e.basis != step.basis)
    waits = tuple(
        StepRef(key, before[key].step.number)
        for key in step.after
        if key in before and not before[key].done
    )
    if not present:
        return Standing(step, "stale" if older else "todo", (), older, None, waits)
    # A judgement that reads other steps' answers is asked again: they may have changed since, and
    # then the step has to be done again.
    judgement = _judged(step, given) if step.reads else None
    verdict = present[-1].verdict
    moved = judgement is not None and judgement.state != verdict
    mark = "stale" if moved else {"pass": "done", "fail": "out", "more": "more"}[verdict]
    return Standing(step, mark, present, older, judgement, waits)


def _judged(step: Step, given: Mapping[str, dict[str, Any]]) -> Judgement:
    read = {key: given[key] for key in (step.key, *step.reads) if key in given}
    return _judged_once(step, json.dumps(read, sort_keys=True))


@lru_cache(maxsize=1024)
def _judged_once(step: Step, answers: str) -> Judgement:
    """The same answers to the same step are worth the same; a card asks at every look."""
    given = json.loads(answers)
    return judge(step, given[step.key], given)


def counted(steps: Iterable[Standing]) -> tuple[int, int, int]:
    """How many are done, how many have to be done again, and how many there are."""
    marks = [s.mark for s in steps]
    return marks.count("done"), marks.count("stale") + marks.count("out"), len(marks)
