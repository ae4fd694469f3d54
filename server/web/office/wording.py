"""The supervisor's page for house wording, and whose words a ticket's card speaks."""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import Request, Response
from pydantic import BaseModel, Field

from server.records import wording as rows
from server.records.engine import reading
from server.trade.card.wording import SETTINGS
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import By, Sent, ShopDep
from server.work.errors import Unfit
from server.work.office import wording
from server.work.permissions import require
from server.work.shop import Shop

desk = Desk()


class WordsForm(BaseModel):
    """One firmware family, and its words by setting."""

    family: Annotated[str, Field(max_length=60, description="whose words these are")]
    words: dict[str, str] = {}


class FamilyForm(BaseModel):
    """The family whose words a card adds."""

    family: Annotated[str, Field(max_length=60)] = ""


@dataclass(frozen=True)
class WordingPage(View):
    """The words of one family, beside what each setting is."""

    template: ClassVar[str] = "office/wording.html"
    title: ClassVar[str] = "House wording"
    desk: ClassVar[str] = "office"

    form: Form[WordsForm]
    families: tuple[str, ...]
    settings: tuple[tuple[str, str], ...]


@desk.get("/office/wording")
def wording_page(request: Request, shop: ShopDep, by: By, family: str = "") -> Response:
    """The fields, with what was entered before for this family."""
    require(by, "run the office")
    with reading(shop.engine) as connection:
        words = dict(rows.of(connection, family)) if family else {}
    return render(request, _page(shop, Form.blank(WordsForm, family=family, words=words)))


@desk.post("/office/wording")
def put_words(request: Request, sent: Sent, shop: ShopDep, by: By) -> Response:
    """Keep them."""
    form = forms.read(WordsForm, sent)
    if form.filled is None:
        return render(request, _page(shop, form), 422)
    given = {key: form.filled.words.get(key, "") for key, _ in _settings()}
    try:
        wording.put_words(shop, by, family=form.filled.family, words=given)
    except Unfit as no:
        wrong = form.with_error(no.field, f"{no.says} {no.do}".strip())
        return render(request, _page(shop, wrong), 422)
    return go(request, "/office/wording", f"The words of {form.filled.family} are kept.")


@desk.post("/tickets/{number:int}/family")
def choose_family(request: Request, number: int, sent: Sent, shop: ShopDep, by: By) -> Response:
    """Whose words this ticket's card adds."""
    form = forms.read(FamilyForm, sent)
    wording.choose_family(shop, by, number, family=form.filled.family if form.filled else "")
    return go(request, f"/tickets/{number}/card", "The card speaks so now.")


def _page(shop: Shop, form: Form[WordsForm]) -> WordingPage:
    with reading(shop.engine) as connection:
        return WordingPage(form, tuple(rows.families(connection)), _settings())


def _settings() -> tuple[tuple[str, str], ...]:
    return tuple((setting.key, setting.says) for setting in SETTINGS)
