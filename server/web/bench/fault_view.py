"""What the fault finder's page shows, in words and figures."""

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

from server.records.faults import AnswerRow, CauseRow
from server.trade.card import Hazard
from server.trade.card.kinds.spins import Taps
from server.trade.card.stages.hazards import PROPELLERS
from server.trade.card.text import counted, listed, tie
from server.trade.fault_finder import STRENGTH, TABLE, UNCLEAR, Check, FinderAdvice, Next, Ranked
from server.trade.power import POWERED, Power
from server.web.bench.fault_forms import CauseForm
from server.web.bench.shut import Shut
from server.web.bench.state import BenchState
from server.web.site.forms import Form
from server.work.bench.fault_search import FaultSearchState
from server.work.bench.faults import says_of
from server.work.bench.step_status import answers

SPINS = "motors/spins"


@dataclass(frozen=True)
class CheckQuestion:
    """The check at the top. `outcomes` are code and words; `shut`: what keeps it from an answer.

    `instead` is the best check that the power allows as it is, where this one is shut by it.
    """

    code: str
    number: int
    asks: str
    eyebrow: str
    do: tuple[str, ...]
    hazard: Hazard | None
    outcomes: tuple[tuple[str, str], ...]
    powered: bool
    seen: int
    before: str
    shut: Shut | None
    instead: "Other | None"
    source: str


@dataclass(frozen=True)
class Other:
    """Another check that may be done next."""

    asks: str
    href: str
    says: str


@dataclass(frozen=True)
class CauseShare:
    """One possible cause, with its share now and the two numbers that it began from.

    `form` puts it down; it stands open where it came back with an error.
    """

    code: str
    says: str
    fix: str
    share: float
    percent: str
    usual: str
    past: str
    tickets: tuple[int, ...]
    form: Form[CauseForm]


@dataclass(frozen=True)
class Answered:
    """One check that was answered."""

    asks: str
    href: str
    says: str
    initials: str
    at: str


@dataclass(frozen=True)
class FoundCause:
    """A cause that was found."""

    says: str
    fix: str
    words: str
    shown: str
    by: str


def ask_of(look: BenchState, search: FaultSearchState, chosen: str = "") -> CheckQuestion | None:
    """The check named, or the one that tells most; None where none tells anything more."""
    checks = search.advice.checks
    check = TABLE.checks.get(chosen) or (checks[0].check if checks else None)
    if check is None:
        return None
    before = search.row.answers.get(check.code)
    shut = look.shut_check(check)
    live = look.strip.state in POWERED
    return CheckQuestion(
        code=check.code,
        number=len(search.row.answers) + (before is None),
        asks=check.asks,
        eyebrow=_eyebrow(search.advice, check, before),
        do=tuple(tie(line) for line in check.do),
        hazard=check.hazard or (PROPELLERS if live else None),
        outcomes=(
            *((o, tie(says)) for o, says in check.outcomes.items()),
            (UNCLEAR, "Could not tell"),
        ),
        powered=check.states <= POWERED,
        seen=before.id if before else 0,
        before=_said(look, check, before) if before else "",
        shut=shut,
        instead=_instead(look, checks) if shut else None,
        source=check.source,
    )


def _eyebrow(advice: FinderAdvice, check: Check, before: AnswerRow | None) -> str:
    if before is not None:
        return "Answered; a new answer corrects it"
    rank = [n.check.code for n in advice.checks]
    told = next((n.bits for n in advice.checks if n.check is check), 0.0)
    first = "Next check, the one that tells most" if rank[:1] == [check.code] else "Next check"
    return f"{first}: {told:.2f} of {advice.bits:.2f} bits"


def _said(look: BenchState, check: Check, row: AnswerRow) -> str:
    return f"{tie(says_of(check, row.outcome))}, {row.by_name}, {look.clock.seconds(row.made_at)}"


def _instead(look: BenchState, checks: Iterable[Next]) -> Other | None:
    if look.shut_to_person():
        return None
    open_now = (n for n in checks if not look.shut_check(n.check))
    best = next(open_now, None)
    return other(look, best) if best else None


