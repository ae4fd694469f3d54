"""The counter: book a quad in, one thought at a time, and nothing told is lost."""

import json
from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from pydantic import BaseModel
from sqlmodel import Session, select

from server.records.engine import writing
from server.records.tables import (
    Booking,
    CraftRecord,
    Customer,
    HandedItem,
    Profile,
    Ticket,
    TicketSymptom,
    TicketTerms,
)
from server.trade.choices import CONDITIONS, BatteryLook, HowAgreed
from server.trade.events import Event
from server.trade.power import Power
from server.work import phones
from server.work.errors import Locked, Missing, Unfit
from server.work.estimate import estimates
from server.work.estimate.estimates import EstimateItem
from server.work.numbers import next_number
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket import files, shared
from server.work.ticket.status_page import new_code

# By thought, the answer that is there once it was told.
_TELLS = {
    "who": "customer_name",
    "craft": "craft_name",
    "items": "battery_look",
    "promise": "promised_at",
}


class Intake(BaseModel):
    """All that the counter asked; what `book` makes a ticket of."""

    customer_id: int | None = None
    customer_name: str = ""
    phone: str = ""
    email: str = ""
    craft_id: int | None = None
    craft_name: str = ""
    mark: str = ""
    symptoms: Sequence[str] = ()
    own_words: str = ""
    items: Mapping[str, int] = {}
    battery_look: str = BatteryLook.NONE
    condition: Sequence[str] = ()
    condition_words: str = ""
    promised_at: datetime | None = None
    lines: Sequence[EstimateItem] = ()
    terms_agreed: bool = False
    terms_id: int | None = None
    estimate_agreed: bool = False
    photos: Sequence[Mapping[str, Any]] = ()  # as files.store_photo gives them


def begin(shop: Shop, by: Person) -> Booking:
    """A new booking, empty."""
    require(by, "book in")
    with writing(shop.engine) as session:
        booking = Booking(by_id=by.id, created_at=shop.now(), changed_at=shop.now())
        session.add(booking)
        session.flush()
        return booking


def tell(shop: Shop, by: Person, booking_id: int, answers: Mapping[str, Any]) -> Booking:
    """Keep what one thought asked. `answers` are JSON values; those told before stay."""
    require(by, "book in")
    with writing(shop.engine) as session:
        booking = _open_booking(session, booking_id)
        booking.answers = json.dumps(json.loads(booking.answers) | dict(answers))
        booking.changed_at = shop.now()
        return booking


def book(shop: Shop, by: Person, booking_id: int, told: Intake) -> Ticket:
    """Make the ticket of a booking; sent twice it is the same ticket."""
    require(by, "book in")
    with writing(shop.engine) as session:
        booking = _booking(session, booking_id)
        if booking.ticket_id is not None:
            return session.exec(select(Ticket).where(Ticket.id == booking.ticket_id)).one()
        at = shop.now()
        customer = _customer(session, told, at)
        craft = _craft(session, told, customer, at)
        ticket = _ticket(session, by, told, customer, craft, at)
        _particulars(session, ticket, told)
        what = estimates.put_lines(session, ticket, told.lines, at)
        booking.ticket_id, booking.changed_at = ticket.id, at
        shared.note(session, ticket, by, at, Event.BOOKED_IN)
        for photo in told.photos:
            files.add_photo(session, shop, by, ticket, photo)
        if told.estimate_agreed and what.lines:
            estimates.put_agreement(
                session,
                shop,
                ticket,
                what,
                by=by,
                how=HowAgreed.COUNTER,
                who=customer.name,
                up_to_minor=what.total_minor,
                act_key=f"booking-{booking.id}",
            )
        return ticket


def add_photo(shop: Shop, by: Person, booking_id: int, *, data: bytes, name: str) -> Booking:
    """Keep a photo with what was told so far; twice it is one. Raises Locked, Unfit."""
    require(by, "book in")
    stored = files.store_photo(shop, data=data, name=name)
    with writing(shop.engine) as session:
        booking = _open_booking(session, booking_id)
        answers = json.loads(booking.answers)
        photos = [p for p in answers.get("photos", []) if p["digest"] != stored["digest"]]
        if len(photos) >= files.MOST_PHOTOS:
            raise Unfit(
                "photos", f"This booking has {files.MOST_PHOTOS} photos, and takes no more."
            )
        booking.answers = json.dumps(answers | {"photos": [*photos, stored]})
        booking.changed_at = shop.now()
        return booking


