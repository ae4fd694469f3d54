"""What is held on a customer: looked at, taken along, erased. The supervisor's alone."""

from dataclasses import dataclass
from typing import Annotated, Any, ClassVar

from fastapi import Request, Response
from pydantic import BaseModel, Field

from server.records.engine import reading
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import By, Sent, ShopDep
from server.work.customers import erasure, privacy
from server.work.customers.privacy import CustomerData
from server.work.errors import Refused, Unfit
from server.work.shop import Person, Shop

desk = Desk()


class ErasureForm(BaseModel):
    """The customer's name as it is written once more, and then the second yes."""

    named: Annotated[str, Field(description="the customer’s name", max_length=120)]
    sure: bool = False


@dataclass(frozen=True)
class CustomerPage(View):
    """What is held, and what can be done with it."""

    template: ClassVar[str] = "office/customer.html"

    held: CustomerData

    def titled(self) -> str:
        """Their name, or their number once they are erased."""
        return f"What is held on {self.held.name}"


@dataclass(frozen=True)
class ErasurePage(View):
    """What goes and what stays; the name; then the last question."""

    template: ClassVar[str] = "office/erasure.html"

    held: CustomerData
    form: Form[ErasureForm]
    last: bool

    def titled(self) -> str:
        """What is about to be done, to whom."""
        return f"Erase {self.held.name}"


@desk.get("/customers/{customer:int}")
def customer_page(request: Request, customer: int, shop: ShopDep, by: By) -> Response:
    """What is held on a customer."""
    return render(request, CustomerPage(_held(shop, by, customer)))


@desk.get("/customers/{customer:int}/held.zip", slow=True)
def export(customer: int, shop: ShopDep, by: By) -> Response:
    """All of it, to take along."""
    headers: dict[str, Any] = {
        "Content-Disposition": f'attachment; filename="customer-{customer}.zip"',
        "Cache-Control": "no-store",
    }
    whole = privacy.export(shop, by, customer)
    return Response(whole, media_type="application/zip", headers=headers)


@desk.get("/customers/{customer:int}/erasure")
def erasure_page(request: Request, customer: int, shop: ShopDep, by: By) -> Response:
    """The first question."""
    held = _held(shop, by, customer)
    if held.erased_at:
        return go(request, f"/customers/{customer}")
    return render(request, ErasurePage(held, Form.blank(ErasureForm), last=False))


@desk.post("/customers/{customer:int}/erasure", slow=True)
def erase(request: Request, customer: int, sent: Sent, shop: ShopDep, by: By) -> Response:
    """The name brings the last question; that one's answer ends what is personal."""
    form, held, status = forms.read(ErasureForm, sent), _held(shop, by, customer), 422
    if form.filled is not None:
        try:
            erasure.erase(shop, by, customer, named=form.filled.named, sure=form.filled.sure)
            return go(request, f"/customers/{customer}", f"Customer {customer} is erased.")
        except Unfit as no:
            if no.field == "sure":  # the name is right: ask for the second time
                return render(request, ErasurePage(held, form, last=True))
            form = form.with_error(no.field, f"{no.says} {no.do}".strip())
        except Refused as no:
            form, status = form.with_error("", f"{no.says} {no.do}".strip()), no.status
    return render(request, ErasurePage(held, form, last=False), status)


def _held(shop: Shop, by: Person, customer: int) -> CustomerData:
    with reading(shop.engine) as connection:
        return privacy.held_on(connection, by, customer)
