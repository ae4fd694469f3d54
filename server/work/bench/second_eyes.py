"""A second pair of eyes, where the shop wants one: nobody signs for what they did themselves.

The shop's rule is `none`, `motors` (whoever did the motor stage signs no log of it) or `log`
(whoever recorded anything of it does not).
"""

from collections.abc import Iterable

from server.trade.card import Step
from server.work.bench.step_status import StepStatus

MOTORS = "motors"


def covers(rule: str, stage: str) -> bool:
    """Whether the rule asks for a second pair of eyes on this stage."""
    return rule == "log" or (rule == "motors" and stage == MOTORS)


def did(rule: str, steps: Iterable[StepStatus]) -> frozenset[int]:
    """Who recorded what counts now and the rule covers, corrected entries included."""
    return frozenset(
        entry.by_id for s in steps if covers(rule, s.step.stage) for entry in s.entries
    )


def in_the_way(rule: str, steps: Iterable[StepStatus], by_id: int) -> str:
    """Why this person cannot sign; empty where they can."""
    if by_id not in did(rule, steps):
        return ""
    what = "the motors" if rule == "motors" else "work on this craft"
    return f"You did {what}, so somebody else signs: this shop wants a second pair of eyes."


def first_step(rule: str, steps: Iterable[StepStatus], by_id: int) -> Step:
    """The first step that stands in this person's way."""
    return next(
        s.step
        for s in steps
        if covers(rule, s.step.stage) and any(e.by_id == by_id for e in s.entries)
    )
