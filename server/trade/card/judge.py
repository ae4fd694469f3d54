"""From what a hand recorded to what it is worth."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from server.trade.card import proofs, ranges, shared, simple
from server.trade.card.answers import Answer, mapping
from server.trade.card.evidence import Others, Spec, Spins
from server.trade.card.judgement import Judgement
from server.trade.card.model import Step

SoFar = Mapping[str, Mapping[str, Any]]

_SIMPLE: dict[str, Callable[[Any, Answer], Judgement]] = {
    "tick": simple.tick,
    "choice": simple.choice,
    "value": simple.value,
    "order": simple.order,
    "file": simple.file,
    "photo": simple.photo,
    "faces": proofs.faces,
    "channels": ranges.channels,
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


def gather(step: Step, answers: Sequence[Answer]) -> dict[str, Any] | None:
    """All entries of one step, oldest first, as one answer: None where there is none.

    Spins keep the latest tap of each output; of any other kind the latest entry stands.
    """
    if not answers:
        return None
    if isinstance(step.evidence, Spins):
        taps = (tap for answer in answers for tap in answer.get("spins", [answer]))
        latest = {str(tap.get("output")): dict(tap) for tap in taps}
        return {"spins": [latest[output] for output in sorted(latest)]}
    return dict(answers[-1])
