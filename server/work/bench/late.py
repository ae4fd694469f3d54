"""Acts that arrive later than they were made: under which power, and when.

A tablet out of reach of the shop's network keeps what was recorded and sends it later. By then the
craft may have been unplugged, or the propellers may be on again; so each act says under which
connection and which look at the propellers it was made, and counts only while both still hold.
"""

from datetime import datetime, timedelta

from sqlmodel import Session, select

from server.records.tables import Ticket, TicketEvent
from server.trade.events import Event
from server.trade.gate import same_cold, same_connection
from server.trade.power import Power
from server.work.bench.situation import obey

# Longer than a weekend; older than that no tablet's word for the hour is taken.
KEPT_AT_MOST = timedelta(days=7)


def require_same_connection(
    session: Session, ticket: Ticket, under: str, made_at: datetime | None
) -> None:
    """Refuse an act that was made under another connection, or another look at the propellers.

    `under` is what `gate.connection_of` gave when the page was drawn, empty where nobody says.
    Raises Locked, which names what changed.
    """
    obey(same_connection(under, ticket))
    if made_at is not None and _moved_since(session, ticket, made_at):
        obey(same_cold(ticket))


def when_made(ticket: Ticket, claimed: datetime | None, at: datetime) -> datetime:
    """When it was made, as far as the claim can be true: not after it arrived, and not before the
    connection that it was made under, or `KEPT_AT_MOST`."""
    if claimed is None:
        return at
    since = [m for m in (ticket.power_since, ticket.props_seen_at) if m is not None]
    return min(at, max(claimed, at - KEPT_AT_MOST, *since))


def _moved_since(session: Session, ticket: Ticket, made_at: datetime) -> bool:
    """Whether power came since."""
    found = session.exec(
        select(TicketEvent.id)
        .where(TicketEvent.ticket_id == ticket.id, TicketEvent.kind == Event.POWER)
        .where(TicketEvent.at > made_at, TicketEvent.power != Power.COLD)
        .limit(1)
    ).first()
    return found is not None
