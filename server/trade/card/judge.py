"""From what a hand recorded to what it is worth."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from server.trade.card import (
    losing,
    mounted,
    packs,
    proofs,
    ranges,
    resting,
    shared,
    simple,
    sticks,
)
from server.trade.card.answers import Answer, mapping
from server.trade.card.evidence import Others, Spec, Spins
from server.trade.card.judgement import Judgement
from server.trade.card.model import Step

SoFar = Mapping[str, Mapping[str, Any]]

_SIMPLE: dict[str, Callable[[Any, Answer], Judgement]] = {
    "tick": simple.tick,
    "choice": simple.choice,
    "value": simple.value,
    "cells": packs.cells,
    "order": simple.order,
    "file": simple.file,
    "photo": simple.photo,
    "faces": mounted.faces,
    "sticks": sticks.sticks,
    "channels": ranges.channels,
    "rest": resting.rest,
    "loss": losing.loss,
    "switch": ranges.switch,
}
KINDS = (*_SIMPLE, "spins", "others")


def judge(step: Step, answer: Answer, so_far: SoFar | None = None) -> Judgement:
    """What `answer` is worth at `step`.

    `answer` is one entry, or several folded by `gather`. `so_far` holds the folded answers of the
    other steps by key; only those in `step.reads` are looked at. Out of limits is a judgement;
    an answer of the wrong shape raises BadAnswer with the field.
    """
    spec: Spec = step.evidence
    given = mapping(answer, "answer")
    if isinstance(spec, Spins):
        return proofs.spins(spec, given, so_far or {})
    if isinstance(spec, Others):
        return shared.others(spec, given, so_far or {})
    return _SIMPLE[spec.kind](spec, given)


# Kinds of which an entry may hold one part: the name of all parts together, and of one.
PARTS = {
    "spins": ("spins", "output"),
    "channels": ("channels", "channel"),
    "sticks": ("sticks", "stick"),
}


def gather(step: Step, answers: Sequence[Answer]) -> dict[str, Any] | None:
    """All entries of one step, oldest first, as one answer: None where there is none.

    Of a kind in PARTS the latest entry of each part counts, and what the newest leaves to be spun
    again; of any other kind the latest stands.
    """
    if not answers:
        return None
    if step.evidence.kind not in PARTS:
        return dict(answers[-1])
    many, one = PARTS[step.evidence.kind]
    latest: dict[str, Any] = {}
    for answer in answers:
        parts = answer.get(many, [answer])
        if not isinstance(parts, list | tuple) or not all(isinstance(p, Mapping) for p in parts):
            return dict(answers[-1])  # of another shape: for the judge to refuse
        latest |= {str(part.get(one)): _alone(part) for part in parts}
    to_come = {"again": answers[-1]["again"]} if answers[-1].get("again") else {}
    return {many: [latest[name] for name in sorted(latest)]} | to_come


def _alone(part: Answer) -> dict[str, Any]:
    """A part without what its round left to be done."""
    return {name: value for name, value in part.items() if name != "again"}


def same_part(kind: str, one: Answer, other: Answer) -> bool:
    """Whether the later of two entries of one step puts the other right, in whole or in part."""
    if kind not in PARTS:
        return True
    many, part = PARTS[kind]
    return many in one or many in other or one.get(part) == other.get(part)
