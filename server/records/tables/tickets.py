"""A ticket and what the counter wrote on it."""

from datetime import datetime

from sqlalchemy import CheckConstraint, Index, UniqueConstraint, text
from sqlmodel import Field, SQLModel

from server.records.columns import key, link, listed, moment, one_of
from server.trade.bill import ROUNDINGS
from server.trade.choices import BatteryLook, HandedIn, HowAgreed, Trouble
from server.trade.power import Power
from server.trade.ticket import CLOSED, State

OPEN_SQL = f"state NOT IN ({listed(state for state in State if state in CLOSED)})"


class Ticket(SQLModel, table=True):
    """One visit of one craft, from the counter and back to it."""

    __table_args__ = (
        one_of("state", State),
        one_of("power", tuple(Power)),
        one_of("battery_look", BatteryLook),
        CheckConstraint(
            f"(state = '{State.BENCH}') <= (holder_id IS NOT NULL)", name="bench_has_holder"
        ),
        CheckConstraint(
            f"(state = '{State.ON_HOLD}') <= (length(hold_reason) > 0)", name="on_hold_has_reason"
        ),
        Index(
            "ix_ticket_open",
            "promised_at",
            "number",
            sqlite_where=text(OPEN_SQL),
            postgresql_where=text(OPEN_SQL),
        ),
    )
    id: int = key()
    number: int = Field(unique=True)
    craft_id: int = link("craft.id")
    customer_id: int = link("customer.id")
    state: str = State.WAITING
    holder_id: int | None = link("staff.id", nullable=True)
    bench: str = ""
    hold_reason: str = ""
    own_words: str = ""
    condition: str = ""  # picked words, one a line
    battery_look: str = BatteryLook.NONE
    terms_agreed_at: datetime | None = moment(nullable=True)
    promised_at: datetime | None = moment(nullable=True)
    status_code: str = Field(unique=True)
    booked_at: datetime = moment()
    booked_by_id: int = link("staff.id")
    changed_at: datetime = moment()
    collected_at: datetime | None = moment(nullable=True)
    collected_by: str = ""
    status_withdrawn_at: datetime | None = moment(nullable=True)

    power: str = Power.COLD
    power_since: datetime | None = moment(nullable=True)
    power_by_id: int | None = link("staff.id", nullable=True)
    props_seen_at: datetime | None = moment(nullable=True)
    props_seen_by_id: int | None = link("staff.id", nullable=True)

    revision: int = 0  # the build in force; 0 before the first port map was saved
    family: str = ""  # whose words the card adds to its own; see wording.HouseWord
    steps_done: int = 0
    steps_again: int = 0
    steps_total: int = 0


class TicketSymptom(SQLModel, table=True):
    """One picked symptom of a ticket."""

    __tablename__ = "ticket_symptom"
    __table_args__ = (one_of("code", Trouble), Index("ix_ticket_symptom_code", "code"))
    ticket_id: int = Field(foreign_key="ticket.id", primary_key=True)
    code: str = Field(primary_key=True)


class HandedItem(SQLModel, table=True):
    """How many of one kind of thing came over the counter."""

    __tablename__ = "handed_item"
    __table_args__ = (
        one_of("item", HandedIn),
        CheckConstraint("count BETWEEN 1 AND 99", name="count_sane"),
    )
    ticket_id: int = Field(foreign_key="ticket.id", primary_key=True)
    item: str = Field(primary_key=True)
    count: int


class Estimate(SQLModel, table=True):
    """What a ticket's lines are reckoned with: as the shop had it when they were last written."""

    __table_args__ = (
        one_of("rounding", ROUNDINGS),
        CheckConstraint("tax_bp BETWEEN 0 AND 10000", name="tax_sane"),
    )
    ticket_id: int = Field(foreign_key="ticket.id", primary_key=True)
    currency: str = Field(max_length=3)
    tax_bp: int
    rounding: str
    changed_at: datetime = moment()


class EstimateLine(SQLModel, table=True):
    """One line of labour or parts, before tax, in minor units."""

    __tablename__ = "estimate_line"
    __table_args__ = (
        UniqueConstraint("ticket_id", "position"),
        CheckConstraint("quantity BETWEEN 1 AND 9999", name="quantity_sane"),
        CheckConstraint("unit_minor BETWEEN 0 AND 100000000", name="unit_sane"),
    )
    id: int = key()
    ticket_id: int = link("ticket.id")
    position: int
    says: str
    quantity: int
    unit_minor: int
    kind: str = "labour"  # one of trade.bill.KINDS


class Agreement(SQLModel, table=True):
    """The customer's yes to an estimate: to these lines, up to this much. Never changed.

    `basis` is the digest of what was agreed to and `lines` its words; once the ticket's estimate
    has another digest it is to be agreed to again. `by_id` is empty where they said it on their own
    page. `who` is personal, and goes when the customer is erased.
    """

    __table_args__ = (
        one_of("how", HowAgreed),
        CheckConstraint("up_to_minor >= 0", name="up_to_sane"),
        Index("ix_agreement_ticket", "ticket_id", "id"),
    )
    id: int = key()
    ticket_id: int = link("ticket.id", index=False)
    basis: str
    lines: str  # JSON
    up_to_minor: int
    currency: str = Field(max_length=3)
    how: str
    who: str
    at: datetime = moment()
    by_id: int | None = link("staff.id", nullable=True)
    act_key: str = Field(unique=True)


class TicketTerms(SQLModel, table=True):
    """Which terms the customer of a ticket agreed to."""

    __tablename__ = "ticket_terms"
    ticket_id: int = Field(foreign_key="ticket.id", primary_key=True)
    terms_id: int = link("terms.id")


class Payment(SQLModel, table=True):
    """Money that the shop took for a ticket, in minor units."""

    __table_args__ = (
        one_of("kind", ("deposit", "balance")),
        CheckConstraint("amount_minor > 0", name="amount_above_zero"),
    )
    id: int = key()
    ticket_id: int = link("ticket.id")
    kind: str
    amount_minor: int
    at: datetime = moment()
    by_id: int = link("staff.id")
    act_key: str = Field(unique=True)


class Booking(SQLModel, table=True):
    """What was told so far of a quad that is being booked in; nothing is lost on the way."""

    id: int = key()
    by_id: int = link("staff.id")
    answers: str = "{}"  # JSON, a dictionary a thought
    ticket_id: int | None = link("ticket.id", nullable=True)
    created_at: datetime = moment()
    changed_at: datetime = moment()
