"""Staff: the first supervisor, new staff, passwords, signing in and out."""

import hashlib
import hmac
import secrets
from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlmodel import Session, col, delete, select

from server.records import people
from server.records.engine import reading, writing
from server.records.people import PasswordRow
from server.records.tables import Login, OneTimeCode, Profile, RunningNumber, Staff
from server.trade.roles import Role
from server.work.errors import NotAllowed, Refused, Stale, Unfit
from server.work.office import events
from server.work.people import passwords
from server.work.people.hashing import DOOR, STAFF
from server.work.people.staff_names import (
    folded,
    require_one_script,
    require_plain,
    require_unlike,
    tidy,
    unseen,
)
from server.work.permissions import require
from server.work.shop import Person, Shop

LOGIN_HOURS = 14  # a shop day; the tablet is signed out overnight
CODE_DAYS = 3  # a weekend between hiring and the first day

# The demo shop's sign-ins, printed at its start and on its sign-in page. No other shop has them.
DEMO_PASSWORD = "demo shop only"
DEMO_STAFF = (
    ("ilse", Role.COUNTER),
    ("kit", Role.TECHNICIAN),
    ("bo", Role.TECHNICIAN),
    ("sunniva", Role.SUPERVISOR),
)


def digest(token: str) -> str:
    """What is kept of a cookie."""
    return hashlib.sha256(token.encode()).hexdigest()


def set_up(
    shop: Shop,
    *,
    shop_name: str,
    name: str,
    initials: str,
    sign_in: str,
    password: str,
    zone: str = "UTC",
    currency: str = "EUR",
) -> Person:
    """Make the shop and its first supervisor. Raises Refused when there is one already, Unfit."""
    with reading(shop.engine) as connection:
        _require_nobody(people.staff(connection))
    _require_names(name, initials, sign_in, ())
    own = (shop_name, name, sign_in)
    kept = passwords.hashed(shop, password, own=own, room=DOOR)
    with writing(shop.engine) as session:
        _require_nobody(session.exec(select(Staff.id)).all())
        session.add(Profile(name=shop_name, zone=zone, currency=currency))
        session.add_all(RunningNumber(name=n) for n in ("ticket", "log"))
        staff = _staff(shop, name, initials, sign_in, Role.SUPERVISOR)
        staff.password_hash = kept
        session.add(staff)
        session.flush()
        by = person(staff)
        says = f"{by.name} set up the shop."
        events.note(session, by, staff.created_at, "set up", says)
        return by


def add_staff(
    shop: Shop, by: Person, *, name: str, initials: str, sign_in: str, role: str
) -> tuple[Person, str]:
    """Somebody new, and the one-time code by which they set their password.

    Raises NotAllowed, and Unfit for a name that is taken or looks like another's.
    """
    require(by, "run the office")
    with writing(shop.engine) as session:
        _require_names(name, initials, sign_in, session.exec(select(Staff).with_for_update()).all())
        staff = _staff(shop, name, initials, sign_in, role)
        session.add(staff)
        session.flush()
        says = f"{staff.name} added as {role}, signs in as {staff.sign_in}. By {by.name}."
        events.note(session, by, staff.created_at, "staff added", says)
        return person(staff), give_code(session, staff.id, staff.created_at)


def give_code(session: Session, staff_id: int, at: datetime) -> str:
    """A new one-time code in place of any other; it is shown once, and only its digest kept."""
    session.exec(delete(OneTimeCode).where(col(OneTimeCode.staff_id) == staff_id))
    code = passwords.new_code()
    session.add(
        OneTimeCode(
            staff_id=staff_id,
            digest=passwords.code_digest(code),
            made_at=at,
            ends_at=at + timedelta(days=CODE_DAYS),
        )
    )
    return code


def sign_in(
    shop: Shop, *, name: str, password: str, bench: str = "", address: str = ""
) -> tuple[str, Person]:
    """A cookie for this browser.

    Raises NotAllowed with the same words, after the same time, whatever was wrong; Later after too
    many wrong tries by name or address, Busy while too many sign in at once.
    """
    who = folded(name)
    shop.attempts.require("password", who, address)
    row = _row(shop, who)
    kept = row.password_hash if row and row.active else ""
    if not passwords.holds(shop, kept, password) or row is None:
        shop.attempts.failed("password", who, address)
        raise _wrong()
    shop.attempts.passed("password", who, address)
    with writing(shop.engine) as session:
        staff = session.exec(select(Staff).where(Staff.id == row.id).with_for_update()).one()
        if not staff.active or staff.password_hash != kept:
            raise _wrong()  # changed since it was read
        return _let_in(session, shop, staff, bench), person(staff, bench.strip())


