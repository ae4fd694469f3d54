"""The customer's own page: how far their craft is, and nothing that says whose it is."""

from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar

from fastapi import Request, Response

from server.records import find, tickets
from server.records.engine import reading
from server.web.desk import Desk
from server.web.page import View, render
from server.web.session import ShopDep, VisitDep
from server.work.errors import Missing

desk = Desk()

# By state: the state in the customer's words, and what happens next.
WORDS = {
    "waiting": ("Waiting for a free bench", "A technician takes it when its turn comes."),
    "bench": ("On the bench", "Its wiring, settings and motors are gone through step by step."),
    "held": ("Waiting", "The shop goes on when this is settled."),
    "to-sign": ("Tested", "The technician reads the test log over and signs it."),
    "ready": ("Ready to collect", "Bring the claim slip. What is owed is paid at the counter."),
    "collected": ("Collected", "Nothing is left to do. The pickup sheet tells what was done."),
    "returned": ("Returned as it is", "It was not set up. Its sheet tells what is not safe."),
}


@dataclass(frozen=True)
class StatusPage(View):
    """One card."""

    template: ClassVar[str] = "public/status.html"
    public: ClassVar[bool] = True

    number: int
    first_name: str
    state: str
    words: tuple[str, str]
    waits_for: str
    promised_at: datetime | None
    phone: str

    def titled(self) -> str:
        """The ticket."""
        return f"Ticket {self.number:04d}"


@desk.get("/status/{code}")
def status_page(request: Request, code: str, shop: ShopDep, here: VisitDep) -> Response:
    """How far it is. The address cannot be guessed, and no search engine keeps it."""
    with reading(shop.engine) as connection:
        number = find.ticket_of_code(connection, code)
        head = tickets.head(connection, number) if number is not None else None
    if head is None:
        raise Missing("No ticket has this address.", "Look at the claim slip again, or ring us.")
    open_ = head.state not in ("ready", "collected", "returned")
    page = StatusPage(
        head.number, head.customer.split()[0], head.state, WORDS[head.state],
        head.hold_reason if head.state == "held" else "", head.promised_at if open_ else None,
        here.profile.phone if here.profile else "",
    )  # fmt: skip
    answer = render(request, page)
    answer.headers["X-Robots-Tag"] = "noindex, nofollow"
    answer.headers["Cache-Control"] = "no-store"
    return answer
