"""Photos that come with a booking, before it is a ticket."""

import json
from collections.abc import Mapping
from typing import Any

from fastapi import Response
from starlette.datastructures import FormData, UploadFile

from server.records import customers
from server.records.engine import reading
from server.web.site.routing import Desk
from server.web.site.session import By, ShopDep
from server.web.ticket.attachments import ShownPhoto, picture_answer
from server.work.booking import intake
from server.work.errors import Missing, Unfit
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket import pictures

desk = Desk()
_OWN = ("photos", "drop", "more")


@desk.get("/book-in/{booking:int}/photos/{digest}")
def booking_photo(booking: int, digest: str, shop: ShopDep, by: By) -> Response:
    """A photo of a booking."""
    return _photo(shop, by, booking, digest, small=False)


@desk.get("/book-in/{booking:int}/photos/{digest}/small")
def small_booking_photo(booking: int, digest: str, shop: ShopDep, by: By) -> Response:
    """Its small copy."""
    return _photo(shop, by, booking, digest, small=True)


def _photo(shop: Shop, by: Person, booking: int, digest: str, *, small: bool) -> Response:
    require(by, "book in")
    with reading(shop.engine) as connection:
        row = customers.booking(connection, booking)
    told = json.loads(row.answers).get("photos", []) if row else []
    if digest not in {photo["digest"] for photo in told}:
        raise Missing("This booking has no such photo.", "Open the booking again.")
    return picture_answer(shop, digest, small=small)


def photos_of(booking: int, answers: Mapping[str, Any]) -> tuple[ShownPhoto, ...]:
    """What was photographed so far."""
    return tuple(
        ShownPhoto(p["digest"], f"/book-in/{booking}/photos/{p['digest']}", p["name"])
        for p in answers.get("photos", ())
    )


def keep_photos(shop: Shop, by: Person, booking: int, sent: FormData) -> list[str]:
    """Keep the photos of a form. Gives what is wrong with those that cannot be kept."""
    wrong = []
    for file in uploads(sent, "photos"):
        try:
            data = file.file.read(pictures.MOST_BYTES + 1)
            intake.add_photo(shop, by, booking, data=data, name=file.filename or "photo")
        except Unfit as no:
            wrong.append(f"{no.says} {no.do}".strip())
    return wrong


def dropped(shop: Shop, by: Person, booking: int, sent: FormData) -> bool:
    """Whether a photo was to be taken out; it is out then."""
    digest = sent.get("drop")
    if isinstance(digest, str):
        intake.drop_photo(shop, by, booking, digest)
    return digest is not None


def uploads(sent: FormData, name: str) -> list[UploadFile]:
    """The files that were chosen under a name."""
    return [f for f in sent.getlist(name) if isinstance(f, UploadFile) and f.filename]


def without_photos(sent: FormData) -> FormData:
    """What else the form said."""
    return FormData([(name, value) for name, value in sent.multi_items() if name not in _OWN])
