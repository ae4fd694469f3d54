"""A ticket's own page, as the counter sees it."""

from dataclasses import dataclass
from typing import ClassVar

from fastapi import Request, Response

from server.records.engine import reading
from server.records.people import ShopRow
from server.trade.choices import BATTERY_LOOKS, BatteryLook
from server.trade.ticket import CLOSED, State, TicketAct, allowed
from server.web.site.page import View, go, render
from server.web.site.parts import TitleBlock
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, Sent, ShopDep
from server.web.ticket.attachments import ShownPhoto, photos
from server.web.ticket.frame import strip_of, title_block
from server.work import phones
from server.work.customers.privacy import SEE_TO
from server.work.permissions import may
from server.work.shop import Person
from server.work.ticket import status_page
from server.work.ticket.account import Account, account_of

desk = Desk()
Links = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class TicketPage(View):
    """What was told, what happened, and where to go from here."""

    template: ClassVar[str] = "ticket/ticket.html"
    desk: ClassVar[str] = "queue"

    account: Account
    block: TitleBlock
    told: Links
    main_act: tuple[str, str] | None
    links: Links
    papers: Links
    warn_battery: bool
    photos: tuple[ShownPhoto, ...]
    may_withdraw: bool

    def titled(self) -> str:
        """Number and craft."""
        return f"Ticket {self.account.head.number:04d}, {self.account.head.craft}"


@desk.get("/tickets/{number:int}")
def ticket_page(
    request: Request, number: int, shop: ShopDep, by: By, profile: ProfileDep
) -> Response:
    """The ticket."""
    with reading(shop.engine) as connection:
        account = account_of(connection, number, profile)
    head = account.head
    strip = None if head.state in CLOSED else strip_of(head, profile, shop.now())
    return render(request, _page(account, profile, by, strip=strip))


@desk.post("/tickets/{number:int}/page/end")
def withdraw_page(request: Request, number: int, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """Close the customer's own page."""
    status_page.withdraw(shop, by, number)
    return go(request, f"/tickets/{number}", "The customer’s page is withdrawn.")


@desk.post("/tickets/{number:int}/page")
def give_page(request: Request, number: int, _sent: Sent, shop: ShopDep, by: By) -> Response:
    """Open it at another address."""
    status_page.give_anew(shop, by, number)
    says = "The customer’s page has a new address. Print the claim slip again."
    return go(request, f"/tickets/{number}", says)


def _page(account: Account, profile: ShopRow, by: Person, **frame: object) -> TicketPage:
    return TicketPage(
        account,
        title_block(account.head, profile),
        _told(account, profile.country),
        _main_act(account, by),
        _links(account, by),
        papers_of(account),
        account.head.battery_look == BatteryLook.UNSAFE,
        photos(account.photos, account.head.number),
        may(by, "withdraw a status page"),
        **frame,  # type: ignore[arg-type]  # the frame's own
    )


def _told(account: Account, country: str) -> Links:
    head = account.head
    phone = phones.shown(head.phone, country)
    return (
        ("Customer", f"{head.customer}, {phone}" if phone else head.customer),
        *((("Telephone", odd),) if (odd := phones.note(head.phone, country)) else ()),
        ("Craft", f"{head.craft} ({head.mark})" if head.mark else head.craft),
        ("Trouble", "; ".join(account.trouble) or "nothing picked"),
        ("Own words", f"“{head.own_words}”" if head.own_words else "none"),
        ("Handed in", ", ".join(account.handed_in) or "nothing"),
        ("Batteries", BATTERY_LOOKS[head.battery_look]),
        ("Condition", "; ".join(account.condition) or "not noted"),
        ("Terms", "agreed" if account.terms_agreed_at else "not agreed"),
    )


def _main_act(account: Account, by: Person) -> tuple[str, str] | None:
    here, state = f"/tickets/{account.head.number}", account.head.state
    if state == State.READY and may(by, "hand over"):
        return "Hand over", f"{here}/collection"
    if state == State.TO_SIGN and may(by, "sign"):
        return "Read and sign", f"{here}/signature"
    if state in (State.WAITING, State.BENCH) and may(by, "work at the bench"):
        return "Bench card", f"{here}/card"
    return None


def _links(account: Account, by: Person) -> Links:
    here = f"/tickets/{account.head.number}"
    log = (("Signed log", f"/logs/{account.log.digest}"),) if account.log else ()
    links: Links = (
        ("Bench card", f"{here}/card"),
        ("Port map", f"{here}/map"),
        ("Estimate", f"{here}/estimate"),
        *log,
    )
    if may(by, SEE_TO):
        links += (("What is held on the customer", f"/customers/{account.head.customer_id}"),)
    if account.head.state in CLOSED:
        return (*links, ("Book it in again", f"/book-in?q={account.head.number}"))
    moves: Links = (("Move it", f"{here}/moves"),)
    free = account.head.holder_id is None and allowed(TicketAct.CANCEL, account.head.state)
    if free and may(by, "cancel a ticket"):
        moves += (("Cancel it", f"{here}/moves#cancel"),)
    if not may(by, "hand over"):
        return (*links, *moves)
    return (
        *links,
        *moves,
        ("Take a payment", f"{here}/payments"),
        ("Return unrepaired", f"{here}/return"),
    )


def papers_of(account: Account) -> Links:
    """The papers that can be printed now."""
    head, here = account.head, f"/tickets/{account.head.number}"
    papers = [("Claim slip", "claim-slip"), ("Bag tag", "bag-tag"), ("Estimate", "estimate")]
    if head.sheet:
        papers += [("Port map", "port-map"), ("Bench card", "bench-card")]
    if account.log:
        papers += [("Test log", "test-log"), ("Pickup sheet", "pickup")]
    if head.state == State.RETURNED:
        papers += [("Returned unrepaired", "returned")]
    return tuple((label, f"{here}/{name}.pdf") for label, name in papers)
