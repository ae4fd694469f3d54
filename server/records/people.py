"""Queries about the shop, its staff and who is signed in."""

from datetime import datetime
from typing import NamedTuple

from sqlalchemy import Connection, bindparam, select

from server.records.columns import core
from server.records.labels import Rows, labelled
from server.records.tables import KeyRecord, Login, OneTimeCode, Profile, Staff


class SignedIn(NamedTuple):
    """The person behind a cookie."""

    id: int
    name: str
    initials: str
    role: str
    theme: str
    csrf: str
    bench: str


class PasswordRow(NamedTuple):
    """What a sign-in is checked against; `code` and its end are None without a one-time code."""

    id: int
    name: str
    sign_in: str
    active: bool
    password_hash: str
    code: str | None
    code_ends_at: datetime | None


class ShopRow(NamedTuple):
    """The shop's own settings."""

    name: str
    address: str
    phone: str
    country: str
    zone: str
    currency: str
    tax_bp: int
    terms: str
    paper: str
    rounding: str
    props_minutes: int
    power_minutes: int
    label: str
    open_days: str
    opens_at: str
    closes_at: str
    held_days: int
    ready_days: int
    second_eyes: str


class Minutes(NamedTuple):
    """For how long a look at the propellers holds, and a power state."""

    props: int
    power: int


class StaffRow(NamedTuple):
    """Somebody on the staff list; `fingerprint` is empty without a signing key."""

    id: int
    name: str
    initials: str
    sign_in: str
    role: str
    active: bool
    fingerprint: str | None


_login = core(Login)
_staff = core(Staff)
_profile = core(Profile)
_key = core(KeyRecord)
_code = core(OneTimeCode)

_SIGNED_IN = Rows(
    SignedIn,
    select(*labelled(SignedIn, _staff, csrf=_login.c.csrf, bench=_login.c.bench))
    .join(_staff, _staff.c.id == _login.c.staff_id)
    .where(
        _login.c.token_digest == bindparam("digest"),
        _login.c.ends_at > bindparam("at", type_=_login.c.ends_at.type),
        _staff.c.active.is_(True),
    ),
)
_password = select(
    *labelled(PasswordRow, _staff, code=_code.c.digest, code_ends_at=_code.c.ends_at)
).outerjoin(_code, _code.c.staff_id == _staff.c.id)
_PASSWORD = Rows(PasswordRow, _password.where(_staff.c.sign_in == bindparam("who")))
_PASSWORD_BY_ID = Rows(PasswordRow, _password.where(_staff.c.id == bindparam("who")))
_MINUTES = Rows(
    Minutes,
    select(
        *labelled(
            Minutes,
            _profile,
            props=_profile.c.props_minutes,
            power=_profile.c.power_minutes,
        )
    ),
)
_SHOP = Rows(ShopRow, select(*labelled(ShopRow, _profile)))
_STAFF = Rows(
    StaffRow,
    select(*labelled(StaffRow, _staff, fingerprint=_key.c.fingerprint))
    .outerjoin(_key, (_key.c.staff_id == _staff.c.id) & _key.c.closed_at.is_(None))
    .order_by(_staff.c.name),
)


def signed_in(connection: Connection, token_digest: str, at: datetime) -> SignedIn | None:
    """Who holds this cookie at this moment; None when nobody does."""
    return _SIGNED_IN.first(connection, {"digest": token_digest, "at": at})


def password_of(connection: Connection, sign_in: str) -> PasswordRow | None:
    """The row of who signs in so; None when nobody does."""
    return _PASSWORD.first(connection, {"who": sign_in})


def password_by_id(connection: Connection, staff_id: int) -> PasswordRow:
    """The same row of somebody signed in."""
    return _PASSWORD_BY_ID.one(connection, {"who": staff_id})


def shop(connection: Connection) -> ShopRow | None:
    """The shop's settings; None before it is set up."""
    return _SHOP.first(connection)


def minutes(connection: Connection) -> Minutes:
    """The shop's two limits; there is no act in a shop that is not set up."""
    return _MINUTES.one(connection)


def staff(connection: Connection) -> list[StaffRow]:
    """Everybody, by name."""
    return _STAFF.all(connection)
