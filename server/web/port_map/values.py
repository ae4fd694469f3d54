"""Craft, ESC, motors and battery: what a sheet needs beside board, parts and wires."""

from dataclasses import dataclass
from typing import Any, ClassVar

from fastapi import Request, Response

from server.records import boards
from server.records.engine import reading
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade import sheet as sheets
from server.trade.sheet import Board, Sheet, SheetError
from server.trade.sheet.parts import PROPS
from server.trade.tables.cells import CELLS
from server.trade.tables.motor_links import MOTOR_LINKS
from server.web.port_map.forms import ValuesForm, number_text, plainly, value_field
from server.web.port_map.leads import pad_says
from server.web.port_map.state import MapState, look
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.frame import strip_of, title_block
from server.work.catalogue import catalogue
from server.work.errors import Missing, Refused, Stale
from server.work.port_map import revisions
from server.work.shop import Shop

desk = Desk()
Option = tuple[str, str]


@dataclass(frozen=True)
class ValuesPage(View):
    """One page of fields in groups; with a board it starts a map, without it changes one."""

    template: ClassVar[str] = "port_map/values.html"

    head: TicketHead
    block: TitleBlock
    form: Form[ValuesForm]
    board: Board
    starts: bool
    motor_pads: tuple[Option, ...]
    props: tuple[Option, ...]
    motor_links: tuple[Option, ...]
    chemistries: tuple[Option, ...]

    def titled(self) -> str:
        """The ticket."""
        return f"Craft, ESC and battery of {self.head.number:04d}"


@desk.get("/tickets/{number:int}/map/values")
def values_page(
    request: Request,
    number: int,
    shop: ShopDep,
    by: By,
    profile: ProfileDep,
    board: int | None = None,
) -> Response:
    """What stands there, or for a new map what is known of the craft."""
    seen = look(shop, number)
    form = _blank(seen, board) if board is not None else _as_it_is(seen)
    return render(request, _page(shop, profile, seen, form))


@desk.post("/tickets/{number:int}/map/values")
def values(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Keep them in the draft."""
    form, seen = forms.read(ValuesForm, sent), look(shop, number)
    if form.filled is None:
        return render(request, _page(shop, profile, seen, form), 422)
    try:
        sheet = _sheet(shop, seen, form.filled)
        revisions.draw_up(shop, by, number, sheet=sheet, version=form.filled.version)
    except SheetError as wrong:
        form = form.with_error(value_field(wrong.at), plainly(wrong))
        return render(request, _page(shop, profile, seen, form), 422)
    except Refused as no:
        form = form.with_error("", f"{no.says} {no.do}".strip())
        return render(request, _page(shop, profile, seen, form), no.status)
    return go(request, f"/tickets/{number}/map", "The values are in the map.")


def _sheet(shop: Shop, seen: MapState, given: ValuesForm) -> Sheet:
    told: dict[str, Any] = {"sheet": 1, "devices": [], "wires": []} | given.document()
    if given.board is not None:
        return sheets.from_document(told | {"board": _board(shop, given.board)})
    seen.require_seen(given.base)
    old = seen.facts.sheet
    kept = {"board": old.board, "devices": old.devices, "wires": old.wires}
    return sheets.from_document(told | kept)


def _board(shop: Shop, board_id: int) -> Board:
    with reading(shop.engine) as connection:
        whole = boards.board(connection, board_id)
    if whole is None:
        raise Missing("There is no such board.", "Look in the catalogue.")
    return catalogue.board_of(whole)


def _blank(seen: MapState, board: int) -> Form[ValuesForm]:
    return Form.blank(
        ValuesForm, version=seen.version, base=seen.base, board=board, craft_name=seen.head.craft
    )


def _as_it_is(seen: MapState) -> Form[ValuesForm]:
    sheet = seen.facts.sheet
    craft, esc, motors, pack = sheet.craft, sheet.esc, sheet.motors, sheet.battery
    return Form.blank(
        ValuesForm,
        version=seen.version,
        base=seen.base,
        craft_name=craft.name,
        size_in=number_text(craft.size_in),
        props=craft.props,
        speaks=list(esc.speaks),
        esc_set_to=esc.set_to,
        feedback=esc.feedback,
        use_feedback=esc.use_feedback,
        esc_low=number_text(esc.supply_v[0]),
        esc_high=number_text(esc.supply_v[1]),
        esc_amps=number_text(esc.amps),
        outputs=esc.outputs,
        kv=number_text(motors.kv),
        poles=number_text(motors.poles),
        peak_amps=number_text(motors.peak_amps),
        chemistry=pack.chemistry,
        cells=number_text(pack.cells),
        capacity_mah=number_text(pack.capacity_mah),
        loop_hz=number_text(sheet.control.loop_hz),
    )


def _page(shop: Shop, profile: ShopRow, seen: MapState, form: Form[ValuesForm]) -> ValuesPage:
    told = form.text("board")
    # A board's number that is no number came from no page of ours.
    starts = told.isdigit()
    board = _board(shop, int(told)) if starts else seen.facts.sheet.board
    pads = tuple((p.pad, pad_says(p, board)) for p in board.pads if p.signal == "motor")
    if not seen.text and not starts:
        raise Stale("This map has no board yet.", "Start it first.")
    return ValuesPage(
        seen.head,
        title_block(seen.head, profile),
        form,
        board,
        starts,
        pads,
        _options(PROPS),
        _options(MOTOR_LINKS),
        _options(CELLS),
        strip=strip_of(seen.head, profile, shop.now()),
    )


def _options(words: Any) -> tuple[Option, ...]:
    return tuple((word, word) for word in words)
