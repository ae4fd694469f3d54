"""The queue: what is due, whose it is, and the moves of a ticket between people."""

from collections import Counter
from dataclasses import dataclass
from typing import Annotated, ClassVar

from fastapi import Request, Response
from pydantic import BaseModel, Field

from server.records import people, tickets, wording
from server.records.engine import reading
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade.roles import Role
from server.trade.ticket import State, TicketAct, possible
from server.web.queue import lines as queue_lines
from server.web.queue.lines import SHOWN, QueueGroup, Today
from server.web.site import forms
from server.web.site.forms import Form
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.frame import strip_of, title_block
from server.work.errors import Missing, Refused
from server.work.permissions import may
from server.work.queue import queue
from server.work.shop import Person, Shop

desk = Desk()


class HoldForm(BaseModel):
    """Why the work rests."""

    reason: Annotated[str, Field(max_length=120, description="what the ticket waits for")]


class CancelForm(BaseModel):
    """Why nothing is to be done."""

    reason: Annotated[str, Field(max_length=200, description="why it is cancelled")]


class HandOnForm(BaseModel):
    """Whose bench it goes to."""

    to: Annotated[int, Field(description="who takes it over")]


@dataclass(frozen=True)
class QueuePage(View):
    """Every open ticket, the earliest promise first."""

    template: ClassVar[str] = "queue/queue.html"
    scripts: ClassVar[tuple[str, ...]] = ("queue",)
    fragment: ClassVar[str | None] = "queue/_lines.html"
    title: ClassVar[str] = "Queue"
    desk: ClassVar[str] = "queue"

    which: str
    links: tuple[tuple[str, int, str, bool], ...]
    groups: tuple[QueueGroup, ...]
    first: tuple[int, str] | None


@dataclass(frozen=True)
class MovesPage(View):
    """Put a ticket back, hold it, hand it on."""

    template: ClassVar[str] = "queue/moves.html"
    desk: ClassVar[str] = "queue"

    head: TicketHead
    block: TitleBlock
    hold: Form[HoldForm]
    hand_on: Form[HandOnForm]
    cancel: Form[CancelForm]
    may_cancel: bool
    benches: tuple[tuple[str, str], ...]
    families: tuple[tuple[str, str], ...]
    acts: tuple[TicketAct, ...]

    def titled(self) -> str:
        """The ticket."""
        return f"Move ticket {self.head.number:04d}"


@desk.get("/queue")
def queue_page(
    request: Request, shop: ShopDep, by: By, profile: ProfileDep, show: str = "all"
) -> Response:
    """The ledger; the page fetches its lines again by itself."""
    which = show if show in SHOWN else "all"
    with reading(shop.engine) as connection:
        rows, symptoms = tickets.queue(connection), tickets.open_symptoms(connection)
    today = Today(shop.now(), profile.zone, by, symptoms)
    lines = queue_lines.groups(queue_lines.shown(rows, which, by), today)
    first = queue_lines.next_free(rows) if may(by, "work at the bench") else None
    named = (first.number, first.craft) if first else None
    return render(request, QueuePage(which, _links(rows, which, by), lines, named))


@desk.get("/tickets/{number:int}/moves")
def moves_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Where put back, hold and pass on stand."""
    return render(request, _moves(shop, profile, number, by))


@desk.post("/tickets/{number:int}/holder")
def take(request: Request, number: int, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """Onto this person's bench."""
    queue.take(shop, by, number)
    return go(request, f"/tickets/{number}/card", f"Ticket {number:04d} is on your bench.")


@desk.post("/tickets/{number:int}/holder/end")
def put_back(request: Request, number: int, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """Off the bench, into the queue."""
    queue.put_back(shop, by, number)
    return go(request, "/queue", f"Ticket {number:04d} is back in the queue.")


@desk.post("/tickets/{number:int}/hold")
def hold(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Rest the work for a reason."""
    form = forms.read(HoldForm, sent)
    if form.filled is None:
        return render(request, _moves(shop, profile, number, by, hold=form), 422)
    try:
        queue.hold(shop, by, number, reason=form.filled.reason)
    except Refused as no:
        wrong = form.with_error("reason", f"{no.says} {no.do}")
        return render(request, _moves(shop, profile, number, by, hold=wrong), no.status)
    return go(request, "/queue", f"Ticket {number:04d} is on hold.")


@desk.post("/tickets/{number:int}/hold/end")
def end_hold(request: Request, number: int, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """Go on with it."""
    queue.end_hold(shop, by, number)
    return go(request, f"/tickets/{number}", f"The hold of ticket {number:04d} is over.")


@desk.post("/tickets/{number:int}/cancellation")
def cancel(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Close a ticket on which nothing is to be done."""
    form = forms.read(CancelForm, sent)
    if form.filled is None:
        return render(request, _moves(shop, profile, number, by, cancel=form), 422)
    try:
        queue.cancel(shop, by, number, reason=form.filled.reason)
    except Refused as no:
        wrong = form.with_error("reason", f"{no.says} {no.do}")
        return render(request, _moves(shop, profile, number, by, cancel=wrong), no.status)
    return go(request, f"/tickets/{number}", f"Ticket {number:04d} is cancelled.")


@desk.post("/tickets/{number:int}/holder/next")
def hand_on(
    request: Request, number: int, sent: Sent, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """Onto somebody else's bench."""
    form = forms.read(HandOnForm, sent)
    if form.filled is None:
        return render(request, _moves(shop, profile, number, by, hand_on=form), 422)
    queue.hand_on(shop, by, number, to=form.filled.to)
    return go(request, "/queue", f"Ticket {number:04d} is passed on.")


def _links(
    rows: list[tickets.QueueRow], which: str, by: Person
) -> tuple[tuple[str, int, str, bool], ...]:
    counts = Counter(row.state for row in rows)
    counts["all"], counts["mine"] = len(rows), sum(row.holder_id == by.id for row in rows)
    return tuple(
        (label, counts[key], f"/queue?show={key}", key == which) for key, label in SHOWN.items()
    )


def _moves(
    shop: Shop,
    profile: ShopRow,
    number: int,
    by: Person,
    *,
    hold: Form[HoldForm] | None = None,
    hand_on: Form[HandOnForm] | None = None,
    cancel: Form[CancelForm] | None = None,
) -> MovesPage:
    with reading(shop.engine) as connection:
        head, staff = tickets.head(connection, number), people.staff(connection)
        families = tuple((name, name) for name in wording.families(connection))
    if head is None:
        raise Missing(f"There is no ticket {number:04d}.", "Look in the queue.")
    benches = tuple(
        (str(row.id), row.name)
        for row in staff
        if row.active and row.role != Role.COUNTER and row.id != head.holder_id
    )
    return MovesPage(
        head,
        title_block(head, profile),
        hold or Form.blank(HoldForm),
        hand_on or Form.blank(HandOnForm),
        cancel or Form.blank(CancelForm),
        may(by, "cancel a ticket"),
        benches,
        families,
        possible(State(head.state)),
        strip=strip_of(head, profile, shop.now()),
    )
