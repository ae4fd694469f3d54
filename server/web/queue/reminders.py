"""The shop's own reminders, with a text to copy for each; and the supervisor's words for them."""

from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import Request, Response
from pydantic import BaseModel, Field

from server.records.engine import reading
from server.trade.messages import GAPS
from server.web.site import forms
from server.web.site.forms import Form, new_key
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.work.errors import Unfit
from server.work.permissions import may, require
from server.work.queue import reminders
from server.work.queue.reminders import Reminder
from server.work.shop import Shop

desk = Desk()
Words = Annotated[str, Field(max_length=2000)]
# By kind: the group's title, and what an empty one says.
GROUPS = {
    "late": ("Promises about to break", "Every promise can still be kept."),
    "held": ("On hold too long", "No ticket is on hold for longer than the shop allows."),
    "ready": ("Not collected", "Nothing is ready for longer than the shop allows."),
}


class ToldForm(BaseModel):
    """Of what the customer was told."""

    kind: str = ""


class MessagesForm(BaseModel):
    """The shop's own words; an empty one brings ours back."""

    held: Words = ""
    late: Words = ""
    ready: Words = ""


@dataclass(frozen=True)
class ReminderGroup:
    """The reminders of one kind."""

    kind: str
    title: str
    nothing: str
    rows: tuple[Reminder, ...]


@dataclass(frozen=True)
class RemindersPage(View):
    """Who should be told of what."""

    template: ClassVar[str] = "queue/reminders.html"
    title: ClassVar[str] = "Reminders"
    desk: ClassVar[str] = "queue"

    groups: tuple[ReminderGroup, ...]
    writes: bool


@dataclass(frozen=True)
class MessagesPage(View):
    """The texts, and the gaps that they may have."""

    template: ClassVar[str] = "queue/messages.html"
    title: ClassVar[str] = "What reminders say"
    desk: ClassVar[str] = "office"

    form: Form[MessagesForm]
    gaps: tuple[tuple[str, str], ...]


@desk.get("/reminders")
def reminders_page(request: Request, shop: ShopDep, by: By, profile: ProfileDep) -> Response:
    """All three kinds."""
    with reading(shop.engine) as connection:
        found = reminders.reminders(connection, by, profile, shop.now())
    groups = tuple(ReminderGroup(kind, *words, found[kind]) for kind, words in GROUPS.items())
    return render(request, RemindersPage(groups, may(by, "run the office")))


@desk.post("/tickets/{number:int}/reminders")
def note_told(request: Request, number: int, sent: Sent, shop: ShopDep, by: By) -> Response:
    """The customer was told."""
    form = forms.read(ToldForm, sent)
    kind, key = form.filled.kind if form.filled else "", str(sent.get("act_key") or new_key())
    reminders.note_told(shop, by, number, kind=kind, act_key=key)
    return go(request, "/reminders", f"Noted: the customer of {number:04d} was told.")


@desk.get("/reminders/messages")
def messages_page(request: Request, shop: ShopDep, by: By) -> Response:
    """The texts as they are."""
    require(by, "run the office")
    return render(request, _messages(shop))


@desk.post("/reminders/messages")
def put_messages(request: Request, sent: Sent, shop: ShopDep, by: By) -> Response:
    """Keep the shop's own words."""
    require(by, "run the office")
    form = forms.read(MessagesForm, sent)
    if form.filled is None:
        return render(request, _messages(shop, form), 422)
    try:
        reminders.put_messages(shop, by, form.filled.model_dump())
    except Unfit as no:
        wrong = form.with_error(no.field, f"{no.says} {no.do}".strip())
        return render(request, _messages(shop, wrong), no.status)
    return go(request, "/reminders/messages", "The words are kept.")


def _messages(shop: Shop, form: Form[MessagesForm] | None = None) -> MessagesPage:
    if form is None:
        with reading(shop.engine) as connection:
            form = Form.blank(MessagesForm, **reminders.messages(connection))
    return MessagesPage(form, tuple((f"{{{gap}}}", says) for gap, says in GAPS.items()))
