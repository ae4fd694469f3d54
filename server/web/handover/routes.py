"""Giving a craft back: collected with its log, returned unrepaired, and money taken."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Annotated, Any, ClassVar, Literal

from fastapi import Request, Response
from pydantic import BaseModel, Field
from starlette.datastructures import FormData

from server.drawing import hand
from server.printing.sheets.parts import Marked
from server.records.engine import reading
from server.records.people import ShopRow
from server.web.site import forms
from server.web.site.forms import Form, Number, new_key
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.frame import title_block
from server.work.errors import Refused, Unfit
from server.work.handover import handover
from server.work.handover.handover import HandedTo
from server.work.money import to_minor
from server.work.papers import pickup
from server.work.permissions import require
from server.work.shop import Shop
from server.work.ticket.account import Account, account_of

desk = Desk()
Money = Annotated[Number, Field(gt=0, le=1_000_000, decimal_places=3)]
NOT_SIGNED = "Let them sign here, or tick that they sign the printed sheet."


class LeavingForm(BaseModel):
    """Who takes it home, how it is known that they may, what they sign, and what was paid now."""

    collected_by: Annotated[str, Field(max_length=120, description="who collects it")]
    shown: Annotated[
        Literal["slip", "known", "word"], Field(description="how you know that they may")
    ]
    kept_back: Annotated[str, Field(max_length=400)] = ""
    paid: Money | None = None
    owed_note: Annotated[str, Field(max_length=120)] = ""
    signature: Annotated[str, Field(max_length=hand.LONGEST)] = ""
    on_paper: bool = False

    def handed_to(self, paid_minor: int) -> HandedTo:
        """The same, as the act is told it. Raises Unfit where nobody signs."""
        if not self.signature and not self.on_paper:
            raise Unfit("signature", NOT_SIGNED)
        return HandedTo(
            self.collected_by,
            self.shown,
            self.signature,
            self.kept_back,
            self.owed_note,
            paid_minor,
        )


class ReturnForm(LeavingForm):
    """And why it was not set up."""

    reason: Annotated[str, Field(max_length=400, description="why it is returned unrepaired")]


class PaymentForm(BaseModel):
    """Money that was taken."""

    kind: Annotated[
        Literal["deposit", "balance"], Field(description="whether it is a deposit or the balance")
    ]
    amount: Annotated[Money, Field(description="how much")]


@dataclass(frozen=True)
class GivingPage(View):
    """What the three pages share: the ticket's account, and one form."""

    desk: ClassVar[str] = "queue"
    names: ClassVar[str]

    account: Account
    block: TitleBlock
    currency: str
    form: Form[Any]
    act_key: str

    def titled(self) -> str:
        """The ticket."""
        return self.names.format(f"{self.account.head.number:04d}")


@dataclass(frozen=True)
class CollectionPage(GivingPage):
    """What is owed and given back; the button that closes the ticket."""

    template: ClassVar[str] = "handover/collection.html"
    names: ClassVar[str] = "Hand over {}"


@dataclass(frozen=True)
class ReturnPage(GivingPage):
    """What stays unsafe; the reason; the button that closes the ticket."""

    template: ClassVar[str] = "handover/return.html"
    names: ClassVar[str] = "Return {} unrepaired"

    unsafe: tuple[Marked, ...] = ()


@dataclass(frozen=True)
class PaymentPage(GivingPage):
    """What is owed, and a payment."""

    template: ClassVar[str] = "handover/payment.html"
    names: ClassVar[str] = "A payment for {}"


@desk.get("/tickets/{number:int}/collection")
def collection_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Before a craft is handed over."""
    require(by, "hand over")
    return render(request, _blank(CollectionPage, LeavingForm, shop, number, profile))


@desk.post("/tickets/{number:int}/collection")
def collect(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Close the ticket: the craft is gone."""

    def act(form: LeavingForm, key: str) -> str:
        paid = _minor(shop, number, profile, "paid", form.paid)
        handover.collect(shop, by, number, to=form.handed_to(paid), act_key=key)
        return f"Ticket {number:04d} is collected. Print its pickup sheet."

    return _act(request, CollectionPage, LeavingForm, sent, shop, number, profile, act)


@desk.get("/tickets/{number:int}/return")
def return_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Before a craft is returned unrepaired."""
    require(by, "hand over")
    return render(request, _blank(ReturnPage, ReturnForm, shop, number, profile))


@desk.post("/tickets/{number:int}/return")
def return_as_is(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Close the ticket without a log."""

    def act(form: ReturnForm, key: str) -> str:
        paid = _minor(shop, number, profile, "paid", form.paid)
        handover.return_as_is(
            shop, by, number, to=form.handed_to(paid), reason=form.reason, act_key=key
        )
        return f"Ticket {number:04d} is returned unrepaired. Print its sheet."

    return _act(request, ReturnPage, ReturnForm, sent, shop, number, profile, act)


@desk.get("/tickets/{number:int}/payments")
def payment_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Where money is written down."""
    require(by, "take money")
    return render(request, _page(PaymentPage, shop, number, profile, Form.blank(PaymentForm)))


@desk.post("/tickets/{number:int}/payments")
def take_money(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Write a payment down."""

    def act(form: PaymentForm, key: str) -> str:
        amount = _minor(shop, number, profile, "amount", form.amount)
        handover.take_money(shop, by, number, kind=form.kind, amount_minor=amount, act_key=key)
        return "The payment is written down."

    return _act(request, PaymentPage, PaymentForm, sent, shop, number, profile, act)


def _act(
    request: Request,
    page: type[GivingPage],
    model: type[Any],
    sent: FormData,
    shop: Shop,
    number: int,
    profile: ShopRow,
    act: Callable[[Any, str], str],
) -> Response:
    """Do `act` with the filled form and go to the ticket; else the page again, all kept."""
    form, status = forms.read(model, sent), 422
    key = str(sent.get("act_key") or new_key())  # a form without a key is an act of its own
    if form.filled is not None:
        try:
            return go(request, f"/tickets/{number}", act(form.filled, key))
        except Refused as no:
            field = no.field if isinstance(no, Unfit) else ""
            form, status = form.with_error(field, f"{no.says} {no.do}".strip()), no.status
    return render(request, _page(page, shop, number, profile, form, key), status)


def _blank(
    page: type[GivingPage], model: type[LeavingForm], shop: Shop, number: int, profile: ShopRow
) -> GivingPage:
    """The page with the customer's name in its form."""
    found = _page(page, shop, number, profile, Form.blank(model))
    return replace(found, form=Form.blank(model, collected_by=found.account.head.customer))


def _page(
    page: type[GivingPage],
    shop: Shop,
    number: int,
    profile: ShopRow,
    form: Form[Any],
    key: str = "",
) -> GivingPage:
    with reading(shop.engine) as connection:
        account = account_of(connection, number, profile)
        unsafe = pickup.unsafe(connection, account.head)
    block = title_block(account.head, profile)
    given = (account, block, account.bill.currency, form, key or new_key())
    return page(*given, unsafe) if issubclass(page, ReturnPage) else page(*given)


def _minor(shop: Shop, number: int, profile: ShopRow, field: str, amount: Decimal | None) -> int:
    """An amount in the ticket's currency. Raises Unfit for a part of its smallest coin."""
    with reading(shop.engine) as connection:
        currency = account_of(connection, number, profile).bill.currency
    try:
        return to_minor(amount or Decimal(0), currency)
    except ValueError as wrong:
        raise Unfit(field, f"{wrong}.", "Write no more than these.") from wrong
