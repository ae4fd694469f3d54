"""Judging answers as they are posted: read, merged where there are several, and judged."""

from collections.abc import Mapping, Sequence
from typing import Any

from server.trade.card import Judgement, Results, Step, derive, judge, kind_of, merged, read
from tests import example_sheet

CARD = derive(example_sheet.sheet())
Posted = Mapping[str, Any]


def judged(step: Step, posted: Posted, before: Mapping[str, Posted] | None = None) -> Judgement:
    """What was posted at a step, with what was posted at the steps that it reads."""
    others = {key: merged(CARD.step(key), [answer]) for key, answer in (before or {}).items()}
    return judge(step, read(step, posted), Results(others))


def together(step: Step, posted: Sequence[Posted]) -> dict[str, Any]:
    """Several entries of one step as one answer. Raises BadAnswer."""
    kind = kind_of(step.evidence)
    return kind.write(kind.merge(step.evidence, [read(step, each) for each in posted]))
