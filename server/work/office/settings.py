"""The supervisor's acts: the shop's own settings, and who works here.

A name is never changed: logs that were signed under it name it. Nobody is taken off the list.
"""

from collections.abc import Mapping
from typing import Any
from zoneinfo import available_timezones

from sqlmodel import Session, col, delete, select

from server.records.engine import writing
from server.records.tables import KeyRecord, OneTimeCode, Profile, Staff, Terms, Ticket
from server.trade.roles import Role
from server.work.errors import Locked, Missing, Unfit
from server.work.office import events
from server.work.people.staff import give_code, sign_out_of_all
from server.work.permissions import require
from server.work.shop import Person, Shop

CHANGEABLE = frozenset(Profile.model_fields) - {"id"}


def change_shop(shop: Shop, by: Person, changes: Mapping[str, Any]) -> Profile:
    """Set some of the shop's settings. Raises NotAllowed, Unfit for a zone that is none.

    New terms are a further version; tickets keep the one that was agreed to. Raises TypeError for a
    setting that there is not.
    """
    require(by, "run the office")
    if strange := changes.keys() - CHANGEABLE:
        raise TypeError(f"A shop has no {', '.join(sorted(strange))}.")
    if changes.get("zone", "UTC") not in available_timezones():
        raise Unfit("zone", "There is no such time zone.", "Choose one of the list.")
    with writing(shop.engine) as session:
        profile = session.exec(select(Profile).with_for_update()).one()
        before = profile.second_eyes
        if (words := changes.get("terms", "")) and words != profile.terms:
            session.add(Terms(words=words, written_at=shop.now(), by_id=by.id))
        for name, value in changes.items():
            setattr(profile, name, value)
        if profile.closes_at <= profile.opens_at:
            raise Unfit("closes_at", "The shop closes before it opens.", "Write a later time.")
        if profile.second_eyes != before:
            says = f"Second pair of eyes, from {before} to {profile.second_eyes}, by {by.name}."
            events.note(session, by, shop.now(), "second eyes", says)
        return profile


def leave(shop: Shop, by: Person, staff_id: int) -> Staff:
    """Let somebody go: signed out everywhere, their key closed with its date.

    Raises Locked for the last supervisor, and while a ticket is on their bench.
    """
    require(by, "run the office")
    with writing(shop.engine) as session:
        staff = _staff(session, staff_id)
        _require_another_lead(session, staff)
        _require_free_bench(session, staff)
        was_here, staff.active = staff.active, False
        sign_out_of_all(session, staff.id)
        session.exec(delete(OneTimeCode).where(col(OneTimeCode.staff_id) == staff.id))
        at = shop.now()
        for key in session.exec(select(KeyRecord).where(KeyRecord.staff_id == staff.id)):
            key.closed_at = key.closed_at or at
        if was_here:
            says = f"{staff.name} left; their key is closed. By {by.name}."
            events.note(session, by, at, "left", says)
        return staff


def come_back(shop: Shop, by: Person, staff_id: int) -> Staff:
    """Let somebody sign in again. A closed key stays closed: they make another."""
    require(by, "run the office")
    with writing(shop.engine) as session:
        staff = _staff(session, staff_id)
        was_here, staff.active = staff.active, True
        if not was_here:
            says = f"{staff.name} can sign in again. By {by.name}."
            events.note(session, by, shop.now(), "came back", says)
        return staff


def reset_password(shop: Shop, by: Person, staff_id: int) -> tuple[Staff, str]:
    """End somebody's password and sign-ins; they set another by the one-time code that comes back.

    Raises Locked for somebody who has left. Their signing passphrase stays: nobody but they can
    know or change it.
    """
    require(by, "run the office")
    with writing(shop.engine) as session:
        staff = _staff(session, staff_id)
        if not staff.active:
            raise Locked(f"{staff.name} cannot sign in.", "Let them sign in again first.")
        staff.password_hash, at = "", shop.now()
        sign_out_of_all(session, staff.id)
        says = f"{staff.name} got a one-time code to set a password by. From {by.name}."
        events.note(session, by, at, "password reset", says)
        return staff, give_code(session, staff.id, at)


def _staff(session: Session, staff_id: int) -> Staff:
    # Every supervisor is locked, in one order, so that two cannot let each other go at once.
    query = select(Staff).where((Staff.id == staff_id) | (Staff.role == Role.SUPERVISOR))
    rows = session.exec(query.order_by(Staff.id).with_for_update()).all()  # type: ignore[arg-type]  # a column
    staff = next((row for row in rows if row.id == staff_id), None)
    if staff is None:
        raise Missing("Nobody here has that number.", "Look at the staff list.")
    return staff


def _require_another_lead(session: Session, staff: Staff) -> None:
    others = session.exec(select(Staff.id).where(Staff.role == Role.SUPERVISOR, Staff.active)).all()
    if staff.role == Role.SUPERVISOR and set(others) <= {staff.id}:
        raise Locked(f"{staff.name} is the only supervisor.", "Add another supervisor first.")


def _require_free_bench(session: Session, staff: Staff) -> None:
    held = session.exec(select(Ticket.number).where(Ticket.holder_id == staff.id)).first()
    if held is not None:
        raise Locked(
            f"Ticket {held:04d} is on {staff.name}’s bench.", "Put it back or pass it on first."
        )
