"""The find box: a number or a scanned code opens its ticket; words list what they may mean."""

import re
from dataclasses import dataclass
from typing import ClassVar
from urllib.parse import quote

from fastapi import Request, Response
from sqlalchemy import Connection

from server.records import find
from server.records.engine import reading
from server.records.find import FoundBoard, FoundTicket
from server.web.site.page import View, go, render
from server.web.site.routing import Desk
from server.web.site.session import By, ProfileDep, ShopDep
from server.work import phones

desk = Desk()

_NUMBER = re.compile(r"#?0*(\d{1,9})")
_CODE = re.compile(r"\S*/status/([\w-]{8,64})/?")
_TICKET = re.compile(r"\S*/tickets/0*(\d{1,9})\b\S*")


@dataclass(frozen=True)
class FindPage(View):
    """What the words may mean."""

    template: ClassVar[str] = "queue/find.html"

    words: str
    tickets: tuple[FoundTicket, ...]
    boards: tuple[FoundBoard, ...]

    def titled(self) -> str:
        """The words."""
        return f"Found for {self.words}" if self.words else "Find"


@desk.get("/find")
def find_page(
    request: Request, shop: ShopDep, by: By, profile: ProfileDep, q: str = ""
) -> Response:
    """Open the ticket, or list what matches."""
    words = q.strip()[:100]
    with reading(shop.engine) as connection:
        number = _meant(connection, words)
        if number is not None:
            return go(request, f"/tickets/{number}")
        runs = phones.searched(words, profile.country)
        tickets = find.tickets(connection, words, runs) if words else []
        boards = find.boards(connection, words) if words else []
    if len(tickets) == 1 and not boards:
        return go(request, f"/tickets/{tickets[0].number}")
    if len(boards) == 1 and not tickets:
        return go(request, f"/archive?board={quote(boards[0].model)}")
    return render(request, FindPage(words, tuple(tickets), tuple(boards)))


def _meant(connection: Connection, words: str) -> int | None:
    if code := _CODE.fullmatch(words):
        return find.ticket_of_code(connection, code[1])
    number = _NUMBER.fullmatch(words) or _TICKET.fullmatch(words)
    return find.ticket_number(connection, int(number[1])) if number else None
