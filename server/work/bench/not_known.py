"""Power that the record cannot tell any more, because the clock that its age counts by was moved.

The craft counts as connected then, nothing is recorded on it, and neither signed nor given back,
until somebody looks: unplugs what is connected, or says that no propeller is on.
"""

import logging
from datetime import datetime

from sqlmodel import Session, select

from server.records.engine import writing
from server.records.tables import Ticket
from server.trade.events import Event
from server.trade.power import Power
from server.work.shop import Shop
from server.work.ticket import shared

log = logging.getLogger("quadwright")

LEAPT = "The server’s clock was put forward or back by more than a minute."
PUT_BACK = "The server’s clock was put back."


def forget(session: Session, ticket: Ticket, at: datetime, why: str) -> None:
    """End what was known of the connection, and the look at the propellers; once, on the record."""
    if ticket.power == Power.COLD or ticket.power_since is None:
        return
    ticket.power_since = ticket.props_seen_at = None
    ticket.power_by_id = ticket.props_seen_by_id = None
    shared.note(session, ticket, None, at, Event.LAPSED, was=ticket.power, why=why)


def end_after_a_leap(shop: Shop) -> None:
    """Forget every connection of the shop where its clock leapt; else nothing."""
    shop.now()
    leaps = shop.watch.leaps
    if leaps == shop.watch.settled:
        return
    log.warning("The clock was put forward or back: no power state is known any more.")
    with writing(shop.engine) as session:
        at = shop.now()
        for ticket in session.exec(_CONNECTED):
            forget(session, ticket, at, LEAPT)
    shop.watch.settled = leaps


_CONNECTED = (
    select(Ticket)
    .where(Ticket.power != Power.COLD)
    .order_by(Ticket.id)  # type: ignore[arg-type]  # a column, not an int
    .with_for_update()
)
