"""A technician's own signing key: make one, change its phrase, make another when it is lost."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request, Response

from server.records import logs
from server.records.engine import reading
from server.records.logs import KeyRow
from server.web.office.forms import KeyForm, NewPhraseForm
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import By, Sent, ShopDep
from server.work.errors import NotAllowed, Refused, Unfit
from server.work.people import keys
from server.work.permissions import may
from server.work.shop import Person, Shop

desk = Desk()


@dataclass(frozen=True)
class KeyPage(View):
    """A technician's own keys, and the making of one."""

    template: ClassVar[str] = "office/key.html"
    title: ClassVar[str] = "Your signing key"
    desk: ClassVar[str] = "office"

    person: Person
    signs: bool
    current: KeyRow | None
    closed: tuple[KeyRow, ...]
    form: Form[KeyForm]
    change: Form[NewPhraseForm]


@desk.get("/office/key")
def key_page(request: Request, shop: ShopDep, by: By) -> Response:
    """Where a technician makes their own key."""
    return render(request, _key(shop, by))


@desk.post("/office/key", slow=True)
def make_key(request: Request, sent: Sent, shop: ShopDep, by: By) -> Response:
    """A new key under a phrase that was typed twice alike; the same form twice is one key."""
    form = forms.read(KeyForm, sent)
    if form.filled is None:
        return render(request, _key(shop, by, form), 422)
    if form.filled.phrase != form.filled.again:
        wrong = form.with_error("again", "The two passphrases differ. Type both again.")
        return render(request, _key(shop, by, wrong), 422)
    act_key = str(sent.get("act_key") or "") or None
    try:
        key = keys.make_key(shop, by, phrase=form.filled.phrase, act_key=act_key)
    except Unfit as no:
        return render(request, _key(shop, by, form.with_error(no.field, no.says)), no.status)
    return go(request, "/office/key", f"Your key {key.fingerprint} is made.")


@desk.post("/office/key/phrase", slow=True)
def change_phrase(request: Request, sent: Sent, shop: ShopDep, by: By) -> Response:
    """The same key under another phrase."""
    form = forms.read(NewPhraseForm, sent)
    if form.filled is not None and form.filled.new_phrase != form.filled.again:
        form = form.with_error("again", "The two passphrases differ. Type both again.")
    if form.filled is None:
        return render(request, _key(shop, by, change=form), 422)
    given, act_key = form.filled, str(sent.get("act_key") or "") or None
    try:
        keys.change_phrase(
            shop, by, phrase=given.phrase, new_phrase=given.new_phrase, act_key=act_key
        )
    except Refused as no:
        field = no.field if isinstance(no, Unfit) else "phrase" if type(no) is NotAllowed else ""
        wrong = form.with_error(field, f"{no.says} {no.do}".strip())
        return render(request, _key(shop, by, change=wrong), no.status)
    return go(request, "/office/key", "Your key has a new passphrase.")


def _key(
    shop: Shop,
    by: Person,
    form: Form[KeyForm] | None = None,
    *,
    change: Form[NewPhraseForm] | None = None,
) -> KeyPage:
    with reading(shop.engine) as connection:
        mine = [row for row in logs.keys(connection) if row.staff_id == by.id]
    current = next((row for row in mine if row.closed_at is None), None)
    closed = tuple(row for row in mine if row.closed_at)
    return KeyPage(
        by,
        may(by, "sign"),
        current,
        closed,
        form or Form.blank(KeyForm),
        change or Form.blank(NewPhraseForm),
    )
