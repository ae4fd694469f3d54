"""A ticket's photos, and the files that the customer brought and takes home again."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request, Response
from pydantic import BaseModel
from starlette.datastructures import FormData

from server.records import counter, tickets
from server.records.counter import PhotoRow
from server.records.engine import reading
from server.records.people import ShopRow
from server.trade.ticket import CLOSED
from server.web.booking.photos import uploads
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.attachments import ShownPhoto, file_answer, photos, picture_answer
from server.web.ticket.frame import title_block
from server.work.errors import Missing, Unfit
from server.work.permissions import require
from server.work.shop import Person, Shop
from server.work.ticket import files as kept_files
from server.work.ticket import pictures

desk = Desk()


class FilesForm(BaseModel):
    """Two forms of one field each; nothing of a file is given back."""

    photos: str = ""
    files: str = ""


@dataclass(frozen=True)
class TicketFilesPage(View):
    """What is kept, and where more is added."""

    template: ClassVar[str] = "ticket/files.html"
    desk: ClassVar[str] = "queue"

    number: int
    block: TitleBlock
    open: bool
    photos: tuple[ShownPhoto, ...]
    files: tuple[PhotoRow, ...]
    form: Form[FilesForm]

    def titled(self) -> str:
        """The ticket."""
        return f"Photos and files of {self.number:04d}"


@desk.get("/tickets/{number:int}/files")
def files_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Photos and files."""
    require(by, "book in")
    return render(request, _page(shop, profile, number, Form.blank(FilesForm)))


@desk.post("/tickets/{number:int}/photos", slow=True)
def add_photos(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Keep photos of the craft; those that can be kept are, whatever is wrong with others."""
    wrong = _kept(shop, by, number, sent, "photos")
    return _after(request, shop, profile, number, "photos", wrong)


@desk.post("/tickets/{number:int}/files", slow=True)
def add_files(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Keep files of the customer, as they are."""
    wrong = _kept(shop, by, number, sent, "files")
    return _after(request, shop, profile, number, "files", wrong)


@desk.get("/tickets/{number:int}/photos/{digest}")
def photo(number: int, digest: str, shop: ShopDep, by: By) -> Response:
    """A photo."""
    require(by, "book in")
    return picture_answer(shop, _row(shop, number, "photo", digest).digest, small=False)


@desk.get("/tickets/{number:int}/photos/{digest}/small")
def small_photo(number: int, digest: str, shop: ShopDep, by: By) -> Response:
    """Its small copy."""
    require(by, "book in")
    return picture_answer(shop, _row(shop, number, "photo", digest).digest, small=True)


@desk.get("/tickets/{number:int}/files/{digest}")
def file(number: int, digest: str, shop: ShopDep, by: By) -> Response:
    """A file as it came, to be given back."""
    require(by, "book in")
    return file_answer(shop, _row(shop, number, "settings", digest))


def _kept(shop: Shop, by: Person, number: int, sent: FormData, name: str) -> list[str]:
    require(by, "book in")
    chosen = uploads(sent, name)
    if not chosen:
        return ["Choose a file first."]
    wrong = []
    for one in chosen:
        try:
            if name == "photos":
                data = one.file.read(pictures.MOST_BYTES + 1)
                kept_files.keep_photo(shop, by, number, data=data, name=one.filename or "")
            else:
                data = one.file.read(kept_files.MOST_BYTES + 1)
                kept_files.keep_customers_file(shop, by, number, data=data, name=one.filename or "")
        except Unfit as no:
            wrong.append(f"{no.says} {no.do}".strip())
    return wrong


def _after(
    request: Request, shop: Shop, profile: ShopRow, number: int, name: str, wrong: list[str]
) -> Response:
    if not wrong:
        return go(request, f"/tickets/{number}/files", f"The {name} are kept.")
    form = Form.blank(FilesForm).with_error(name, " ".join(wrong))
    return render(request, _page(shop, profile, number, form), 422)


def _page(shop: Shop, profile: ShopRow, number: int, form: Form[FilesForm]) -> TicketFilesPage:
    with reading(shop.engine) as connection:
        head = tickets.head(connection, number)
        if head is None:
            raise Missing(f"There is no ticket {number:04d}.", "Look in the queue.")
        shots = counter.kept(connection, head.id, "photo")
        files = counter.kept(connection, head.id, "settings")
    return TicketFilesPage(
        number,
        title_block(head, profile),
        head.state not in CLOSED,
        photos(shots, number),
        tuple(files),
        form,
    )


def _row(shop: Shop, number: int, kind: str, digest: str) -> PhotoRow:
    with reading(shop.engine) as connection:
        head = tickets.head(connection, number)
        rows = counter.kept(connection, head.id, kind) if head else []
    for row in rows:
        if row.digest == digest:
            return row
    raise Missing("This ticket has no such file.", "Open the ticket; its files stand there.")
