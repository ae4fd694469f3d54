"""The shop, its staff and their keys, its customers and their crafts."""

from datetime import datetime

from sqlalchemy import CheckConstraint, UniqueConstraint
from sqlmodel import Field, SQLModel

from server.records.columns import filled, key, link, moment, one_of
from server.trade.roles import Role

PAPERS = ("a4", "us-letter")
LABELS = ("62mm", "57x32mm")
SECOND_EYES = ("none", "motors", "log")


class Profile(SQLModel, table=True):
    """The shop itself: one row."""

    __table_args__ = (
        CheckConstraint("id = 1", name="one_shop"),
        one_of("paper", PAPERS),
        one_of("second_eyes", SECOND_EYES),
        CheckConstraint("tax_bp BETWEEN 0 AND 10000", name="tax_sane"),
        CheckConstraint("props_minutes BETWEEN 1 AND 240", name="props_minutes_sane"),
        CheckConstraint("power_minutes BETWEEN 1 AND 600", name="power_minutes_sane"),
        one_of("label", LABELS),
        filled("open_days"),
        CheckConstraint("held_days BETWEEN 1 AND 365", name="held_days_sane"),
        CheckConstraint("ready_days BETWEEN 1 AND 365", name="ready_days_sane"),
    )
    id: int = Field(default=1, primary_key=True)
    name: str
    address: str = ""
    phone: str = ""
    country: str = Field(default="GB", max_length=2)
    zone: str = "UTC"
    currency: str = Field(default="EUR", max_length=3)
    tax_bp: int = 0  # hundredths of a per cent
    rounding: str = "half-up"  # one of trade.bill.ROUNDINGS
    terms: str = ""
    paper: str = "a4"
    props_minutes: int = 30
    power_minutes: int = 60
    label: str = "62mm"
    open_days: str = "12345"  # Monday is 1, Sunday 7
    opens_at: str = "09:00"
    closes_at: str = "17:00"
    held_days: int = 7  # after so many, a held ticket is reminded of
    ready_days: int = 14  # and a craft that nobody collects
    second_eyes: str = "none"  # what nobody signs who did it


class Terms(SQLModel, table=True):
    """The shop's terms as they were from a moment on. Never changed: tickets name them."""

    __table_args__ = (filled("words"),)
    id: int = key()
    words: str
    written_at: datetime = moment()
    by_id: int | None = link("staff.id", nullable=True)


class RunningNumber(SQLModel, table=True):
    """The last number given out, locked while the next is taken."""

    __tablename__ = "counter"
    name: str = Field(primary_key=True)
    value: int = 0


class Staff(SQLModel, table=True):
    """Somebody who works here."""

    __table_args__ = (one_of("role", Role), filled("name"), filled("initials"))
    id: int = key()
    name: str
    initials: str = Field(max_length=4)
    sign_in: str = Field(unique=True)
    role: str
    password_hash: str = ""  # empty until they have set one
    active: bool = True
    theme: str = ""
    created_at: datetime = moment()


class OneTimeCode(SQLModel, table=True):
    """What somebody sets a password by, once. Only its digest is kept."""

    __tablename__ = "one_time_code"
    __table_args__ = (filled("digest"),)
    id: int = key()
    staff_id: int = link("staff.id", unique=True)
    digest: str
    made_at: datetime = moment()
    ends_at: datetime = moment()


class Login(SQLModel, table=True):
    """A browser that is signed in. Only the digest of its cookie is kept."""

    id: int = key()
    token_digest: str = Field(unique=True)
    staff_id: int = link("staff.id")
    csrf: str
    bench: str = ""
    created_at: datetime = moment()
    ends_at: datetime = moment()


class KeyRecord(SQLModel, table=True):
    """A technician's key; the private half is sealed under their signing passphrase."""

    __tablename__ = "signing_key"
    id: int = key()
    staff_id: int = link("staff.id")
    kid: str = Field(unique=True)
    fingerprint: str
    public_jwk: str
    sealed: str
    created_at: datetime = moment()
    closed_at: datetime | None = moment(nullable=True)
    act_key: str | None = Field(default=None, unique=True)


class Customer(SQLModel, table=True):
    """Who brought a craft in. The keys are what the search compares."""

    __table_args__ = (filled("name"),)
    id: int = key()
    name: str
    name_key: str = Field(index=True)
    phone: str = ""
    phone_key: str = Field(default="", index=True)
    email: str = ""
    created_at: datetime = moment()
    erased_at: datetime | None = moment(nullable=True)


class CraftRecord(SQLModel, table=True):
    """A customer's quadcopter."""

    __tablename__ = "craft"
    __table_args__ = (filled("name"), UniqueConstraint("customer_id", "name"))
    id: int = key()
    customer_id: int = link("customer.id")
    name: str
    name_key: str = Field(index=True)
    mark: str = ""
    created_at: datetime = moment()
