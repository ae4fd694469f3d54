"""Book in: six thoughts, each saved as it is told, and a ticket at the end."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from fastapi import Request, Response
from sqlalchemy import Connection

from server.records import counter as kept
from server.records import customers
from server.records.customers import CraftRow
from server.records.engine import reading
from server.records.people import ShopRow
from server.trade.choices import ITEMS, BatteryLook, HandedIn
from server.web.booking import promise
from server.web.booking.customer_search import Choice, CustomerSearch, choices, search
from server.web.booking.forms import (
    BY_KEY,
    PLACE,
    THOUGHTS,
    BookingContext,
    Thought,
    WhoForm,
    initial,
)
from server.web.booking.photos import (
    dropped,
    keep_photos,
    photos_of,
    without_photos,
)
from server.web.booking.slip import Pairs, slip
from server.web.estimate.forms import with_more_rows
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.attachments import ShownPhoto
from server.work.booking import intake
from server.work.errors import Missing, Refused
from server.work.permissions import require
from server.work.shop import Shop

desk = Desk()
Answers = Mapping[str, Any]
NOBODY = CustomerSearch()


@dataclass(frozen=True)
class BookingStartPage(View):
    """Where a booking begins: who is it? It is made when that is told."""

    template: ClassVar[str] = "booking/start.html"
    title: ClassVar[str] = "Book in"
    desk: ClassVar[str] = "book-in"

    here: str
    form: Form[Any]
    search: CustomerSearch


@dataclass(frozen=True)
class BookInPage(View):
    """One thought of a booking, with the slip that fills in."""

    template: ClassVar[str] = "booking/book_in.html"
    scripts: ClassVar[tuple[str, ...]] = ("counter",)
    desk: ClassVar[str] = "book-in"

    booking: int
    here: str
    thought: Thought
    at: int
    steps: tuple[tuple[str, str | None], ...]
    form: Form[Any]
    slip: Pairs
    choices: tuple[Choice, ...]
    search: CustomerSearch
    unsafe: bool
    photos: tuple[ShownPhoto, ...]
    terms: str
    terms_id: int | None
    currency: str
    why: str

    def titled(self) -> str:
        """The thought's question."""
        return f"Book in: {self.thought.asks}"


@desk.get("/book-in")
def start_page(
    request: Request, shop: ShopDep, by: By, profile: ProfileDep, q: str = ""
) -> Response:
    """One box for name, telephone, craft, mark and ticket; below it a new customer."""
    require(by, "book in")
    with reading(shop.engine) as connection:
        found = search(connection, profile, q)
    return render(request, BookingStartPage("/book-in", Form.blank(WhoForm, **found.new), found))


@desk.post("/book-in")
def start(request: Request, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep) -> Response:
    """A new booking of whom was told."""
    thought = BY_KEY["who"]
    form = forms.read(WhoForm, sent)
    for name, says in _wrong(form, shop, profile).items():
        form = form.with_error(name, says)
    if form.filled is None:
        return render(request, BookingStartPage("/book-in", form, NOBODY), 422)
    return _on(request, shop, by, profile, intake.begin(shop, by).id, thought, form.filled)


@desk.get("/book-in/{booking:int}/{key}")
def thought_page(
    request: Request,
    booking: int,
    key: str,
    shop: ShopDep,
    by: By,
    profile: ProfileDep,
    q: str = "",
) -> Response:
    """A thought with what was told before."""
    require(by, "book in")
    thought = _thought(key)
    with reading(shop.engine) as connection:
        row = _booking(connection, booking)
        if row.number is not None:
            return go(request, f"/tickets/{row.number}", "This booking is a ticket already.")
        answers = json.loads(row.answers)
        found = search(connection, profile, q if key == "who" else "")
        given = initial(key, _filled_in(connection, shop, profile, key, answers), profile)
        form = Form.blank(thought.model, **(found.new or given))
        page = _page(connection, shop, profile, booking, thought, answers, form, found)
    return render(request, page)


