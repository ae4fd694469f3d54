"""The order of moves: no step in between makes a new finding that bars the USB lead.

Every finding that bars power is about one lead, its own pads and what they carry: a part without
ground, a power lead on another rail, a level over the pad's. So the order matters only among the
moves of one lead, and a lead with one move has none. Between leads, one that goes to a pad comes
after those that leave it, where that can be had.
"""

from collections.abc import Iterable, Sequence
from itertools import islice, permutations

from server.trade.finding import Bars
from server.trade.planner.applying import moved
from server.trade.planner.outcome import Move
from server.trade.rules import RULES, findings_of
from server.trade.sheet.parts import Sheet
from server.trade.wiring.wiring import Wiring

POWER_RULES = tuple(rule for rule in RULES.values() if Bars.POWER in rule.bars)
TRIED = 24  # orders of one lead's moves: all of up to four
Faults = frozenset[tuple[str, str]]


def ordered(sheet: Sheet, moves: Sequence[Move]) -> tuple[tuple[Move, ...], list[Move]]:
    """The moves in a safe order, and one move of each lead that has no safe order."""
    unsafe: list[Move] = []
    by_lead: dict[tuple[str, str, bool], list[Move]] = {}
    for move in moves:
        by_lead.setdefault((move.device, move.lead, move.channel), []).append(move)
    for key, steps in by_lead.items():
        if len(steps) > 1 and not key[2]:
            found = _safe(sheet, steps)
            if found is None:
                unsafe.append(steps[0])
            else:
                by_lead[key] = found
    return tuple(_after_those_that_leave(by_lead.values())), unsafe


def _safe(sheet: Sheet, steps: list[Move]) -> list[Move] | None:
    """The steps of one lead in an order without a new fault; None where none is found."""
    before = _barring_power(sheet)
    for order in islice(permutations(steps), TRIED):
        if _is_safe(sheet, order, before):
            return list(order)
    return None


def _is_safe(sheet: Sheet, order: Iterable[Move], before: Faults) -> bool:
    for move in order:
        sheet = moved(sheet, [move])
        if not _barring_power(sheet) <= before:
            return False
    return True


def _barring_power(sheet: Sheet) -> Faults:
    found = findings_of(Wiring(sheet), POWER_RULES)
    return frozenset((f.code, f.subject) for f in found if f.bars is Bars.POWER)


def _after_those_that_leave(leads: Iterable[Sequence[Move]]) -> list[Move]:
    """All steps, each lead's in their order: to a pad only once nothing else is to leave it."""
    waiting = [list(steps) for steps in leads]
    leaving: dict[str | None, int] = {}
    for steps in waiting:
        for move in steps:
            leaving[move.start] = leaving.get(move.start, 0) + 1
    found: list[Move] = []
    while waiting:
        at = next((i for i, steps in enumerate(waiting) if _is_clear(steps, leaving)), 0)
        move = waiting[at].pop(0)
        leaving[move.start] -= 1
        found.append(move)
        if not waiting[at]:
            waiting.pop(at)
    return found


def _is_clear(steps: Sequence[Move], leaving: dict[str | None, int]) -> bool:
    move = steps[0]
    own = sum(step.start == move.end for step in steps)
    return move.end is None or leaving.get(move.end, 0) <= own
