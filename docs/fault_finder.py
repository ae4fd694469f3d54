"""The page of the fault finder: its prose is written by hand, its table is made from the code."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from server.trade.fault_finder import TABLE, Cause, Check, Symptom
from server.trade.fault_finder.conditions import CONDITIONS
from server.trade.power import Power

PAGE = Path(__file__).parent / "fault-finder.md"
MADE_FROM_HERE = "\n## The table\n"
EXPLAINED = (
    "From here on the page is made by `python -m docs.generate`. Every figure below is common"
    " practice, no source: nobody has published how often which cause is at work in a repair shop,"
    " and these are our own estimates, to be moved by a shop's own tickets."
)


def fault_finder() -> str:
    """The page: everything before the table as it stands, then symptoms, causes and checks."""
    by_hand = PAGE.read_text("utf-8").partition(MADE_FROM_HERE)[0] + MADE_FROM_HERE
    symptoms = (_symptom(s) for s in TABLE.symptoms.values())
    checks = ("### Checks", _CHECKS, _table(_HEADS, map(_check, TABLE.checks.values())))
    return by_hand + "\n" + "\n\n".join([EXPLAINED, *symptoms, *checks]) + "\n"


_HEADS = ("check", "power", "seen", "usually", "and when the cause is")
_CHECKS = (
    "What is seen, of a hundred, in the order of the answers; 'usually' holds for every cause that"
    " is not named. A check marked * is asked for some symptoms only."
)


def _symptom(symptom: Symptom) -> str:
    rows = (_cause(TABLE.causes[code], of) for code, of in _by_weight(symptom))
    head = f"### {symptom.says}\n\n`{symptom.code}`{_only(symptom.only)}"
    return head + "\n\n" + _table(("of 100", "cause", "what puts it right"), rows)


def _by_weight(symptom: Symptom) -> list[tuple[str, int]]:
    return sorted(symptom.weights.items(), key=lambda row: -row[1])


def _cause(cause: Cause, of: int) -> tuple[str, ...]:
    return str(of), f"{cause.says}<br>`{cause.code}`{_only(cause.only)}", cause.fix


def _only(condition: str) -> str:
    return f", only with {CONDITIONS[condition][0]}" if condition else ""


def _check(check: Check) -> tuple[str, ...]:
    mark = " *" if check.of else ""
    power = ", ".join(state.value for state in Power if state in check.states)
    hazard = f"; {check.hazard.word}" if check.hazard else ""
    given = "<br>".join(f"`{cause}` {_row(row)}" for cause, row in check.given.items())
    name = f"**{check.asks}**{mark}<br>`{check.code}`"
    return name, power + hazard, "<br>".join(check.outcomes.values()), _row(check.usual), given


def _row(row: Iterable[int]) -> str:
    return " · ".join(map(str, row))


def _table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    return "\n".join(_lines(heads, rows))


def _lines(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> Iterator[str]:
    for line in (heads, tuple("---" for _ in heads), *rows):
        yield f"| {' | '.join(line)} |"