def other(look: BenchState, each: Next) -> Other:
    """A check to choose, with what it is expected to tell and the power that it wants."""
    check = each.check
    states = " or ".join(str(s) for s in Power if s in check.states)
    href = f"{look.address}/faults?check={quote(check.code)}"
    return Other(check.asks, href, f"{each.bits:.2f} bits, on {states}")


def likely(search: FaultSearchState, row: Ranked, form: Form[CauseForm]) -> CauseShare:
    """One cause with its figures and its form."""
    tickets = search.tickets_of(row.cause.code)
    of = search.advice.seen
    past = f"{row.seen} of {counted(of, 'closed ticket')}" if of else "no closed ticket"
    return CauseShare(
        row.cause.code,
        row.cause.says,
        row.cause.fix,
        row.share,
        percent(row.share),
        f"{row.usual:.1f} of {STRENGTH}",
        past,
        tickets,
        form,
    )


def percent(share: float) -> str:
    """'46 %', 'under 1 %', 'over 99 %': nothing is certain that rounds to it."""
    if share < 0.01:
        return tie("under 1 %")
    return tie("over 99 %" if 0.99 < share < 1 else f"{share:.0%}".replace("%", " %"))


def answered(look: BenchState, row: AnswerRow) -> Answered:
    """One answer, with the way to correct it."""
    check = TABLE.checks[row.check]
    href = f"{look.address}/faults?check={quote(row.check)}"
    at = look.clock.clock(row.made_at)
    return Answered(check.asks, href, tie(says_of(check, row.outcome)), row.initials, at)


def found_cause(look: BenchState, row: CauseRow) -> FoundCause:
    """A cause with what showed it, by whom, and when."""
    cause, shown = TABLE.causes[row.cause], ""
    if row.check and row.outcome:
        check = TABLE.checks[row.check]
        shown = f"{check.asks} {tie(says_of(check, row.outcome))}."
    by = f"{row.by_name}, {look.clock.seconds(row.at)}"
    return FoundCause(cause.says, cause.fix, row.words, shown, by)


def past_says(look: BenchState, search: FaultSearchState) -> str:
    """Where the shop's own number comes from, or that there is none."""
    board, seen = look.head.board_model, search.advice.seen
    if board is None:
        return "There is no map yet, so no board to look back on: common practice alone."
    if not seen:
        return (
            f"No closed ticket with a {board} has a cause put down for this: common practice alone."
        )
    have = "has" if seen == 1 else "have"
    return (
        f"{counted(seen, 'closed ticket')} with a {board} {have} a cause put down for this. Each"
        f" counts as one, the common practice as {STRENGTH}."
    )


def plight(advice: FinderAdvice) -> str:
    """What is to be said where the causes lead nowhere."""
    if not advice.causes:
        return "No cause fits all of these answers. Do again the one that you trust least."
    if advice.stray:
        return "No single cause of the table does all of this. Look for one symptom at a time."
    if len(advice.causes) == 1 and not advice.ruled_out:
        return "The table knows no cause of this for a craft with this map."
    return ""


def ruled_out(advice: FinderAdvice) -> str:
    """The causes that an answer leaves no room for."""
    return " ".join(cause.says for cause in advice.ruled_out)


def suggested(look: BenchState) -> list[str]:
    """The symptoms that the ticket tells of already: the counter's picks, and the last spins."""
    told = {code for code, s in TABLE.symptoms.items() if set(s.words) & set(look.symptoms)}
    told |= set(_spun(look))
    return [code for code in TABLE.symptoms if code in told]


def _spun(look: BenchState) -> Iterable[str]:
    standing = next((s for s in look.steps if s.step.key == SPINS), None)
    taps = answers([standing]).at(SPINS, Taps) if standing else None
    seen = [tap.seen for tap in taps.by_output.values()] if taps else []
    if "nothing" in seen:
        yield "no-motor" if set(seen) == {"nothing"} and len(seen) > 1 else "one-motor"
    if "stuttered" in seen:
        yield "stutter"
    if "two" in seen:
        yield "two-turn"


def listed_symptoms(search: FaultSearchState) -> str:
    """'One motor does not turn, and a motor stutters'."""
    says = [TABLE.symptoms[code].says for code in search.row.symptoms]
    return listed([says[0], *(s[:1].lower() + s[1:] for s in says[1:])])
