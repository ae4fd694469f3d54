"""Parts of a map: add one of the catalogue or one on the spot, take one off."""

from dataclasses import dataclass
from typing import Any, ClassVar

from fastapi import Request, Response

from server.records import boards
from server.records.engine import reading
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade import sheet as sheets
from server.trade.sheet import Device, SheetError
from server.web.port_map.device_options import PROTOCOLS, ROLE_NAMES, Option
from server.web.port_map.forms import (
    FromModelForm,
    PartForm,
    RemoveForm,
    SeenMap,
    device_field,
    plainly,
)
from server.web.port_map.state import MapState, look
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.frame import strip_of, title_block
from server.work.catalogue import catalogue
from server.work.errors import Missing, Refused
from server.work.port_map import edit, revisions
from server.work.shop import Shop

desk = Desk()


@dataclass(frozen=True)
class PartsPage(View):
    """The parts there are, and the two ways to add one."""

    template: ClassVar[str] = "port_map/parts.html"

    head: TicketHead
    block: TitleBlock
    devices: tuple[Device, ...]
    version: int
    base: str
    from_model: Form[FromModelForm]
    spot: Form[PartForm]
    models: tuple[Option, ...]
    roles: tuple[Option, ...]
    protocols: tuple[Option, ...]

    def titled(self) -> str:
        """The ticket."""
        return f"Parts of {self.head.number:04d}"


@desk.get("/tickets/{number:int}/map/parts")
def parts_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """What is on the map."""
    return render(request, _page(shop, profile, look(shop, number)))


@desk.post("/tickets/{number:int}/map/parts")
def add(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Add a part that is entered here."""
    form, seen = forms.read(PartForm, sent), look(shop, number)
    if form.filled is None:
        return render(request, _page(shop, profile, seen, spot=form), 422)
    try:
        told = form.filled.document() | {"device": form.filled.device}
        part = sheets.part_from_document(Device, told)
        return _added(request, shop, by, seen, part, form.filled)
    except SheetError as wrong:
        form = form.with_error(device_field(wrong.at, form), plainly(wrong))
    except Refused as no:
        form = form.with_error("", f"{no.says} {no.do}".strip())
    return render(request, _page(shop, profile, seen, spot=form), 422)


@desk.post("/tickets/{number:int}/map/parts/listed")
def add_listed(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Add a part of the catalogue."""
    form, seen = forms.read(FromModelForm, sent), look(shop, number)
    if form.filled is None:
        return render(request, _page(shop, profile, seen, from_model=form), 422)
    try:
        part = _listed(shop, form.filled)
        return _added(request, shop, by, seen, part, form.filled)
    except SheetError as wrong:
        form = form.with_error("device", plainly(wrong))
    except Refused as no:
        form = form.with_error("", f"{no.says} {no.do}".strip())
    return render(request, _page(shop, profile, seen, from_model=form), 422)


@desk.post("/tickets/{number:int}/map/parts/end")
def remove(request: Request, number: int, sent: Sent, shop: ShopDep, by: By) -> Response:
    """Take a part and its wires off the map."""
    form, seen = forms.read(RemoveForm, sent), look(shop, number)
    if form.filled is None:
        return go(request, f"/tickets/{number}/map/parts")
    seen.require_seen(form.filled.base)
    sheet = edit.without_part(seen.facts.sheet, form.filled.device)
    revisions.draw_up(shop, by, number, sheet=sheet, version=form.filled.version)
    return go(request, f"/tickets/{number}/map", f"{form.filled.device} is off the map.")


def _added(
    request: Request, shop: Shop, by: Any, seen: MapState, part: Device, given: SeenMap
) -> Response:
    seen.require_seen(given.base)
    sheet = edit.with_part(seen.facts.sheet, part)
    number = seen.head.number
    revisions.draw_up(shop, by, number, sheet=sheet, version=given.version)
    return go(request, f"/tickets/{number}/map", f"{part.device} is on the map. Wire its leads.")


def _listed(shop: Shop, given: FromModelForm) -> Device:
    with reading(shop.engine) as connection:
        row = boards.model(connection, given.model_id)
    if row is None:
        raise Missing("There is no such part.", "Look in the catalogue.")
    return catalogue.device_of(row, given.device)


def _page(
    shop: Shop,
    profile: ShopRow,
    seen: MapState,
    *,
    from_model: Form[FromModelForm] | None = None,
    spot: Form[PartForm] | None = None,
) -> PartsPage:
    with reading(shop.engine) as connection:
        known = boards.models(connection)
    models = tuple(
        (str(row.id), f"{row.model}, {row.maker or 'no maker'} ({row.kind})") for row in known
    )
    return PartsPage(
        seen.head,
        title_block(seen.head, profile),
        seen.facts.sheet.devices,
        seen.version,
        seen.base,
        from_model or Form.blank(FromModelForm),
        spot or Form.blank(PartForm),
        models,
        ROLE_NAMES,
        PROTOCOLS,
        strip=strip_of(seen.head, profile, shop.now()),
    )
