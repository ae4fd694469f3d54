"""What must hold between the parts of a log before anybody signs it, and for ever after.

The shape alone cannot say it: no stop left open, no needed step without its pass, nothing done
under battery power without a confirmation that the propellers are off.
"""

from collections.abc import Iterator
from typing import Any

from server.ledger.canonical import below
from server.ledger.document import TestLog
from server.ledger.envelope import Problem
from server.ledger.parts import Entry, LogFinding, LogStep
from server.trade.finding import Severity
from server.trade.power import MOVES, POWERED, Power

Confirmed = frozenset[tuple[Power, str, str]]


def faults(log: TestLog) -> Iterator[Problem]:
    """Everything in `log` that contradicts itself or stands in the way of its signature."""
    yield from _place(log)
    yield from _sheet(log)
    for index, finding in enumerate(log.findings):
        yield from _finding(finding, f"findings[{index}]")
    yield from _history(log)
    yield from _eyes(log)
    confirmed, digests = _confirmed(log), {a.digest for a in log.attachments}
    for at, step in steps(log):
        yield from _outcome(step, at)
        for index, entry in enumerate(step.evidence):
            here = f"{at}.evidence[{index}]"
            yield from _entry(entry, here, confirmed, digests)
            yield from _replaced(entry, here, step.evidence[:index])


def steps(log: TestLog) -> Iterator[tuple[str, LogStep]]:
    """Every step with its path."""
    for i, stage in enumerate(log.stages):
        for j, step in enumerate(stage.steps):
            yield f"stages[{i}].steps[{j}]", step


def _place(log: TestLog) -> Iterator[Problem]:
    if (log.number == 1) != (log.previous is None):
        yield Problem("previous", "The first log of a shop, and no other, has no previous one.")
    if log.signed_at < log.completed_at:
        yield Problem("signed_at", "It is signed before the work was finished.")


def _sheet(log: TestLog) -> Iterator[Problem]:
    """The craft and board named at the head are those of the sheet."""
    heads: dict[str, tuple[tuple[str, str], Any]] = {
        "craft.name": (("craft", "name"), log.craft.name),
        "craft.props": (("craft", "props"), log.craft.props),
        "craft.cells": (("battery", "cells"), log.craft.cells),
        "board.model": (("board", "model"), log.board.model),
        "board.mcu": (("board", "mcu"), log.board.mcu),
    }
    for at, ((part, key), said) in heads.items():
        there = log.sheet.get(part)
        if not isinstance(there, dict) or there.get(key) != said:
            yield Problem(at, f"It is not what sheet.{part}.{key} says.")


def _finding(finding: LogFinding, at: str) -> Iterator[Problem]:
    how = finding.settled.how if finding.settled else None
    if finding.severity is Severity.STOP and how != "cleared":
        yield Problem(f"{at}.settled", f"{finding.code} is a stop: it cannot be signed.")
    if finding.severity is Severity.CAUTION and how is None:
        yield Problem(f"{at}.settled", f"{finding.code} is a caution that nobody accepted.")


def _eyes(log: TestLog) -> Iterator[Problem]:
    """The second pair of eyes is another pair."""
    for index, stage in enumerate(log.stages):
        did = {e.by for step in stage.steps for e in step.evidence if not e.stale}
        if stage.seen_by is not None and stage.seen_by.by in did:
            says = f"{stage.seen_by.by} did some of this stage, and is no second pair of eyes."
            yield Problem(f"stages[{index}].seen_by", says)


def _history(log: TestLog) -> Iterator[Problem]:
    state = Power.COLD
    for index, event in enumerate(log.power):
        at = f"power[{index}]"
        if event.event != "state":
            if event.state is not state:
                yield Problem(f"{at}.state", f"The craft was {state} then.")
        elif event.state not in MOVES[state].values():
            yield Problem(f"{at}.state", f"From {state} to {event.state} is no single move.")
        if event.event == "props-off" and event.by is None:
            yield Problem(f"{at}.by", "A confirmation has a name.")
        state = event.state


def _confirmed(log: TestLog) -> Confirmed:
    seen = (e for e in log.power if e.event == "props-off" and e.by is not None)
    return frozenset((e.state, e.by or "", e.at) for e in seen)


def _outcome(step: LogStep, at: str) -> Iterator[Problem]:
    if not step.needed and not step.evidence:
        return
    if not step.evidence:
        yield Problem(at, f"Step {step.number} has no evidence.")
    elif step.evidence[-1].stale:
        yield Problem(at, f"The evidence of step {step.number} is stale.")
    elif step.evidence[-1].verdict != "pass":
        yield Problem(at, f"Step {step.number} did not pass.")


def _entry(entry: Entry, at: str, confirmed: Confirmed, digests: set[str]) -> Iterator[Problem]:
    if entry.power in POWERED:
        off = entry.props_off
        if off is None or (entry.power, off.by, off.at) not in confirmed:
            says = f"Done in {entry.power} without a propellers-off confirmation in the history."
            yield Problem(f"{at}.props_off", says)
    attachment = entry.found.get("attachment")
    if attachment is not None and str(attachment) not in digests:
        yield Problem(f"{at}.found.attachment", "It is not among the attachments.")
    yield from _fractions(entry.found, f"{at}.found")


def _replaced(entry: Entry, at: str, earlier: tuple[Entry, ...]) -> Iterator[Problem]:
    if entry.replaces is not None and entry.replaces not in {e.entry for e in earlier}:
        yield Problem(f"{at}.replaces", "It replaces no earlier entry of this step.")


def _fractions(value: Any, at: str) -> Iterator[Problem]:
    """A reading keeps the digits that were typed, which a JSON number would not."""
    if isinstance(value, float):
        yield Problem(at, "A number with a fraction is written as text.")
    elif isinstance(value, dict):
        for key, member in value.items():
            yield from _fractions(member, below(at, key))
    elif isinstance(value, list):
        for index, item in enumerate(value):
            yield from _fractions(item, below(at, index))
