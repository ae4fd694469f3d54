"""Where the search for a fault stands: what was recorded, and what the finder makes of it."""

from collections import Counter
from dataclasses import dataclass

from sqlalchemy import Connection

from server.records import faults
from server.records.faults import PastFaultRow, SearchRow
from server.records.tickets import TicketHead
from server.trade.fault_finder import FinderAdvice, advise
from server.work.port_map.facts import facts_of


@dataclass(frozen=True)
class FaultSearchState:
    """The newest search of a ticket, its advice, and the closed tickets that count in it."""

    row: SearchRow
    advice: FinderAdvice
    past: tuple[PastFaultRow, ...]

    def tickets_of(self, cause: str) -> tuple[int, ...]:
        """The closed tickets on which this cause was found."""
        return tuple(row.ticket for row in self.past if row.cause == cause)


def search_of(connection: Connection, head: TicketHead) -> FaultSearchState | None:
    """The search on a ticket; None before the first. Before a map there is no board, so no past."""
    row = faults.last(connection, head.id)
    if row is None:
        return None
    past = faults.history(connection, head.build_id, row.symptoms) if head.build_id else []
    sheet = facts_of(head.sheet).sheet if head.sheet else None
    answers = {a.check: a.outcome for a in row.answers.values()}
    said = advise(row.symptoms, answers, Counter(p.cause for p in past), sheet)
    counted = {ranked.cause.code for ranked in said.causes} | {c.code for c in said.ruled_out}
    return FaultSearchState(row, said, tuple(p for p in past if p.cause in counted))
