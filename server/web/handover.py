"""Giving a craft back: collected with its log, returned as it is, and money taken."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, ClassVar, Literal

from fastapi import Request, Response
from pydantic import BaseModel, Field
from starlette.datastructures import FormData

from server.records.engine import reading
from server.records.people import ShopRow
from server.web import forms
from server.web.bench_frame import title_block
from server.web.desk import Desk
from server.web.forms import Form, Number, new_key
from server.web.page import View, go, render
from server.web.parts import TitleBlock
from server.web.session import By, ProfileDep, Sent, ShopDep
from server.work import handover
from server.work.account import Account, account_of
from server.work.errors import Refused, Unfit
from server.work.money import to_minor
from server.work.permissions import require
from server.work.shop import Shop

desk = Desk()
Money = Annotated[Number, Field(gt=0, le=1_000_000, decimal_places=3)]
Who = Annotated[str, Field(max_length=120, description="who collects it")]


class CollectForm(BaseModel):
    """Who takes it home, and what was paid now."""

    collected_by: Who
    paid: Money | None = None


class ReturnForm(BaseModel):
    """Who takes it home, and why it was not set up."""

    collected_by: Who
    reason: Annotated[str, Field(max_length=400, description="why it goes back as it is")]


class PaymentForm(BaseModel):
    """Money that was taken."""

    kind: Annotated[
        Literal["deposit", "balance"], Field(description="whether it is a deposit or the balance")
    ]
    amount: Annotated[Money, Field(description="how much")]


@dataclass(frozen=True)
class CollectionPage(View):
    """What is owed and given back; the button that closes the ticket."""

    template: ClassVar[str] = "counter/collection.html"
    desk: ClassVar[str] = "queue"

    account: Account
    block: TitleBlock
    currency: str
    form: Form[CollectForm]
    act_key: str

    def titled(self) -> str:
        """The ticket."""
        return f"Hand over {self.account.head.number:04d}"


@dataclass(frozen=True)
class ReturnPage(View):
    """What stays unsafe; the reason; the button that closes the ticket."""

    template: ClassVar[str] = "counter/return.html"
    desk: ClassVar[str] = "queue"

    account: Account
    block: TitleBlock
    form: Form[ReturnForm]
    act_key: str

    def titled(self) -> str:
        """The ticket."""
        return f"Return {self.account.head.number:04d} as it is"


@dataclass(frozen=True)
class PaymentPage(View):
    """What is owed, and a payment."""

    template: ClassVar[str] = "counter/payment.html"
    desk: ClassVar[str] = "queue"

    account: Account
    block: TitleBlock
    currency: str
    form: Form[PaymentForm]
    act_key: str

    def titled(self) -> str:
        """The ticket."""
        return f"A payment for {self.account.head.number:04d}"


@desk.get("/tickets/{number:int}/collection")
def collection_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Before a craft is handed over."""
    require(by, "hand over")
    account = _account(shop, number, profile)
    form = Form.blank(CollectForm, collected_by=account.head.customer)
    return render(request, CollectionPage(*_frame(account, profile), form, new_key()))


@desk.post("/tickets/{number:int}/collection")
def collect(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Close the ticket: the craft is gone."""
    form, key = forms.read(CollectForm, sent), _key(sent)
    status = 422
    if form.filled is not None:
        try:
            paid = _minor(shop, number, profile, form.filled.paid or Decimal(0))
            handover.collect(shop, by, number, collected_by=form.filled.collected_by,
                             act_key=key, paid_minor=paid)  # fmt: skip
            return go(request, f"/tickets/{number}", f"Ticket {number:04d} is collected.")
        except Refused as no:
            form, status = form.with_error("", f"{no.says} {no.do}".strip()), no.status
    page = CollectionPage(*_frame(_account(shop, number, profile), profile), form, key)
    return render(request, page, status)


@desk.get("/tickets/{number:int}/return")
def return_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Before a craft goes back as it is."""
    require(by, "hand over")
    account = _account(shop, number, profile)
    form = Form.blank(ReturnForm, collected_by=account.head.customer)
    return render(request, ReturnPage(*_frame(account, profile)[:2], form, new_key()))


@desk.post("/tickets/{number:int}/return")
def return_as_is(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Close the ticket without a log."""
    form, key = forms.read(ReturnForm, sent), _key(sent)
    status = 422
    if form.filled is not None:
        try:
            handover.return_as_is(shop, by, number, collected_by=form.filled.collected_by,
                                  reason=form.filled.reason, act_key=key)  # fmt: skip
            says = f"Ticket {number:04d} is returned as it is. Print its sheet."
            return go(request, f"/tickets/{number}", says)
        except Refused as no:
            form, status = form.with_error("", f"{no.says} {no.do}".strip()), no.status
    page = ReturnPage(*_frame(_account(shop, number, profile), profile)[:2], form, key)
    return render(request, page, status)


@desk.get("/tickets/{number:int}/payments")
def payment_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Where money is written down."""
    require(by, "take money")
    frame = _frame(_account(shop, number, profile), profile)
    return render(request, PaymentPage(*frame, Form.blank(PaymentForm), new_key()))


@desk.post("/tickets/{number:int}/payments")
def take_money(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Write a payment down."""
    form, key = forms.read(PaymentForm, sent), _key(sent)
    status = 422
    if form.filled is not None:
        try:
            amount = _minor(shop, number, profile, form.filled.amount)
            handover.take_money(shop, by, number, kind=form.filled.kind, amount_minor=amount,
                                act_key=key)  # fmt: skip
            return go(request, f"/tickets/{number}", "The payment is written down.")
        except Refused as no:
            form, status = form.with_error("", f"{no.says} {no.do}".strip()), no.status
    page = PaymentPage(*_frame(_account(shop, number, profile), profile), form, key)
    return render(request, page, status)


def _account(shop: Shop, number: int, profile: ShopRow) -> Account:
    with reading(shop.engine) as connection:
        return account_of(connection, number, profile)


def _minor(shop: Shop, number: int, profile: ShopRow, amount: Decimal) -> int:
    """An amount in the ticket's currency. Raises Unfit for a part of its smallest coin."""
    currency = _account(shop, number, profile).bill.currency
    try:
        return to_minor(amount, currency)
    except ValueError as wrong:
        raise Unfit("amount", f"{wrong}.", "Write no more than these.") from wrong


def _frame(account: Account, profile: ShopRow) -> tuple[Account, TitleBlock, str]:
    return account, title_block(account.head, profile), account.bill.currency


def _key(sent: FormData) -> str:
    """The form's own key; a form without one is an act of its own."""
    return str(sent.get("act_key") or new_key())
