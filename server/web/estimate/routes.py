"""A ticket's estimate: its lines, and the customer's yes to them."""

from dataclasses import dataclass
from typing import Annotated, Any, ClassVar, Literal

from fastapi import Request, Response
from pydantic import BaseModel, Field
from starlette.datastructures import FormData

from server.records.engine import reading
from server.records.people import ShopRow
from server.trade.choices import HowAgreed
from server.trade.ticket import CLOSED
from server.web.estimate.forms import LinesForm, Price, typed_lines, with_more_rows
from server.web.site import forms
from server.web.site.forms import Form, new_key
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.frame import title_block
from server.work.errors import Refused, Unfit
from server.work.estimate import estimates
from server.work.estimate.estimates import EstimateItem
from server.work.money import from_minor, places, to_minor
from server.work.permissions import require
from server.work.shop import Shop
from server.work.ticket.account import Account, account_of

desk = Desk()


class EstimateForm(LinesForm):
    """The lines, and the digest of those that were on the page."""

    basis: str = ""


class ApprovalForm(BaseModel):
    """Who said yes, how, and up to what."""

    basis: str = ""
    how: Annotated[
        Literal[HowAgreed.COUNTER, HowAgreed.TELEPHONE, HowAgreed.MESSAGE],
        Field(description="how they agreed"),
    ]
    who: Annotated[str, Field(max_length=120, description="who agreed")]
    up_to: Annotated[Price, Field(description="up to how much")]


@dataclass(frozen=True)
class EstimatePage(View):
    """The lines to change, the sum, and whether it is agreed to."""

    template: ClassVar[str] = "estimate/estimate.html"
    desk: ClassVar[str] = "queue"

    account: Account
    block: TitleBlock
    open: bool
    lines: Form[EstimateForm]
    agree: Form[ApprovalForm]
    act_key: str

    def titled(self) -> str:
        """The ticket."""
        return f"Estimate for {self.account.head.number:04d}"


@desk.get("/tickets/{number:int}/estimate")
def estimate_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """The estimate."""
    require(by, "write an estimate")
    return render(request, _page(shop, profile, number))


@desk.post("/tickets/{number:int}/estimate")
def write_lines(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Other lines; what was agreed to before lapses with them."""
    form = forms.read(EstimateForm, sent)
    if sent.get("more"):
        return render(request, _page(shop, profile, number, lines=with_more_rows(form)))
    currency = _account(shop, profile, number).bill.currency
    for name, says in (form.filled.wrong_lines(currency) if form.filled else {}).items():
        form = form.with_error(name, says)
    if form.filled is None:
        return render(request, _page(shop, profile, number, lines=form), 422)
    try:
        told = [EstimateItem.model_validate(line) for line in form.filled.lines(currency)]
        estimates.write_lines(shop, by, number, lines=told, basis=form.filled.basis)
    except Refused as no:
        form = form.with_error("", f"{no.says} {no.do}".strip())
        return render(request, _page(shop, profile, number, lines=form), no.status)
    return go(request, f"/tickets/{number}/estimate", "The estimate is saved.")


@desk.post("/tickets/{number:int}/agreements")
def agree(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Write the customer's yes down."""
    form, status = forms.read(ApprovalForm, sent), 422
    if form.filled is not None:
        try:
            _agreed(shop, by, profile, number, form.filled, _key(sent))
            return go(request, f"/tickets/{number}/estimate", "The agreement is written down.")
        except Refused as no:
            field = no.field if isinstance(no, Unfit) else ""
            form, status = form.with_error(field, f"{no.says} {no.do}".strip()), no.status
    return render(request, _page(shop, profile, number, agree=form, act_key=_key(sent)), status)


def _agreed(
    shop: Shop, by: By, profile: ShopRow, number: int, told: ApprovalForm, act_key: str
) -> None:
    currency = _account(shop, profile, number).bill.currency
    try:
        up_to = to_minor(told.up_to, currency)
    except ValueError as wrong:
        many = f"at most {places(currency)} places after the point"
        raise Unfit("up_to", f"Write {many} in {currency}.") from wrong
    estimates.agree(
        shop,
        by,
        number,
        basis=told.basis,
        how=told.how,
        who=told.who,
        up_to_minor=up_to,
        act_key=act_key,
    )


def _page(
    shop: Shop,
    profile: ShopRow,
    number: int,
    *,
    lines: Form[EstimateForm] | None = None,
    agree: Form[ApprovalForm] | None = None,
    act_key: str = "",
) -> EstimatePage:
    account = _account(shop, profile, number)
    bill, basis = account.bill, account.standing.basis
    rows: dict[str, Any] = typed_lines((_told_of(line) for line in bill.lines), bill.currency)
    as_it_is = Form.blank(EstimateForm, basis=basis, **rows)
    up_to = from_minor(bill.total_minor, bill.currency)
    said = Form.blank(ApprovalForm, basis=basis, who=account.head.customer, up_to=up_to)
    return EstimatePage(
        account,
        title_block(account.head, profile),
        account.head.state not in CLOSED,
        lines or as_it_is,
        agree or said,
        act_key or new_key(),
    )


def _told_of(line: Any) -> dict[str, Any]:
    """A priced line as the form's rows take it."""
    return {name: getattr(line, name) for name in ("says", "quantity", "unit_minor", "kind")}


def _account(shop: Shop, profile: ShopRow, number: int) -> Account:
    with reading(shop.engine) as connection:
        return account_of(connection, number, profile)


def _key(sent: FormData) -> str:
    return str(sent.get("act_key") or new_key())
