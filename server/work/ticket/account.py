"""A ticket as the counter sees it: what was told, handed in, agreed, paid, and what happened."""

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection

from server.records import counter, evidence, logs, tickets
from server.records.counter import AgreementRow, PaymentRow, PhotoRow
from server.records.evidence import EventRow
from server.records.logs import LogRow
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade.bill import Bill
from server.trade.choices import ITEMS, SYMPTOMS
from server.work.errors import Missing
from server.work.estimate import estimates
from server.work.estimate.estimates import ApprovalStatus


@dataclass(frozen=True)
class Account:
    """Everything that the counter, the hand over and the papers need of one ticket.

    `items` are by their code, in the order of the counter's list; `terms` the words that were
    agreed to, or those of today where none were; `log` is the newest signed one; `files` are
    the customer's own, to be given back.
    """

    head: TicketHead
    symptoms: tuple[str, ...]
    items: dict[str, int]
    bill: Bill
    payments: tuple[PaymentRow, ...]
    events: tuple[EventRow, ...]
    terms_agreed_at: datetime | None
    terms: str
    standing: ApprovalStatus
    agreements: tuple[AgreementRow, ...]
    log: LogRow | None
    page_withdrawn_at: datetime | None
    photos: tuple[PhotoRow, ...]
    files: tuple[PhotoRow, ...]

    @property
    def trouble(self) -> tuple[str, ...]:
        """The picked symptoms in words."""
        return tuple(SYMPTOMS[code] for code in self.symptoms)

    @property
    def handed_in(self) -> tuple[str, ...]:
        """The things in words: '2 × Batteries'."""
        return tuple(f"{count} × {ITEMS[item]}" for item, count in self.items.items())

    @property
    def condition(self) -> tuple[str, ...]:
        """What was noted on the craft, a line each."""
        return tuple(filter(None, self.head.condition.splitlines()))


def account_of(connection: Connection, number: int, profile: ShopRow) -> Account:
    """The account of a ticket. Raises Missing."""
    head = tickets.head(connection, number)
    if head is None:
        raise Missing(f"There is no ticket {number:04d}.", "Look in the queue, or search the name.")
    counts = counter.items(connection, head.id)
    paid = tuple(counter.payments(connection, head.id))
    what = estimates.bill_of(connection, head.id, profile)
    said = tuple(counter.agreements(connection, head.id))
    terms = counter.terms_of(connection, head.id)
    found = logs.of_ticket(connection, number)
    return Account(
        head=head,
        symptoms=tuple(tickets.symptoms(connection, head.id)),
        items={item: counts[item] for item in ITEMS if item in counts},
        bill=what,
        payments=paid,
        terms=terms.words if terms else profile.terms,
        standing=estimates.standing_of(what, said),
        agreements=said,
        events=tuple(evidence.events(connection, head.id)),
        terms_agreed_at=counter.terms_agreed_at(connection, head.id),
        log=found[0] if found else None,
        page_withdrawn_at=counter.page_withdrawn_at(connection, head.id),
        photos=tuple(counter.kept(connection, head.id, "photo")),
        files=tuple(counter.kept(connection, head.id, "settings")),
    )
