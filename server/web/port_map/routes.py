"""The map desk: findings, drawing, least rework, and the leads at the side."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request, Response

from server.drawing.port_diagram.diagram import port_diagram
from server.drawing.port_diagram.table_text import PortTableRow, port_table
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade import sheet as sheets
from server.trade.finding import Finding
from server.trade.planner import Plan, apply, plan
from server.web.port_map import leads as map_leads
from server.web.port_map.forms import LeadsForm, SaveForm
from server.web.port_map.leads import LeadField, PartFields
from server.web.port_map.state import MapState, Reopening, look, reopening, why_not
from server.web.site import forms
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.frame import strip_of, title_block
from server.work.errors import Refused
from server.work.port_map import edit, revisions
from server.work.port_map.facts import facts_of
from server.work.shop import Person, Shop

desk = Desk()


@dataclass(frozen=True)
class Drawn:
    """The drawing in both layouts, and the same as a table."""

    wide: str
    narrow: str
    rows: tuple[PortTableRow, ...]


@dataclass(frozen=True)
class Rework:
    """The planner's moves, and what saving them does."""

    plan: Plan
    note: str
    reopens: Reopening | None
    shown: bool


@dataclass(frozen=True)
class MapPage(View):
    """A ticket's map; its fragment is all but the leads, which the hand is on."""

    template: ClassVar[str] = "port_map/map.html"
    scripts: ClassVar[tuple[str, ...]] = ("map",)
    fragment: ClassVar[str | None] = "port_map/_fresh.html"

    head: TicketHead
    block: TitleBlock
    why_not: str
    refused: str
    version: int
    base: str
    changed: bool
    drawn_by: str
    findings: tuple[Finding, ...]
    drawn: Drawn
    rework: Rework | None
    reopens: Reopening | None
    next_revision: int
    faults: tuple[str, ...]
    wired: str
    parts: tuple[PartFields, ...]
    outputs: tuple[LeadField, ...]
    strays: tuple[LeadField, ...]
    esc: sheets.Esc

    def titled(self) -> str:
        """The ticket."""
        return f"Port map of {self.head.number:04d}"


@desk.get("/tickets/{number:int}/map")
def map_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep, moves: str = ""
) -> Response:
    """The map as it is, or the page where one starts."""
    seen = look(shop, number)
    if not seen.text:
        return go(request, f"/tickets/{number}/map/start")
    return render(request, page_of(seen, shop, by, profile, moves=moves == "shown"))


@desk.post("/tickets/{number:int}/map/leads")
def leads(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Keep the leads as they are now; for htmx all but the leads comes back."""
    form, seen = forms.read(LeadsForm, sent), look(shop, number)
    if form.filled is None:
        said = " ".join(form.errors.values())
        return render(request, page_of(seen, shop, by, profile, refused=said), 422)
    try:
        seen.require_seen(form.filled.base)
        sheet = edit.edited(seen.facts.sheet, form.filled.answers())
        revisions.draw_up(shop, by, number, sheet=sheet, version=form.filled.version)
    except Refused as no:
        return _refused(request, shop, by, profile, number, no)
    if request.headers.get("HX-Request") != "true":
        return go(request, f"/tickets/{number}/map", "The map is checked.")
    view = page_of(look(shop, number), shop, by, profile)
    return render(request, view)


@desk.post("/tickets/{number:int}/map/revisions")
def save(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Make it the next revision, with the planner's moves or as drawn up."""
    form, seen = forms.read(SaveForm, sent), look(shop, number)
    given = form.filled or SaveForm()
    key = str(sent.get("act_key", ""))
    try:
        build = revisions.save(
            shop,
            by,
            number,
            version=given.version,
            act_key=key,
            sheet=_moved(seen, given.base) if given.moves else None,
            asked=tuple(given.asked),
        )
    except Refused as no:
        return _refused(request, shop, by, profile, number, no)
    return go(request, f"/tickets/{number}/map", f"Map revision {build.revision} is saved.")


@desk.post("/tickets/{number:int}/map/draft/end")
def give_up(request: Request, number: int, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """Drop what was drawn up."""
    revisions.give_up(shop, by, number)
    return go(request, f"/tickets/{number}/map", "The changes are dropped.")


def _moved(seen: MapState, base: str) -> sheets.Sheet | None:
    """The sheet after the moves; None where the page is old, which the act then finds out."""
    if base != seen.base:
        return None
    return apply(seen.facts.sheet, plan(seen.facts.sheet))


def _refused(
    request: Request, shop: Shop, by: Person, profile: ShopRow, number: int, no: Refused
) -> Response:
    seen = look(shop, number)
    if not seen.text:
        raise no
    says = f"{no.says} {no.do}".strip()
    return render(request, page_of(seen, shop, by, profile, refused=says), no.status)


def page_of(
    seen: MapState,
    shop: Shop,
    by: Person,
    profile: ShopRow,
    *,
    refused: str = "",
    moves: bool = False,
) -> MapPage:
    """Everything that the map's page shows."""
    sheet, findings = seen.facts.sheet, seen.facts.findings
    rework = _rework(seen, moves)
    rows = port_table(sheet, findings)
    wrong = map_leads.faults(sheet, rows)
    shown = rework.plan.moves if rework and rework.shown else None
    return MapPage(
        seen.head,
        title_block(seen.head, profile),
        why_not(seen.head, by),
        refused,
        seen.version,
        seen.base,
        seen.changed,
        seen.draft.by_name if seen.draft else "",
        findings,
        Drawn(
            port_diagram(sheet, findings, "wide", "w", changes=shown),
            port_diagram(sheet, findings, "narrow", "n", changes=shown),
            rows,
        ),
        rework,
        reopening(seen, seen.facts) if seen.changed else None,
        seen.head.revision + 1,
        wrong,
        map_leads.wired(sheet),
        map_leads.parts(sheet, rows),
        map_leads.outputs(sheet, wrong),
        map_leads.stray_fields(sheet),
        sheet.esc,
        strip=strip_of(seen.head, profile, shop.now()),
    )


def _rework(seen: MapState, shown: bool) -> Rework | None:
    sheet = seen.facts.sheet
    found = plan(sheet)
    if not (found.moves or found.changes or found.unsolved):
        return None
    after = facts_of(sheets.dump_json(apply(sheet, found)))
    moves, left = len(found.moves), len(after.stops)
    note = f"{moves} lead {'move' if moves == 1 else 'moves'}"
    if seen.facts.stops:
        note += ", clear every stop" if not left else f", {left} at stop stay"
    return Rework(found, note, reopening(seen, after), shown and bool(moves))
