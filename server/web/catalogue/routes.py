"""The catalogue desk: boards with their ports and pads, and parts that the shop meets again."""

from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

from fastapi import Request, Response
from pydantic import BaseModel, Field

from server.drawing.port_diagram.diagram import port_diagram
from server.records import boards
from server.records.boards import BoardPortRow, BoardRow, ModelRow, PadRow, RailRow, WholeBoard
from server.records.engine import reading
from server.trade import sheet as sheets
from server.trade.sheet import SheetError
from server.trade.tables.motor_links import MOTOR_LINKS
from server.web.catalogue import board_lines
from server.web.catalogue.board_lines import BadLine
from server.web.port_map.device_options import PROTOCOLS, ROLE_NAMES, Option
from server.web.port_map.forms import DeviceForm, device_field, given, plainly
from server.web.site import forms
from server.web.site.forms import Form, Number
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import By, Sent, ShopDep
from server.work.catalogue import catalogue
from server.work.errors import Missing, Refused, Unfit
from server.work.permissions import may
from server.work.shop import Shop

desk = Desk()


class BoardForm(BaseModel):
    """A board, its parts one a line. `ticket` is the ticket whose map waits for it."""

    ticket: int | None = None
    maker: str | None = None
    model: Annotated[str, Field(description="the board’s model")]
    mcu: Annotated[str, Field(description="which chip is on it")]
    supply_low: Annotated[Number, Field(description="the lowest supply voltage")]
    supply_high: Annotated[Number, Field(description="the highest supply voltage")]
    rails: str = ""
    ports: str = ""
    pads: Annotated[str, Field(description="the pads, one a line")]

    def document(self) -> dict[str, Any]:
        """The sheet's entry, but for the three lists."""
        return given(
            maker=self.maker,
            model=self.model,
            mcu=self.mcu,
            supply_v=[self.supply_low, self.supply_high],
        )


@dataclass(frozen=True)
class CataloguePage(View):
    """Every board and every part."""

    template: ClassVar[str] = "catalogue/catalogue.html"
    title: ClassVar[str] = "Catalogue"
    desk: ClassVar[str] = "catalogue"

    boards: tuple[BoardRow, ...]
    models: tuple[ModelRow, ...]
    may_add: bool


@dataclass(frozen=True)
class BoardPage(View):
    """One board, drawn alone."""

    template: ClassVar[str] = "catalogue/board.html"
    desk: ClassVar[str] = "catalogue"

    row: BoardRow
    rails: tuple[RailRow, ...]
    ports: tuple[BoardPortRow, ...]
    pads: tuple[PadRow, ...]
    wide: str
    narrow: str
    may_list: bool

    def titled(self) -> str:
        """The board."""
        return self.row.model


@dataclass(frozen=True)
class NewBoardPage(View):
    """Enter a board."""

    template: ClassVar[str] = "catalogue/new_board.html"
    title: ClassVar[str] = "Enter a board"
    desk: ClassVar[str] = "catalogue"

    form: Form[BoardForm]
    examples: tuple[str, str, str]


@dataclass(frozen=True)
class NewPartPage(View):
    """Enter a part."""

    template: ClassVar[str] = "catalogue/new_part.html"
    title: ClassVar[str] = "Enter a part"
    desk: ClassVar[str] = "catalogue"

    form: Form[DeviceForm]
    roles: tuple[Option, ...]
    protocols: tuple[Option, ...]


EXAMPLES = (board_lines.RAIL, board_lines.PORT, board_lines.PAD)


@desk.get("/catalogue")
def catalogue_page(request: Request, shop: ShopDep, by: By) -> Response:
    """What the shop knows."""
    with reading(shop.engine) as connection:
        found, models = boards.boards(connection), boards.models(connection)
    mine = may(by, "change the catalogue")
    return render(request, CataloguePage(tuple(found), tuple(models), mine))


@desk.get("/catalogue/boards/new")
def new_board_page(request: Request, by: By) -> Response:
    """An empty form; `for` in the address is the ticket that waits for the board."""
    told = request.query_params.get("for", "")
    waits = int(told) if told.isdecimal() else None
    return render(request, NewBoardPage(Form.blank(BoardForm, ticket=waits), EXAMPLES))


