"""The customer's own page: closed by the counter, or given another address."""

import secrets

from server.records.engine import writing
from server.records.tables import Ticket
from server.trade.events import Event
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket import shared

CODE_BYTES = 16  # 128 bits from the system's own source: nobody comes upon one


def new_code() -> str:
    """What stands on a claim slip, and nowhere else."""
    return secrets.token_urlsafe(CODE_BYTES)


def withdraw(shop: Shop, by: Person, number: int) -> Ticket:
    """Close the customer's page: its address answers as one that never was. Twice is once."""
    require(by, "withdraw a status page")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        if ticket.status_withdrawn_at is None:
            ticket.status_withdrawn_at = shop.now()
            shared.note(session, ticket, by, shop.now(), Event.PAGE_WITHDRAWN)
        return ticket


def give_anew(shop: Shop, by: Person, number: int) -> Ticket:
    """Open the page at another address; the old one, open or not, is gone for good."""
    require(by, "withdraw a status page")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        ticket.status_code, ticket.status_withdrawn_at = new_code(), None
        shared.note(session, ticket, by, shop.now(), Event.PAGE_RENEWED)
        return ticket