@desk.post("/book-in/{booking:int}/condition", slow=True)
def tell_condition(
    request: Request, booking: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """How it looks, with photos: those that can be kept are, whatever else is wrong."""
    wrong = keep_photos(shop, by, booking, sent)
    thought = BY_KEY["condition"]
    form = forms.read(thought.model, without_photos(sent))
    if wrong or dropped(shop, by, booking, sent) or sent.get("more"):
        form = replace(form, errors={}, filled=None)
        for says in wrong:
            form = form.with_error("photos", says)
        return _again(request, shop, profile, booking, thought, form)
    return _told(request, shop, by, profile, booking, thought, form)


@desk.post("/book-in/{booking:int}/{key}")
def tell(
    request: Request,
    booking: int,
    key: str,
    sent: Sent,
    shop: ShopDep,
    by: By,
    profile: ProfileDep,
) -> Response:
    """Keep what was told, and on to the next thought; the last makes the ticket."""
    thought = _thought(key)
    form = forms.read(thought.model, sent)
    if sent.get("more"):  # adding rows is no telling: what is half written stays so
        return _again(request, shop, profile, booking, thought, with_more_rows(form))
    return _told(request, shop, by, profile, booking, thought, form)


def _told(
    request: Request,
    shop: Shop,
    by: By,
    profile: ShopRow,
    booking: int,
    thought: Thought,
    form: Form[Any],
) -> Response:
    for name, says in _wrong(form, shop, profile).items():
        form = form.with_error(name, says)
    if form.filled is None:
        return _again(request, shop, profile, booking, thought, form)
    try:
        return _on(request, shop, by, profile, booking, thought, form.filled)
    except Refused as no:
        form = form.with_error("", f"{no.says} {no.do}")
        return _again(request, shop, profile, booking, thought, form, no.status)


def _on(
    request: Request,
    shop: Shop,
    by: By,
    profile: ShopRow,
    booking: int,
    thought: Thought,
    filled: Any,
) -> Response:
    with reading(shop.engine) as connection:
        before = json.loads(_booking(connection, booking).answers)
        told = _looked_up(connection, before, thought.tells(filled, profile))
    answers = json.loads(intake.tell(shop, by, booking, told).answers)
    if thought is not THOUGHTS[-1]:
        known = thought.key == "who" and answers.get("craft_id") is not None
        return go(request, f"/book-in/{booking}/{THOUGHTS[PLACE[thought.key] + known].key}")
    if (gap := intake.missing(answers)) is not None:
        return go(request, f"/book-in/{booking}/{gap}", "This is still to be told.")
    ticket = intake.book(shop, by, booking, intake.told_of(answers))
    says = f"Ticket {ticket.number:04d} is booked in. Print its claim slip."
    return go(request, f"/tickets/{ticket.number}", says)


def _again(
    request: Request,
    shop: Shop,
    profile: ShopRow,
    booking: int,
    thought: Thought,
    form: Form[Any],
    status: int = 422,
) -> Response:
    with reading(shop.engine) as connection:
        row = _booking(connection, booking)
        if row.number is not None:
            return go(request, f"/tickets/{row.number}", "This booking is a ticket already.")
        page = _page(connection, shop, profile, booking, thought, json.loads(row.answers), form)
    return render(request, page, status if form.errors else 200)


def _wrong(form: Form[Any], shop: Shop, profile: ShopRow) -> dict[str, str]:
    if form.filled is None:
        return {}
    asked = BookingContext(shop.now(), profile.zone, profile.currency, bool(profile.terms))
    errors: dict[str, str] = form.filled.wrong(asked)
    return errors


def _thought(key: str) -> Thought:
    if key not in BY_KEY:
        raise Missing("Book in has no such page.", "Start from Book in.")
    return BY_KEY[key]


def _booking(connection: Connection, booking: int) -> customers.BookingRow:
    row = customers.booking(connection, booking)
    if row is None:
        raise Missing("There is no such booking.", "Start a new one.")
    return row


def _looked_up(connection: Connection, before: Answers, told: dict[str, Any]) -> dict[str, Any]:
    """What was told, with the names behind the picks; another customer has other crafts."""
    if "customer_id" in told:
        if (known := told["customer_id"]) is not None:
            row = customers.one(connection, known)
            if row is None:
                raise Missing("That customer is gone.", "Find them again, or enter them anew.")
            told |= {"customer_name": row.name, "phone": row.phone, "email": row.email}
        if known is None or known != before.get("customer_id"):
            told = {"craft_id": None, "craft_name": "", "mark": ""} | told
    if told.get("craft_id") is not None:
        row_ = _craft(connection, {**before, **told}, told["craft_id"])
        told |= {"craft_name": row_.name, "mark": row_.mark}
    return told


def _craft(connection: Connection, answers: Answers, craft_id: int) -> CraftRow:
    for row in customers.crafts(connection, answers.get("customer_id") or 0):
        if row.id == craft_id:
            return row
    raise Missing("That craft is not this customer’s.", "Choose one of theirs.")


def _filled_in(
    connection: Connection, shop: Shop, profile: ShopRow, key: str, answers: Answers
) -> Answers:
    """The answers, with what stands in an untold form: last time's items and lines, a promise."""
    if key == "promise" and not answers.get("promised_at"):
        at = promise.advice(connection, profile, shop.now(), answers).at
        lines = _last_lines(connection, answers)
        return {"lines": lines, **answers, "promised_at": at.isoformat()}
    if key == "items" and "items" not in answers:
        return {**answers, "items": _last_items(connection, answers)}
    if key == "who" and answers.get("customer_id") is not None:
        return {}
    if key == "craft" and answers.get("craft_id") is not None:
        return {}
    return answers


def _last_items(connection: Connection, answers: Answers) -> dict[str, int]:
    """One craft and nothing else, or what this craft came with the last time."""
    plain = dict.fromkeys(ITEMS, 0) | {HandedIn.CRAFT: 1}
    if answers.get("craft_id") is None:
        del plain["battery"]
        return plain
    last = _craft(connection, answers, answers["craft_id"]).ticket_id
    return plain | (kept.items(connection, last) if last is not None else {})


def _last_lines(connection: Connection, answers: Answers) -> list[dict[str, Any]]:
    """What was estimated for this craft the last time."""
    if answers.get("craft_id") is None:
        return []
    last = _craft(connection, answers, answers["craft_id"]).ticket_id
    return [row._asdict() for row in kept.lines(connection, last)] if last is not None else []


def _page(
    connection: Connection,
    shop: Shop,
    profile: ShopRow,
    booking: int,
    thought: Thought,
    answers: Answers,
    form: Form[Any],
    found: CustomerSearch = NOBODY,
) -> BookInPage:
    steps = tuple((t.label, f"/book-in/{booking}/{t.key}") for t in THOUGHTS)
    terms = kept.newest_terms(connection) if profile.terms else None
    known = answers.get("customer_id") if thought.key == "craft" else None
    crafts = customers.crafts(connection, known) if known else []
    return BookInPage(
        booking,
        f"/book-in/{booking}/{thought.key}",
        thought,
        PLACE[thought.key],
        steps,
        form,
        slip(answers, profile),
        choices(crafts, profile.zone),
        found,
        answers.get("battery_look") == BatteryLook.UNSAFE,
        photos_of(booking, answers),
        terms.words if terms else profile.terms,
        terms.id if terms else None,
        profile.currency,
        _why(connection, shop, profile, answers) if thought.key == "promise" else "",
    )


def _why(connection: Connection, shop: Shop, profile: ShopRow, answers: Answers) -> str:
    told = promise.advice(connection, profile, shop.now(), answers)
    return promise.why(told, profile)
