"""Where a first map comes from: a past build, a board and the rest, or a sheet in a file."""

from dataclasses import dataclass
from typing import Any, ClassVar
from urllib.parse import quote

from fastapi import Request, Response
from starlette.datastructures import UploadFile

from server.records import boards, builds
from server.records.boards import BoardRow
from server.records.engine import reading
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade import sheet as sheets
from server.trade.sheet import Sheet, SheetError
from server.trade.sheet.read import MOST_BYTES
from server.web.port_map.forms import SheetForm, StartForm
from server.web.port_map.state import MapState, look, look_in, why_not
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.frame import strip_of, title_block
from server.work.errors import Missing, Refused, Unfit
from server.work.port_map import edit, revisions
from server.work.shop import Person, Shop

desk = Desk()


@dataclass(frozen=True)
class MapStartPage(View):
    """No map yet: choose a start."""

    template: ClassVar[str] = "port_map/start.html"

    head: TicketHead
    block: TitleBlock
    why_not: str
    last: int | None
    boards: tuple[tuple[str, str], ...]
    start: Form[StartForm]
    sheet: Form[SheetForm]

    def titled(self) -> str:
        """The ticket."""
        return f"Start the port map of {self.head.number:04d}"


@dataclass(frozen=True)
class LoadPage(View):
    """A sheet from a file, in place of the map shown."""

    template: ClassVar[str] = "port_map/load.html"

    head: TicketHead
    block: TitleBlock
    sheet: Form[SheetForm]

    def titled(self) -> str:
        """The ticket."""
        return f"Load a sheet for {self.head.number:04d}"


@desk.get("/tickets/{number:int}/map/start")
def start_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Choose a start."""
    return render(request, _start(shop, by, profile, number))


@desk.post("/tickets/{number:int}/map/start")
def start(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Begin from a past build, or go on to what a board leaves open."""
    form = forms.read(StartForm, sent)
    given = form.filled or StartForm()
    if given.board is not None:
        return go(request, f"/tickets/{number}/map/values?board={given.board}")
    if given.build is None:
        wrong = form if form.errors else form.with_error("board", "Say which board.")
        return render(request, _start(shop, by, profile, number, start=wrong), 422)
    seen = look(shop, number)
    sheet = edit.for_craft(_past(shop, given.build), seen.head.craft)
    revisions.draw_up(shop, by, number, sheet=sheet, version=seen.version, came_from=given.build)
    return go(request, f"/tickets/{number}/map", "The map starts from the past build.")


@desk.get("/tickets/{number:int}/map/sheet")
def load_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Ask for the file."""
    return render(request, _load(shop, profile, look(shop, number), Form.blank(SheetForm)))


@desk.post("/tickets/{number:int}/map/sheet")
def load(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Draw up what the file says, or show the place where it cannot be read."""
    form, seen = forms.read(SheetForm, sent), look(shop, number)
    if form.filled is not None:
        try:
            sheet = _read(form.filled.sheet)
            revisions.draw_up(shop, by, number, sheet=sheet, version=seen.version)
            return go(request, f"/tickets/{number}/map", "The sheet is loaded.")
        except SheetError as wrong:
            form = form.with_error("sheet", f"At {wrong.at}: {wrong.says}.")
        except Unfit as no:
            form = form.with_error(no.field, no.says)
        except Refused as no:
            form = form.with_error("", f"{no.says} {no.do}")
    return render(request, _load(shop, profile, seen, form), 422)


@desk.get("/tickets/{number:int}/sheet.json")
def sheet_file(request: Request, number: int, shop: ShopDep, by: By) -> Response:
    """The sheet as a file: what is drawn up, else the map in force."""
    seen = look(shop, number)
    if not seen.text:
        raise Missing("This ticket has no map yet.", "Start one first.")
    name = quote(f"{number:04d}-{seen.head.craft}.json")
    return Response(
        seen.text,
        media_type="application/json",
        headers={
            "Content-Disposition": f"attachment; filename*=UTF-8''{name}",
            "Cache-Control": "no-store",
        },
    )


def _read(file: Any) -> Sheet:
    """The sheet in an uploaded file. A file that starts as JSON does is JSON, any other TOML."""
    if not isinstance(file, UploadFile):
        raise Unfit("sheet", "Choose a file.")
    data = file.file.read(MOST_BYTES + 1)
    plain = data.removeprefix(b"\xef\xbb\xbf").lstrip()
    json = (file.filename or "").lower().endswith(".json") or plain.startswith(b"{")
    return sheets.read_json(data) if json else sheets.read_toml(data)


def _past(shop: Shop, build: int) -> Sheet:
    with reading(shop.engine) as connection:
        text = builds.sheet_of(connection, build)
    if text is None:
        raise Missing("There is no such build.", "Look in the archive.")
    return sheets.read_json(text.encode())


def _load(shop: Shop, profile: ShopRow, seen: MapState, form: Form[SheetForm]) -> LoadPage:
    return LoadPage(
        seen.head,
        title_block(seen.head, profile),
        form,
        strip=strip_of(seen.head, profile, shop.now()),
    )


def _start(
    shop: Shop, by: Person, profile: ShopRow, number: int, *, start: Form[StartForm] | None = None
) -> MapStartPage:
    with reading(shop.engine) as connection:
        head = look_in(connection, number).head
        last = builds.last_signed(connection, head.craft_id)
        known = boards.boards(connection)
    return MapStartPage(
        head,
        title_block(head, profile),
        why_not(head, by),
        last[0] if last else None,
        tuple((str(row.id), board_says(row)) for row in known),
        start or Form.blank(StartForm),
        Form.blank(SheetForm),
        strip=strip_of(head, profile, shop.now()),
    )


def board_says(row: BoardRow) -> str:
    """A board as a list names it."""
    about = ", ".join(word for word in (row.maker, row.mcu) if word)
    return f"{row.model} ({about})" + ("" if row.listed else ", met on a sheet, not looked over")