@desk.post("/catalogue/boards")
def add_board(request: Request, sent: Sent, shop: ShopDep, by: By) -> Response:
    """Enter it, and go on to the map that waits for it."""
    form = forms.read(BoardForm, sent)
    if form.filled is None:
        return render(request, NewBoardPage(form, EXAMPLES), 422)
    board, form = _board(form, form.filled)
    if board is None:
        return render(request, NewBoardPage(form, EXAMPLES), 422)
    try:
        made = catalogue.add_board(shop, by, board=board)
    except Refused as no:
        where = no.field if isinstance(no, Unfit) else ""
        form = form.with_error(where, f"{no.says} {no.do}".strip())
        return render(request, NewBoardPage(form, EXAMPLES), no.status)
    ticket = form.text("ticket")
    to = f"/tickets/{ticket}/map/values?board={made}" if ticket else f"/catalogue/boards/{made}"
    return go(request, to, f"{board.model} is in the catalogue.")


@desk.get("/catalogue/boards/{board:int}")
def board_page(request: Request, board: int, shop: ShopDep, by: By) -> Response:
    """One board."""
    whole = _whole(shop, board)
    sheet = _alone(whole)
    wide, narrow = (port_diagram(sheet, (), kind, kind[0]) for kind in ("wide", "narrow"))
    return render(
        request,
        BoardPage(
            whole.row,
            whole.rails,
            whole.ports,
            whole.pads,
            wide,
            narrow,
            not whole.row.listed and may(by, "list a board"),
        ),
    )


@desk.post("/catalogue/boards/{board:int}/listing")
def list_board(request: Request, board: int, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """The supervisor has looked it over."""
    row = catalogue.list_board(shop, by, board)
    return go(request, f"/catalogue/boards/{board}", f"{row.model} is listed.")


@desk.get("/catalogue/parts/new")
def new_part_page(request: Request, by: By) -> Response:
    """An empty form."""
    return render(request, NewPartPage(Form.blank(DeviceForm), ROLE_NAMES, PROTOCOLS))


@desk.post("/catalogue/parts")
def add_part(request: Request, sent: Sent, shop: ShopDep, by: By) -> Response:
    """Enter it."""
    form = forms.read(DeviceForm, sent)
    try:
        if form.filled is not None:
            row = catalogue.add_device_model(shop, by, document=form.filled.document())
            return go(request, "/catalogue", f"{row.model} is in the catalogue.")
    except SheetError as wrong:
        form = form.with_error(device_field(wrong.at, form), plainly(wrong))
    except Refused as no:
        where = no.field if isinstance(no, Unfit) else ""
        form = form.with_error(where, f"{no.says} {no.do}".strip())
    return render(request, NewPartPage(form, ROLE_NAMES, PROTOCOLS), 422)


def _board(form: Form[BoardForm], filled: BoardForm) -> tuple[sheets.Board | None, Form[BoardForm]]:
    """The board that was typed, or the form with what is wrong beside its field."""
    lists: dict[str, Any] = {}
    for name, read in (
        ("rails", board_lines.rails),
        ("ports", board_lines.ports),
        ("pads", board_lines.pads),
    ):
        try:
            lists[name] = read(form.text(name))
        except BadLine as wrong:
            form = form.with_error(name, str(wrong))
    if form.errors:
        return None, form
    try:
        return sheets.part_from_document(sheets.Board, filled.document() | lists), form
    except SheetError as wrong:
        return None, _placed(form, wrong)


def _placed(form: Form[BoardForm], wrong: SheetError) -> Form[BoardForm]:
    name, _, rest = wrong.at.partition("[")
    if name in ("rails", "ports", "pads"):
        line = board_lines.line_of(form.text(name), int(rest.partition("]")[0]))
        return form.with_error(name, f"Line {line}: {wrong.says}.")
    known = name if name in BoardForm.model_fields else ""
    return form.with_error("supply_low" if name == "supply_v" else known, plainly(wrong))


def _whole(shop: Shop, board: int) -> WholeBoard:
    with reading(shop.engine) as connection:
        whole = boards.board(connection, board)
    if whole is None:
        raise Missing("There is no such board.", "Look in the catalogue.")
    return whole


def _alone(whole: WholeBoard) -> sheets.Sheet:
    """The board on a sheet with nothing wired, for its drawing. Its other figures are not shown."""
    board = catalogue.board_of(whole)
    low, high = board.supply_v
    return sheets.from_document(
        {
            "sheet": 1,
            "craft": {"name": board.model, "props": "props-in"},
            "board": board,
            "devices": [],
            "wires": [],
            "esc": {"speaks": list(MOTOR_LINKS), "supply_v": [low, high], "amps": 0, "outputs": {}},
            "motors": {},
            "battery": {"chemistry": "LiPo", "cells": 1},
            "control": {},
        }
    )
