"""When a craft may be promised: what stands before it, and how long work like it took here.

The range is made of order statistics, which ask no shape of the times: where the next job is like
the n past ones, it falls between the r-th and the s-th smallest of them with probability
(s - r) / (n + 1). Source: S. S. Wilks, Ann. Math. Stat. 12 (1941) 91 (from memory).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from math import ceil
from statistics import median

from server.trade.events import Event
from server.trade.opening import Opening

LEAST = 9  # with fewer, no order statistic covers nine of ten
TENTHS = 9
UNKNOWN_DAYS = 2  # promised with too little history: common practice, no source
ENDS = frozenset({Event.PUT_BACK, Event.HELD, Event.SIGNED})


@dataclass(frozen=True)
class PastJob:
    """One job that was signed: open minutes on the bench, and what it was like."""

    minutes: float
    symptoms: frozenset[str]
    board: str = ""


@dataclass(frozen=True)
class Like:
    """The past jobs that the next one is like: how many, and between which minutes they took.

    `by` says in what they are like it: 'both' trouble and board, 'trouble', or 'all'.
    """

    by: str
    count: int
    low: float
    high: float


@dataclass(frozen=True)
class PromiseAdvice:
    """The time to promise. `like` is None where the shop has too little history.

    `wait` is the open minutes until its turn; `early` and `late` are when it may be done.
    """

    at: datetime
    early: datetime
    late: datetime
    ahead: int
    wait: float
    benches: int
    history: int
    like: Like | None


def range_of(minutes: Sequence[float]) -> tuple[float, float]:
    """Between which two of these the next is in eight cases of ten; one in ten on each side.

    Raises ValueError for fewer than `LEAST`.
    """
    count = len(minutes)
    if count < LEAST:
        raise ValueError(f"{count} past times are too few.")
    high = ceil((count + 1) * TENTHS / 10)
    ordered = sorted(minutes)
    return ordered[count - high], ordered[high - 1]


def like(past: Sequence[PastJob], symptoms: Iterable[str], board: str) -> Like | None:
    """The narrowest set of past jobs that is large enough: same trouble on the same board, same
    trouble, any."""
    wanted = frozenset(symptoms)
    troubled = [job for job in past if job.symptoms & wanted]
    both = [job for job in troubled if board and job.board == board]
    for by, jobs in (("both", both), ("trouble", troubled), ("all", list(past))):
        if len(jobs) >= LEAST:
            return Like(by, len(jobs), *range_of([job.minutes for job in jobs]))
    return None


def advise(
    now: datetime,
    opening: Opening,
    past: Sequence[PastJob],
    *,
    symptoms: Iterable[str] = (),
    board: str = "",
    ahead: int = 0,
    benches: int = 1,
) -> PromiseAdvice:
    """When to promise a job that `ahead` others stand before, shared by `benches`.

    The suggestion is the close of the day by which nine of ten such jobs would be done.
    """
    found = like(past, symptoms, board)
    if found is None:
        at = opening.closing(opening.after(now, UNKNOWN_DAYS * opening.minutes_a_day))
        return PromiseAdvice(at, at, at, ahead, 0, benches, len(past), None)
    wait = ahead * median(job.minutes for job in past) / max(1, benches)
    early, late = (opening.after(now, wait + minutes) for minutes in (found.low, found.high))
    at = opening.closing(late)
    return PromiseAdvice(at, early, late, ahead, wait, benches, len(past), found)


def on_bench(events: Iterable[tuple[datetime, str]], opening: Opening) -> float:
    """Open minutes that a ticket was on a bench, from (moment, kind of event) in their order.

    Held and put back it rests; it ends with its first signature.
    """
    minutes, since, taken = 0.0, None, False
    for at, kind in events:
        if since is not None and kind in ENDS:
            minutes, since = minutes + opening.between(since, at), None
        if kind == Event.SIGNED:
            break
        taken = (taken and kind != Event.PUT_BACK) or kind in (Event.TAKEN, Event.PASSED_ON)
        if since is None and taken and kind not in ENDS:
            since = at
    return minutes
