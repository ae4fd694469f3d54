"""The fault finder: from what is wrong and what was looked at to causes, and to the next check.

One cause is sought that explains every symptom. Its share before any check joins two numbers: the
table's, worth `STRENGTH` tickets, and this shop's, one a closed ticket. Every answered check then
weighs in by Bayes, as if checks were independent once the cause is known. The next check is the one
with the most bits expected.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from math import prod

from server.trade.fault_finder import bayes
from server.trade.fault_finder.causes import CAUSES
from server.trade.fault_finder.checks import CHECKS
from server.trade.fault_finder.conditions import met
from server.trade.fault_finder.model import OTHER, Cause, Check, FaultTable, Symptom
from server.trade.fault_finder.symptoms import SYMPTOMS
from server.trade.power import BARS
from server.trade.sheet import Sheet

TABLE = FaultTable(SYMPTOMS, CAUSES, CHECKS)

# The table weighs as much as ten closed tickets. Common practice, no source: few enough that a
# shop's own board faults show within a season, many enough that one odd ticket turns nothing over.
STRENGTH = 10
LEAST_BITS = 0.005  # a check that is expected to tell less is not worth a walk to the bench
_DIGITS = 9  # two gains that agree so far are one


@dataclass(frozen=True, slots=True)
class Ranked:
    """One possible cause. `usual` of `STRENGTH` tickets by the table, `seen` on closed tickets.

    `before` is its share by these two, `share` with the answered checks as well.
    """

    cause: Cause
    usual: float
    seen: int
    before: float
    share: float


@dataclass(frozen=True, slots=True)
class Next:
    """A check that is still to be done, and the bits that it is expected to tell."""

    check: Check
    bits: float


@dataclass(frozen=True, slots=True)
class FinderAdvice:
    """What the finder says.

    `causes` by falling share; `ruled_out` are those that an answer leaves no room for; `seen` is
    how many tickets of the shop's own count; `bits` how uncertain the cause is now. `checks` by
    falling gain. `stray`: no listed cause explains every symptom. `causes` is empty where the
    answers leave none.
    """

    causes: tuple[Ranked, ...]
    ruled_out: tuple[Cause, ...]
    seen: int
    bits: float
    checks: tuple[Next, ...]
    stray: bool


def offered(sheet: Sheet | None, table: FaultTable = TABLE) -> tuple[Symptom, ...]:
    """The symptoms that a craft with this sheet can have."""
    return tuple(s for s in table.symptoms.values() if met(s.only, sheet))


def listed(symptoms: Collection[str], table: FaultTable = TABLE) -> tuple[Cause, ...]:
    """Every cause that the table lists for any of these symptoms, in its order."""
    named = {code for s in symptoms for code in table.symptoms[s].weights}
    return tuple(cause for code, cause in table.causes.items() if code in named)


def advise(
    symptoms: Collection[str],
    answers: Mapping[str, str],
    seen: Mapping[str, int],
    sheet: Sheet | None = None,
    table: FaultTable = TABLE,
) -> FinderAdvice:
    """Weigh the causes of `symptoms`, one or more, and order the checks.

    `answers` has an outcome, or UNCLEAR, by check; `seen` counts this shop's closed tickets by
    cause. Raises KeyError for a word outside the table, and ValueError without a symptom.
    """
    if not symptoms:
        raise ValueError("No symptom, no cause.")
    usual = bayes.shares(_weights(symptoms, sheet, table))
    counts = {cause: seen[cause] for cause in usual if seen.get(cause)}
    before = bayes.counted(usual, STRENGTH, counts)
    now = before
    for name in sorted(answers):
        now = bayes.after(now, {c: table.checks[name].chance(answers[name], c) for c in now})
    return FinderAdvice(
        causes=tuple(_ranked(now, before, usual, counts, table)),
        ruled_out=tuple(table.causes[c] for c in _in_order(before.keys() - now.keys(), table)),
        seen=sum(counts.values()),
        bits=bayes.entropy(now),
        checks=tuple(_checks(now, symptoms, answers, table)),
        stray=len(symptoms) > 1 and usual.keys() <= {OTHER},
    )


def _weights(symptoms: Collection[str], sheet: Sheet | None, table: FaultTable) -> dict[str, float]:
    """The causes that all the symptoms share, by the product of their shares for each."""
    rows = [table.symptoms[name].weights for name in sorted(symptoms)]
    common = set(rows[0]).intersection(*rows[1:])
    possible = [c for c in common if met(table.causes[c].only, sheet)]
    return {c: prod(row[c] / sum(row.values()) for row in rows) for c in possible}


def _ranked(
    now: Mapping[str, float],
    before: Mapping[str, float],
    usual: Mapping[str, float],
    seen: Mapping[str, int],
    table: FaultTable,
) -> list[Ranked]:
    rows = [
        Ranked(table.causes[c], STRENGTH * usual[c], seen.get(c, 0), before[c], now[c])
        for c in _in_order(now, table)
    ]
    return sorted(rows, key=lambda row: -round(row.share, _DIGITS))


def _in_order(codes: Collection[str], table: FaultTable) -> list[str]:
    return [code for code in table.causes if code in codes]


def _checks(
    now: Mapping[str, float],
    symptoms: Collection[str],
    answered: Collection[str],
    table: FaultTable,
) -> list[Next]:
    """Those that tell something: the most bits first, then the gentlest power, then the table."""
    asked = [c for c in table.checks.values() if not c.of or set(c.of) & set(symptoms)]
    left = [check for check in asked if check.code not in answered]
    found = [Next(check, round(_bits(check, now), _DIGITS)) for check in left]
    worth = [each for each in found if each.bits >= LEAST_BITS]
    return sorted(worth, key=lambda n: (-n.bits, min(BARS[s] for s in n.check.states)))


def _bits(check: Check, now: Mapping[str, float]) -> float:
    rows = [{c: check.chance(outcome, c) for c in now} for outcome in check.outcomes]
    return bayes.gain(now, rows)
