"""A ticket's papers as PDF, shown in the browser."""

from collections.abc import Callable
from typing import Any

from fastapi import Response
from sqlalchemy import Connection

from server.printing.sheets.base import Printed
from server.records import evidence
from server.records.engine import reading
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, ShopDep
from server.work.errors import Missing
from server.work.papers import bench, counter, pickup
from server.work.papers.setup import PaperDesk
from server.work.shop import Person
from server.work.ticket.account import Account, account_of

desk = Desk()
Maker = Callable[[Connection, Account, PaperDesk, Person], Printed]


def _port_map(connection: Connection, account: Account, at: PaperDesk, _by: Person) -> Printed:
    head = account.head
    accepted = tuple(evidence.accepted(connection, head.id, head.revision))
    return counter.port_map_sheet(account, at, accepted)


PAPERS: dict[str, Maker] = {
    "claim-slip": lambda _c, account, at, _by: counter.claim_slip(account, at),
    "bag-tag": lambda _c, account, at, _by: counter.bag_tag(account, at),
    "estimate": lambda _c, account, at, _by: counter.estimate(account, at),
    "port-map": _port_map,
    "bench-card": lambda c, account, at, _by: bench.bench_card(c, account, at),
    "test-log": lambda c, account, at, _by: bench.test_log(c, account, at),
    "pickup": pickup.pickup_sheet,
    "returned": pickup.returned_sheet,
}


@desk.get("/tickets/{number:int}/{paper}.pdf", slow=True)
def paper_pdf(number: int, paper: str, shop: ShopDep, by: By, profile: ProfileDep) -> Response:
    """One paper of a ticket, on the shop's own paper."""
    if paper not in PAPERS:
        raise Missing("There is no such paper.", "Open the ticket; its papers stand there.")
    at = PaperDesk(profile, shop.base_url.rstrip("/"), shop.now())
    with reading(shop.engine) as connection:
        account = account_of(connection, number, profile)
        sheet = PAPERS[paper](connection, account, at, by)
    headers: dict[str, Any] = {
        "Content-Disposition": f'inline; filename="{paper}-{number:04d}.pdf"',
        "Cache-Control": "no-store",
    }
    return Response(sheet.pdf(), media_type="application/pdf", headers=headers)
