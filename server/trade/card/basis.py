"""Which parts of the sheet a step's target rests on, and what a changed sheet does to its ticks.

A basis is a flat mapping of plain words to plain text, so that two of them can be compared and the
difference said in a line. Nothing in it depends on the order of a sheet's lists.
"""

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass

from server.trade.card.model import Card, Step
from server.trade.card.text import listed

Parts = Mapping[str, str]

# 24 hex digits are 96 bits: two different bases of one step never meet by chance.
_DIGITS = 24
_MOST_LINES = 4


def digest(parts: Parts) -> str:
    """24 hex digits of the SHA-256 of the sorted parts."""
    # Names of a sheet are printable, so neither mark can stand inside one.
    text = "\n".join(f"{name}\t{value}" for name, value in sorted(parts.items()))
    return hashlib.sha256(text.encode()).hexdigest()[:_DIGITS]


@dataclass(frozen=True, slots=True)
class Reopened:
    """A step whose target changed. `says` names what changed, in a line."""

    step: Step
    says: str


@dataclass(frozen=True, slots=True)
class Changes:
    """What a new card means for an old one; keys in the new card's order, gone ones in the old's.

    `kept` keep their ticks. `new` are steps that the old card did not have.
    """

    reopened: tuple[Reopened, ...]
    kept: tuple[str, ...]
    gone: tuple[str, ...]
    new: tuple[str, ...]


def compare(old: Card | Mapping[str, str | Parts], new: Card) -> Changes:
    """Steps to do again, kept, gone and new.

    `old` is a card, or for each key the basis as it was recorded: its digest, or better its parts,
    since only from parts can it be said what changed.
    """
    before = {s.key: s.basis_parts for s in old.steps()} if isinstance(old, Card) else dict(old)
    reopened, kept, fresh = [], [], []
    for step in new.steps():
        if step.key not in before:
            fresh.append(step.key)
        elif _same(before[step.key], step):
            kept.append(step.key)
        else:
            reopened.append(Reopened(step, changed(before[step.key], step)))
    now = {step.key for step in new.steps()}
    gone = tuple(key for key in before if key not in now)
    return Changes(tuple(reopened), tuple(kept), gone, tuple(fresh))


def changed(old: str | Parts, step: Step) -> str:
    """One line of what differs between an old basis and the step's own."""
    if isinstance(old, str):
        return f"Changed since: {listed(step.basis_parts) or 'the sheet'}."
    now = step.basis_parts
    lines = [
        _difference(name, old.get(name), now.get(name))
        for name in (*now, *(name for name in old if name not in now))
        if old.get(name) != now.get(name)
    ]
    if len(lines) > _MOST_LINES:
        lines = [*lines[: _MOST_LINES - 1], f"{len(lines) - _MOST_LINES + 1} more"]
    return "; ".join(lines) + "."


def _same(old: str | Parts, step: Step) -> bool:
    return old == step.basis if isinstance(old, str) else digest(old) == step.basis


def _difference(name: str, old: str | None, new: str | None) -> str:
    if old is None:
        return f"{name}: now {new}"
    return f"{name}: was {old}, now {'gone' if new is None else new}"
