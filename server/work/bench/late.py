"""Acts that arrive later than they were made: under which power, and when.

A tablet out of reach of the shop's network keeps what was recorded and sends it later. By then the
craft may have been unplugged, or the propellers may be on again; so each act says under which
connection and which look at the propellers it was made, and counts only while both still hold.
"""

from datetime import datetime, timedelta
from typing import Protocol

from sqlmodel import Session, select

from server.records.tables import Ticket, TicketEvent
from server.trade.events import Event
from server.trade.power import Power
from server.work.errors import Locked

# Longer than a weekend; older than that no tablet's word for the hour is taken.
KEPT_AT_MOST = timedelta(days=7)
AGAIN = "Nothing is recorded. Look at the craft, then do it again."


class Connected(Protocol):
    """What a ticket tells of its power: the row, and the head that pages are drawn from."""

    @property
    def power(self) -> str: ...
    @property
    def power_since(self) -> datetime | None: ...
    @property
    def props_seen_at(self) -> datetime | None: ...


def connection(ticket: Connected) -> str:
    """The state, this very connection, and the look it stands under, as a form carries them."""
    if ticket.power == Power.COLD:
        return str(Power.COLD)
    return " ".join((ticket.power, _stamp(ticket.power_since), _stamp(ticket.props_seen_at)))


def require_same_connection(
    session: Session, ticket: Ticket, under: str, made_at: datetime | None
) -> None:
    """Refuse an act that was made under another connection, or another look at the propellers.

    `under` is what `connection` gave when the page was drawn, empty where nobody says. Raises
    Locked, which names what changed.
    """
    now = connection(ticket)
    if under and under != now:
        raise Locked(_changed(under, now), AGAIN)
    if (
        made_at is not None
        and ticket.power == Power.COLD
        and _moved_since(session, ticket, made_at)
    ):
        raise Locked("Power was connected after this was made, and taken off again.", AGAIN)


def when_made(ticket: Ticket, claimed: datetime | None, at: datetime) -> datetime:
    """When it was made, as far as the claim can be true: not after it arrived, and not before the
    connection that it was made under, or `KEPT_AT_MOST`."""
    if claimed is None:
        return at
    since = [m for m in (ticket.power_since, ticket.props_seen_at) if m is not None]
    return min(at, max(claimed, at - KEPT_AT_MOST, *since))


def _stamp(moment: datetime | None) -> str:
    return moment.isoformat() if moment else "-"


def _changed(under: str, now: str) -> str:
    was, *before = under.split(" ")
    is_now, *here = now.split(" ")
    if was != is_now:
        return f"This was made on {was}, and the craft is on {is_now} now."
    if here[:1] == ["-"]:
        return f"It is not known any more what is connected to the craft; it was {is_now}."
    if before[:1] != here[:1]:
        return "The craft was unplugged and connected again after this was made."
    return "The propellers were looked at anew after this was made."


def _moved_since(session: Session, ticket: Ticket, made_at: datetime) -> bool:
    """Whether power came and went since: a cold craft carries no connection to compare."""
    found = session.exec(
        select(TicketEvent.id)
        .where(TicketEvent.ticket_id == ticket.id, TicketEvent.kind == Event.POWER)
        .where(TicketEvent.at > made_at, TicketEvent.power != Power.COLD)
        .limit(1)
    ).first()
    return found is not None