def drop_photo(shop: Shop, by: Person, booking_id: int, digest: str) -> Booking:
    """Take a photo out of a booking: it was the wrong one. What was dropped is still known, so
    that it goes with the customer."""
    require(by, "book in")
    with writing(shop.engine) as session:
        booking = _open_booking(session, booking_id)
        answers = json.loads(booking.answers)
        photos = [p for p in answers.get("photos", []) if p["digest"] != digest]
        dropped = [*answers.get("dropped", []), digest]
        booking.answers = json.dumps(answers | {"photos": photos, "dropped": dropped})
        booking.changed_at = shop.now()
        return booking


def told_of(answers: Mapping[str, Any]) -> Intake:
    """What a booking's answers amount to, the picked conditions in words."""
    words = [CONDITIONS.get(code, code) for code in answers.get("condition", ())]
    return Intake.model_validate({**answers, "condition": words})


def missing(answers: Mapping[str, Any]) -> str | None:
    """The first thought that was not told yet; None when all were."""
    return next((key for key, name in _TELLS.items() if not answers.get(name)), None)


def _booking(session: Session, booking_id: int) -> Booking:
    booking = session.exec(
        select(Booking).where(Booking.id == booking_id).with_for_update()
    ).one_or_none()
    if booking is None:
        raise Missing("There is no such booking.", "Start a new one.")
    return booking


def _open_booking(session: Session, booking_id: int) -> Booking:
    booking = _booking(session, booking_id)
    if booking.ticket_id is not None:
        raise Locked("This booking is a ticket already.", "Open the ticket.")
    return booking


def _customer(session: Session, told: Intake, at: datetime) -> Customer:
    if told.customer_id is not None:
        known = session.get(Customer, told.customer_id)
        if known is None or known.erased_at is not None:
            raise Missing("That customer is gone.", "Find them again, or enter them anew.")
        return known
    phone = phones.read(told.phone, session.exec(select(Profile.country)).one())
    customer = Customer(
        name=told.customer_name.strip(),
        name_key=told.customer_name.strip().casefold(),
        phone=phone.kept,
        phone_key=phone.key,
        email=told.email.strip(),
        created_at=at,
    )
    session.add(customer)
    session.flush()
    return customer


def _craft(session: Session, told: Intake, customer: Customer, at: datetime) -> CraftRecord:
    if told.craft_id is not None:
        known = session.get(CraftRecord, told.craft_id)
        if known is None or known.customer_id != customer.id:
            raise Missing("That craft is not this customer’s.", "Choose one of theirs.")
        return known
    name = told.craft_name.strip()
    same = select(CraftRecord).where(
        CraftRecord.customer_id == customer.id, CraftRecord.name == name
    )
    craft = session.exec(same).one_or_none()
    if craft is None:
        craft = CraftRecord(
            customer_id=customer.id,
            name=name,
            name_key=name.casefold(),
            mark=told.mark.strip(),
            created_at=at,
        )
        session.add(craft)
        session.flush()
    return craft


def _ticket(
    session: Session, by: Person, told: Intake, customer: Customer, craft: CraftRecord, at: datetime
) -> Ticket:
    ticket = Ticket(
        number=next_number(session, "ticket"),
        craft_id=craft.id,
        customer_id=customer.id,
        own_words=told.own_words.strip(),
        condition=_condition(told),
        battery_look=told.battery_look,
        terms_agreed_at=at if told.terms_agreed else None,
        promised_at=told.promised_at,
        status_code=new_code(),
        booked_at=at,
        booked_by_id=by.id,
        changed_at=at,
        power=str(Power.COLD),
    )
    session.add(ticket)
    session.flush()
    return ticket


def _condition(told: Intake) -> str:
    words = [*told.condition, *told.condition_words.strip().splitlines()]
    return "\n".join(word for word in words if word)


def _particulars(session: Session, ticket: Ticket, told: Intake) -> None:
    codes = dict.fromkeys(told.symptoms)
    session.add_all(TicketSymptom(ticket_id=ticket.id, code=code) for code in codes)
    session.add_all(
        HandedItem(ticket_id=ticket.id, item=item, count=count)
        for item, count in told.items.items()
        if count > 0
    )
    if told.terms_agreed and told.terms_id is not None:
        session.add(TicketTerms(ticket_id=ticket.id, terms_id=told.terms_id))
