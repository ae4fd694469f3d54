"""Staff: the first supervisor, new staff, signing in and out."""

import hashlib
import secrets
from datetime import timedelta

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError
from sqlmodel import Session, select

from server.records.engine import writing
from server.records.tables import Counter, Login, Profile, Staff
from server.trade.roles import Role
from server.work.errors import NotAllowed, Refused, Unfit
from server.work.permissions import require
from server.work.shop import Person, Shop

LOGIN_HOURS = 14  # a shop day; the tablet is signed out overnight
LEAST_PHRASE = 8

# The demo shop's sign-ins, printed at its start and on its sign-in page. No other shop has them.
DEMO_PHRASE = "demo shop only"
DEMO_STAFF = (
    ("ilse", Role.COUNTER),
    ("kit", Role.TECHNICIAN),
    ("bo", Role.TECHNICIAN),
    ("sunniva", Role.SUPERVISOR),
)


def hasher(shop: Shop) -> PasswordHasher:
    """Argon2id with the library's own parameters; cheap ones in tests and the demo."""
    return PasswordHasher(1, 8, 1) if shop.quick_phrases else PasswordHasher()


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
    phrase: str,
    zone: str = "UTC",
    currency: str = "EUR",
) -> Person:
    """Make the shop and its first supervisor. Raises Refused when there is a supervisor already."""
    hashed = _hashed(shop, phrase)
    with writing(shop.engine) as session:
        if session.exec(select(Staff.id).limit(1)).first() is not None:
            raise Refused("This shop is set up already.", "Sign in, or ask its supervisor.")
        session.add(Profile(name=shop_name, zone=zone, currency=currency))
        session.add_all(Counter(name=n) for n in ("ticket", "log"))
        staff = _staff(shop, name, initials, sign_in, Role.SUPERVISOR, hashed)
        session.add(staff)
        session.flush()
        return person(staff)


def add_staff(
    shop: Shop, by: Person, *, name: str, initials: str, sign_in: str, role: str, phrase: str
) -> Person:
    """Somebody new. Raises NotAllowed, Unfit when the sign-in name is taken."""
    require(by, "run the office")
    hashed = _hashed(shop, phrase)
    with writing(shop.engine) as session:
        _require_free_name(session, sign_in)
        staff = _staff(shop, name, initials, sign_in, role, hashed)
        session.add(staff)
        session.flush()
        return person(staff)


def sign_in(shop: Shop, *, name: str, phrase: str, bench: str = "") -> tuple[str, Person]:
    """A cookie for this browser. Raises NotAllowed with the same words whatever was wrong."""
    with writing(shop.engine) as session:
        staff = session.exec(select(Staff).where(Staff.sign_in == _folded(name))).one_or_none()
        known = staff.phrase_hash if staff else _hashed(shop, "nobody has this phrase")
        if not _verified(shop, known, phrase) or staff is None or not staff.active:
            raise NotAllowed(
                "The name or the phrase is wrong.", "Try again, or ask the supervisor."
            )
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
        return token, person(staff, bench)


def sign_out(shop: Shop, token: str) -> None:
    """End this browser's sign-in; nothing happens when it is gone already."""
    with writing(shop.engine) as session:
        login = session.exec(select(Login).where(Login.token_digest == digest(token))).one_or_none()
        if login is not None:
            session.delete(login)


def person(staff: Staff, bench: str = "") -> Person:
    """The staff row as the acts take it."""
    return Person(staff.id, staff.name, staff.initials, staff.role, bench)


def _staff(shop: Shop, name: str, initials: str, sign_in: str, role: str, hashed: str) -> Staff:
    return Staff(
        name=name.strip(),
        initials=initials.strip().upper(),
        sign_in=_folded(sign_in),
        role=role,
        phrase_hash=hashed,
        created_at=shop.now(),
    )


def _hashed(shop: Shop, phrase: str) -> str:
    if len(phrase) < LEAST_PHRASE:
        raise Unfit("phrase", f"The phrase needs {LEAST_PHRASE} characters or more.")
    return hasher(shop).hash(phrase)


def _verified(shop: Shop, known: str, phrase: str) -> bool:
    try:
        return hasher(shop).verify(known, phrase)
    except (VerificationError, InvalidHashError):
        return False


def _require_free_name(session: Session, sign_in: str) -> None:
    if session.exec(select(Staff.id).where(Staff.sign_in == _folded(sign_in))).first() is not None:
        raise Unfit("sign_in", "Somebody signs in with that name already.", "Choose another.")


def _folded(text: str) -> str:
    return text.strip().casefold()
