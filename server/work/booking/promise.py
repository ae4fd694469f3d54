"""When a craft may be promised, from the queue and from this shop's own past times."""

from collections.abc import Sequence
from datetime import datetime, time, timedelta
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from server.records import archive, past_work, tickets
from server.records.past_work import SignedWork
from server.records.people import ShopRow
from server.trade.opening import Opening
from server.trade.promise import PastJob, PromiseAdvice, advise, on_bench
from server.trade.ticket import WORK_AHEAD

LATELY = timedelta(days=60)


def opening_of(profile: ShopRow) -> Opening:
    """The shop's opening days and hours."""
    opens, closes = (time.fromisoformat(at) for at in (profile.opens_at, profile.closes_at))
    return Opening(frozenset(map(int, profile.open_days)), opens, closes, ZoneInfo(profile.zone))


def suggested(
    connection: Connection,
    profile: ShopRow,
    now: datetime,
    *,
    symptoms: Sequence[str] = (),
    board: str = "",
) -> PromiseAdvice:
    """The time to promise a job with these symptoms on this board ('' when it is not known)."""
    opening = opening_of(profile)
    rows = past_work.signed(connection)
    ahead = sum(row.state in WORK_AHEAD for row in tickets.queue(connection))
    return advise(
        now,
        opening,
        past(connection, rows, opening),
        symptoms=symptoms,
        board=board,
        ahead=ahead,
        benches=_benches(rows, now),
    )


def past(connection: Connection, rows: Sequence[SignedWork], opening: Opening) -> list[PastJob]:
    """Each ticket among these logs once, with the open minutes it was on a bench."""
    boards = {row.ticket_id: row.board for row in rows}
    troubles = archive.symptoms(connection, list(boards))
    moves = past_work.moves(connection, list(boards))
    return [
        PastJob(
            on_bench(moves.get(ticket, ()), opening), frozenset(troubles.get(ticket, ())), board
        )
        for ticket, board in boards.items()
    ]


def _benches(rows: Sequence[SignedWork], now: datetime) -> int:
    """How many who still work here signed something lately."""
    recent = {r.signed_by_id for r in rows if r.active and r.signed_at > now - LATELY}
    return max(1, len(recent))