def choose_password(
    shop: Shop, *, name: str, code: str, password: str, bench: str = "", address: str = ""
) -> tuple[str, Person]:
    """Set a password by a one-time code, and sign in. Every other browser is signed out.

    Raises NotAllowed for a wrong, used or old code, Unfit for a password that will not do, Later.
    """
    who, sent = folded(name), passwords.code_digest(code)
    shop.attempts.require("code", who, address)
    row = _row(shop, who)
    if row is None or not _code_holds(row, sent, shop.now()):
        shop.attempts.failed("code", who, address)
        raise _wrong_code()
    kept = passwords.hashed(shop, password, own=(row.name, row.sign_in), room=DOOR)
    with writing(shop.engine) as session:
        staff = session.exec(select(Staff).where(Staff.id == row.id).with_for_update()).one()
        used = select(OneTimeCode).where(OneTimeCode.staff_id == row.id)
        found = session.exec(used).one_or_none()
        if found is None or found.digest != sent or not staff.active:
            raise _wrong_code()  # used or replaced since it was read
        session.delete(found)
        staff.password_hash = kept
        sign_out_of_all(session, staff.id)
        by = person(staff, bench.strip())
        says = f"{by.name} set a password by a one-time code."
        events.note(session, by, shop.now(), "password set", says)
        return _let_in(session, shop, staff, bench), by


def change_password(
    shop: Shop, by: Person, *, password: str, new_password: str, token: str, address: str = ""
) -> None:
    """Another password for oneself; every browser but the one with `token` is signed out.

    Raises Unfit for a wrong password or a new one that will not do, Later, Stale.
    """
    who = f"own {by.id}"
    shop.attempts.require("password", who, address)
    with reading(shop.engine) as connection:
        row = people.password_by_id(connection, by.id)
    if not passwords.holds(shop, row.password_hash, password, room=STAFF):
        shop.attempts.failed("password", who, address)
        raise Unfit("password", "That is not your password.", "Type it again.")
    if passwords.normal(password) == passwords.normal(new_password):
        raise Unfit("new_password", "That is the password you have.", "Choose another.")
    own = (row.name, row.sign_in)
    kept = passwords.hashed(shop, new_password, own=own, field="new_password")
    with writing(shop.engine) as session:
        staff = session.exec(select(Staff).where(Staff.id == by.id).with_for_update()).one()
        if staff.password_hash != row.password_hash:
            raise Stale("Your password was changed since then.", "Use the new one.")
        staff.password_hash = kept
        session.exec(delete(OneTimeCode).where(col(OneTimeCode.staff_id) == by.id))
        sign_out_of_all(session, by.id, but=digest(token))
        says = f"{by.name} changed their password."
        events.note(session, by, shop.now(), "password changed", says)


def sign_out(shop: Shop, token: str) -> None:
    """End this browser's sign-in; nothing happens when it is gone already."""
    with writing(shop.engine) as session:
        session.exec(delete(Login).where(col(Login.token_digest) == digest(token)))


def sign_out_of_all(session: Session, staff_id: int, *, but: str = "") -> None:
    """End every sign-in of somebody, save the one with this digest."""
    theirs = col(Login.staff_id) == staff_id
    session.exec(delete(Login).where(theirs, col(Login.token_digest) != but))


def person(staff: Staff, bench: str = "") -> Person:
    """The staff row as the acts take it."""
    return Person(staff.id, staff.name, staff.initials, staff.role, bench)


def _wrong() -> NotAllowed:
    do = "Try again, or ask your supervisor for a one-time code."
    return NotAllowed("The name or the password is wrong.", do)


def _wrong_code() -> NotAllowed:
    says = "The name or the one-time code is wrong, or the code has expired."
    return NotAllowed(says, "Type both again, or ask your supervisor for another code.")


def _row(shop: Shop, who: str) -> PasswordRow | None:
    if unseen(who):
        return None  # nobody's name, and PostgreSQL takes no NUL in a question
    with reading(shop.engine) as connection:
        return people.password_of(connection, who)


def _code_holds(row: PasswordRow, sent: str, at: datetime) -> bool:
    same = hmac.compare_digest(row.code or "", sent)
    return same and row.active and row.code_ends_at is not None and at < row.code_ends_at


def _let_in(session: Session, shop: Shop, staff: Staff, bench: str) -> str:
    token, at = secrets.token_urlsafe(32), shop.now()
    session.add(
        Login(
            token_digest=digest(token),
            staff_id=staff.id,
            csrf=secrets.token_urlsafe(24),
            bench=bench.strip(),
            created_at=at,
            ends_at=at + timedelta(hours=LOGIN_HOURS),
        )
    )
    return token


def _staff(shop: Shop, name: str, initials: str, sign_in: str, role: str) -> Staff:
    return Staff(
        name=tidy(name),
        initials=tidy(initials).upper(),
        sign_in=folded(sign_in),
        role=role,
        created_at=shop.now(),
    )


def _require_names(name: str, initials: str, sign_in: str, known: Sequence[Staff]) -> None:
    for field, text in (("name", name), ("initials", initials), ("sign_in", sign_in)):
        require_plain(field, text)
    require_one_script("sign_in", sign_in)
    require_unlike("sign_in", sign_in, [staff.sign_in for staff in known])
    require_unlike("name", name, [staff.name for staff in known])


def _require_nobody(known: Sequence[object]) -> None:
    if known:
        raise Refused("This shop is set up already.", "Sign in, or ask your supervisor.")
