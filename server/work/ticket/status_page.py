"""The customer's own page: closed by the counter, or given another address."""

import secrets

from server.records.engine import writing
from server.records.tables import Ticket
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
            says = f"The customer’s page was withdrawn by {by.name}."
            shared.note(session, ticket, by, shop.now(), "page withdrawn", says)
        return ticket


def give_anew(shop: Shop, by: Person, number: int) -> Ticket:
    """Open the page at another address; the old one, open or not, is gone for good."""
    require(by, "withdraw a status page")
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        ticket.status_code, ticket.status_withdrawn_at = new_code(), None
        says = f"The customer’s page was given a new address by {by.name}."
        shared.note(session, ticket, by, shop.now(), "page given anew", says)
        return ticket
