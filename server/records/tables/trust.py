"""What a supervisor signed for the outside, and what the office changed. Rows are only added."""

from datetime import datetime

from sqlalchemy import CheckConstraint
from sqlmodel import Field, SQLModel

from server.records.columns import filled, key, link, moment, one_of


class Published(SQLModel, table=True):
    """A key list or a head of the chain, signed by a supervisor, as it is handed out."""

    __table_args__ = (
        one_of("kind", ("keys", "head")),
        filled("document"),
        CheckConstraint("size >= 0", name="size_sane"),
    )
    id: int = key()
    kind: str
    document: str  # the file as it is handed out
    size: int  # keys on the list, or logs that the head counts
    root: str = ""  # the head's; empty for a key list
    key_id: int = link("signing_key.id")
    by_id: int = link("staff.id")
    at: datetime = moment()
    act_key: str | None = Field(default=None, unique=True)


class ShopEvent(SQLModel, table=True):
    """A change of staff, passwords, keys or signing. The database itself lets none be changed."""

    __tablename__ = "shop_event"
    __table_args__ = (filled("kind"), filled("says"))
    id: int = key()
    at: datetime = moment()
    by_id: int = link("staff.id")
    kind: str
    says: str
    act_key: str | None = Field(default=None, unique=True)
