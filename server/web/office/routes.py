"""The supervisor's desk: staff, the shop's settings, keys."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from decimal import Decimal
from typing import ClassVar
from zoneinfo import available_timezones

from fastapi import Request, Response

from server.records import people
from server.records.engine import reading
from server.records.people import ShopRow, StaffRow
from server.trade.roles import Role
from server.web.office.forms import (
    DAY_NAMES,
    EYES_NAMES,
    LABEL_NAMES,
    PAPER_NAMES,
    ROUNDING_NAMES,
    ShopForm,
    StaffForm,
)
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.work.errors import Missing, Refused, Unfit
from server.work.office import settings as office
from server.work.people import staff as staff_acts
from server.work.permissions import may, require
from server.work.shop import Shop

desk = Desk()


@dataclass(frozen=True)
class OfficePage(View):
    """Staff, settings, keys."""

    template: ClassVar[str] = "office/office.html"
    title: ClassVar[str] = "Office"
    desk: ClassVar[str] = "office"

    staff: tuple[StaffRow, ...]
    add: Form[StaffForm]
    shop: Form[ShopForm]
    zones: tuple[tuple[str, str], ...]
    papers: tuple[tuple[str, str], ...]
    labels: tuple[tuple[str, str], ...]
    days: tuple[tuple[str, str], ...]
    eyes: tuple[tuple[str, str], ...]
    roundings: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class StaffPage(View):
    """One of the staff: a new one-time code, leaving, coming back."""

    template: ClassVar[str] = "office/staff.html"
    desk: ClassVar[str] = "office"

    row: StaffRow
    refusal: str

    def titled(self) -> str:
        """Their name."""
        return self.row.name


@dataclass(frozen=True)
class CodePage(View):
    """A one-time code. It is shown here and nowhere else."""

    template: ClassVar[str] = "office/code.html"
    desk: ClassVar[str] = "office"

    name: str
    sign_in: str
    code: str
    ends_at: datetime

    def titled(self) -> str:
        """Whose it is."""
        return self.name


@desk.get("/office")
def office_page(request: Request, shop: ShopDep, by: By, profile: ProfileDep) -> Response:
    """The supervisor's desk; others are led to their own key."""
    if not may(by, "run the office"):
        return go(request, "/office/key")
    return render(request, _office(shop, profile))


@desk.post("/office/staff")
def add_staff(request: Request, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep) -> Response:
    """Somebody new."""
    require(by, "run the office")
    form = forms.read(StaffForm, sent)
    if form.filled is None:
        return render(request, _office(shop, profile, add=form), 422)
    try:
        added, code = staff_acts.add_staff(shop, by, **form.filled.model_dump())
    except Unfit as no:
        wrong = form.with_error(no.field, f"{no.says} {no.do}")
        return render(request, _office(shop, profile, add=wrong), no.status)
    return render(request, _code(shop, added.id, code))


@desk.post("/office/shop")
def change_shop(
    request: Request, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """The shop's own settings."""
    require(by, "run the office")
    form = forms.read(ShopForm, sent)
    if form.filled is None:
        return render(request, _office(shop, profile, settings=form), 422)
    try:
        office.change_shop(shop, by, form.filled.changes())
    except Unfit as no:
        wrong = form.with_error(no.field, f"{no.says} {no.do}")
        return render(request, _office(shop, profile, settings=wrong), no.status)
    return go(request, "/office", "The shop’s settings are saved.")


@desk.get("/office/staff/{staff:int}")
def staff_page(request: Request, staff: int, shop: ShopDep, by: By) -> Response:
    """One of the staff."""
    require(by, "run the office")
    return render(request, _one(shop, staff))


@desk.post("/office/staff/{staff:int}/end")
def leave(request: Request, staff: int, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """Let them go."""
    require(by, "run the office")
    try:
        gone = office.leave(shop, by, staff)
    except Refused as no:
        return render(request, _one(shop, staff, refusal=f"{no.says} {no.do}"), no.status)
    return go(request, "/office", f"{gone.name} cannot sign in any more.")


@desk.post("/office/staff/{staff:int}/return")
def come_back(request: Request, staff: int, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """Let them in again."""
    back = office.come_back(shop, by, staff)
    return go(request, "/office", f"{back.name} can sign in again.")


@desk.post("/office/staff/{staff:int}/code")
def reset_password(request: Request, staff: int, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """End their password; the answer shows the code by which they set another."""
    _, code = office.reset_password(shop, by, staff)
    return render(request, _code(shop, staff, code))


def _office(
    shop: Shop,
    profile: ShopRow,
    *,
    add: Form[StaffForm] | None = None,
    settings: Form[ShopForm] | None = None,
) -> OfficePage:
    with reading(shop.engine) as connection:
        staff = people.staff(connection)
    return OfficePage(
        tuple(staff),
        add or Form.blank(StaffForm, role=Role.TECHNICIAN),
        settings or _as_it_is(profile),
        _zones(),
        PAPER_NAMES,
        LABEL_NAMES,
        DAY_NAMES,
        EYES_NAMES,
        ROUNDING_NAMES,
    )


def _as_it_is(profile: ShopRow) -> Form[ShopForm]:
    told = profile._asdict()
    told |= {"tax": Decimal(told.pop("tax_bp")) / 100, "open_days": list(told["open_days"])}
    return Form.blank(ShopForm, **told)


def _zones() -> tuple[tuple[str, str], ...]:
    known = sorted(z for z in available_timezones() if "/" in z and not z.startswith("Etc/"))
    return tuple((zone, zone) for zone in ("UTC", *known))


def _one(shop: Shop, staff: int, *, refusal: str = "") -> StaffPage:
    return StaffPage(_row(shop, staff), refusal)


def _code(shop: Shop, staff: int, code: str) -> CodePage:
    row = _row(shop, staff)
    ends_at = shop.now() + timedelta(days=staff_acts.CODE_DAYS)
    return CodePage(row.name, row.sign_in, code, ends_at)


def _row(shop: Shop, staff: int) -> StaffRow:
    with reading(shop.engine) as connection:
        rows = people.staff(connection)
    row = next((row for row in rows if row.id == staff), None)
    if row is None:
        raise Missing("Nobody here has that number.", "Look at the staff list.")
    return row
