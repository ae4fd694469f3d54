"""How a craft left the shop, what customers are told, and who was erased."""

from datetime import datetime

from sqlmodel import Field, SQLModel

from server.records.columns import filled, key, link, moment, one_of

SHOWN = ("slip", "known", "word")
SIGNED = ("tablet", "paper")
MESSAGES = ("held", "late", "ready")


class Receipt(SQLModel, table=True):
    """What was shown, signed, kept back and left open when a craft was given back."""

    __table_args__ = (one_of("shown", SHOWN), one_of("signed", SIGNED))
    ticket_id: int = Field(foreign_key="ticket.id", primary_key=True)
    shown: str
    signed: str
    signature: str = ""  # the strokes as drawing.signature writes them; empty on paper
    kept_back: str = ""  # one thing a line
    owed_note: str = ""  # why the balance was left open
    at: datetime = moment()
    by_id: int = link("staff.id")


class ShopMessage(SQLModel, table=True):
    """The shop's own words for one kind of reminder, in the place of ours."""

    __tablename__ = "shop_message"
    __table_args__ = (one_of("kind", MESSAGES), filled("words"))
    kind: str = Field(primary_key=True)
    words: str


class Erasure(SQLModel, table=True):
    """One customer's personal data is gone: when, by whom, and how much, without saying what."""

    id: int = key()
    customer_id: int = link("customer.id")
    at: datetime = moment()
    by_id: int = link("staff.id")
    said: str  # JSON: how many of what
