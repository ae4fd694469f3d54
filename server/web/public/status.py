"""The customer's own page: how far their craft is, and nothing that says whose it is."""

from dataclasses import dataclass, replace
from datetime import datetime
from typing import ClassVar

from fastapi import Request, Response
from pydantic import BaseModel
from sqlalchemy import Connection

from server.records import counter, find, tickets
from server.records.engine import reading
from server.records.people import ShopRow
from server.records.tickets import TicketHead
from server.trade.bill import Bill
from server.trade.ticket import CLOSED, UNSIGNED, State
from server.web.site import forms
from server.web.site.forms import Posted, new_key
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import ShopDep, VisitDep
from server.work.errors import Missing, Refused
from server.work.estimate import estimates
from server.work.estimate.estimates import ApprovalStatus

desk = Desk()

# By state: the state in the customer's words, and what happens next.
WORDS = {
    State.WAITING: ("Waiting for a free bench", "A technician takes it when its turn comes."),
    State.BENCH: ("On the bench", "Its wiring, settings and motors are gone through step by step."),
    State.ON_HOLD: ("On hold", "A part, or an answer. Ring the shop to hear which."),
    State.TO_SIGN: ("Tested", "The technician reads the test log over and signs it."),
    State.READY: ("Ready to collect", "Bring the claim slip. What is owed is paid at the counter."),
    State.COLLECTED: ("Collected", "Nothing is left to do. The pickup sheet tells what was done."),
    State.RETURNED: ("Returned unrepaired", "It was not set up. Its sheet tells what is not safe."),
    State.CANCELLED: ("Cancelled", "This visit was called off. Ring the shop if that is wrong."),
}


# RFC 9309. Pages that say 'noindex' have to be read to be obeyed, so these may be.
ROBOTS = "User-agent: *\nDisallow: /\nAllow: /status/\n"


class CustomerApprovalForm(BaseModel):
    """The digest of the lines that were on the page."""

    basis: str = ""


@dataclass(frozen=True)
class ApprovalQuestion:
    """What the customer is asked to agree to."""

    bill: Bill
    basis: str


@dataclass(frozen=True)
class StatusPage(View):
    """One card."""

    template: ClassVar[str] = "public/status.html"
    public: ClassVar[bool] = True

    number: int
    code: str
    first_name: str
    state: str
    words: tuple[str, str]
    promised_at: datetime | None
    asked: ApprovalQuestion | None
    agreed_at: datetime | None
    phone: str
    act_key: str

    def titled(self) -> str:
        """The ticket."""
        return f"Ticket {self.number:04d}"


@desk.get("/status/{code}")
def status_page(request: Request, code: str, shop: ShopDep, here: VisitDep) -> Response:
    """How far it is. The address cannot be guessed, and no search engine keeps it."""
    if here.profile is None:
        raise _not_here()
    with reading(shop.engine) as connection:
        number = find.ticket_of_open_code(connection, code)
        head = tickets.head(connection, number) if number is not None else None
        if head is None:
            raise _not_here()
        page = _page(connection, here.profile, head)
    answer = render(request, page)
    answer.headers["X-Robots-Tag"] = "noindex, nofollow"
    answer.headers["Referrer-Policy"] = "no-referrer"
    answer.headers["Cache-Control"] = "no-store"
    return answer


@desk.post("/status/{code}/agreement")
def agree(request: Request, code: str, sent: Posted, shop: ShopDep) -> Response:
    """The customer's yes, by who holds the slip. Other lines meanwhile: they are asked again."""
    form = forms.read(CustomerApprovalForm, sent)
    basis, key = form.text("basis"), str(sent.get("act_key") or new_key())
    try:
        estimates.agree_on_their_page(shop, code, basis=basis, act_key=key)
    except Missing:
        raise
    except Refused as no:
        return go(request, f"/status/{code}", f"{no.says} {no.do}")
    return go(request, f"/status/{code}", "Thank you: the shop sees that you agreed.")


@desk.get("/robots.txt")
def robots(request: Request) -> Response:
    """What search engines are asked to leave alone: all."""
    return Response(ROBOTS, media_type="text/plain")


def _not_here() -> Missing:
    return Missing("No ticket has this address.", "Look at the claim slip again, or ring us.")


def _page(connection: Connection, profile: ShopRow, head: TicketHead) -> StatusPage:
    open_ = head.state in UNSIGNED
    bill = estimates.bill_of(connection, head.id, profile)
    standing = estimates.standing_of(bill, counter.agreements(connection, head.id))
    return StatusPage(
        head.number,
        head.status_code,
        head.customer.split()[0],
        head.state,
        WORDS[State(head.state)],
        head.promised_at if open_ else None,
        _asked(head, bill, standing),
        standing.agreed.at if standing.agreed and open_ else None,
        profile.phone,
        new_key(),
    )


def _asked(head: TicketHead, bill: Bill, standing: ApprovalStatus) -> ApprovalQuestion | None:
    """The estimate, without what was paid, while it is still to be agreed to."""
    if head.state in CLOSED or standing.agreed or not bill.lines:
        return None
    return ApprovalQuestion(replace(bill, paid_minor=0, deposit_minor=0), standing.basis)
