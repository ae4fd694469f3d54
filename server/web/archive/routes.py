"""The archive: past builds by board, by what is on which port, and by what was wrong."""

from dataclasses import dataclass
from typing import Annotated, ClassVar
from urllib.parse import urlencode

from fastapi import Depends, Request, Response
from pydantic import BaseModel
from sqlalchemy import Connection

from server.drawing.port_diagram.diagram import port_diagram
from server.drawing.port_diagram.table_text import PortTableRow, port_table
from server.records import archive, tickets
from server.records.archive import PAGE, ArchivedBoardRow, Wanted
from server.records.engine import reading
from server.trade.naming import Meant, meant
from server.web.archive import counts as archive_counts
from server.web.archive import rows as archive_rows
from server.web.archive.counts import Narrowed, Tally, Usually
from server.web.archive.rows import PastBuild
from server.web.site.forms import Form
from server.web.site.page import View, render
from server.web.site.routing import Desk
from server.web.site.session import By, ShopDep
from server.work.errors import Missing
from server.work.port_map.facts import facts_of
from server.work.shop import Person

desk = Desk()


class ArchiveQuery(BaseModel):
    """What the address asks for; `ticket` is the one that is to start from a past build."""

    board: str = ""
    pad: str = ""
    port: str = ""
    device: str = ""
    symptom: str = ""
    finding: str = ""
    before: int = 0
    ticket: int = 0

    def address(self, **other: str | int) -> str:
        """The archive's address for this, with something other."""
        told = self.model_dump() | other
        told["for"] = told.pop("ticket")
        return "/archive?" + urlencode({name: value for name, value in told.items() if value})


@dataclass(frozen=True)
class Shelf:
    """What the words were taken to mean, and the boards that it left."""

    meant: Meant | None
    boards: tuple[ArchivedBoardRow, ...]
    every: tuple[tuple[ArchivedBoardRow, int], ...]

    @property
    def name(self) -> str:
        """The board, or the words that several share."""
        if len(self.boards) == 1:
            return self.boards[0].model
        return self.meant.words if self.meant else ""


@dataclass(frozen=True)
class ArchivePage(View):
    """The search, and what it found."""

    template: ClassVar[str] = "archive/archive.html"
    title: ClassVar[str] = "Archive"
    desk: ClassVar[str] = "archive"

    asked: ArchiveQuery
    form: Form[ArchiveQuery]
    shelf: Shelf
    narrowed: Narrowed
    usually: Usually | None
    past: tuple[PastBuild, ...]
    older: str


@dataclass(frozen=True)
class BuildPage(View):
    """One past build, and the tickets that can start from it."""

    template: ClassVar[str] = "archive/build.html"
    desk: ClassVar[str] = "archive"

    past: PastBuild
    wide: str
    narrow: str
    rows: tuple[PortTableRow, ...]
    starts: tuple[tuple[int, str], ...]

    def titled(self) -> str:
        """Whose build it is."""
        return f"Build of {self.past.row.craft}, ticket {self.past.row.number:04d}"


async def asked_for(request: Request) -> ArchiveQuery:
    """The address's own words; a number that is none is left out."""
    told = {key: value.strip()[:100] for key, value in request.query_params.items()}
    told["ticket"] = told.pop("for", "")
    for name in ("before", "ticket"):
        digits = told.get(name, "")[:9]
        told[name] = digits if digits.isascii() and digits.isdigit() else "0"
    return ArchiveQuery.model_validate(told)


AskedDep = Annotated[ArchiveQuery, Depends(asked_for)]


@desk.get("/archive")
def archive_page(request: Request, asked: AskedDep, shop: ShopDep, _by: By) -> Response:
    """Search past builds; with a ticket, to start its map from one."""
    with reading(shop.engine) as connection:
        return render(request, _found(connection, asked))


@desk.get("/archive/{build:int}")
def build_page(request: Request, build: int, asked: AskedDep, shop: ShopDep, by: By) -> Response:
    """One past build: drawing, table, log."""
    with reading(shop.engine) as connection:
        found = archive_rows.past(connection, [build])
        if not found:
            raise Missing("There is no such past build.", "Search the archive by its board.")
        starts = _starts(connection, asked, by)
    facts = facts_of(found[0].row.sheet)
    wide, narrow = (
        port_diagram(facts.sheet, facts.findings, layout, f"past-{layout}")
        for layout in ("wide", "narrow")
    )
    rows = port_table(facts.sheet, facts.findings)
    return render(request, BuildPage(found[0], wide, narrow, rows, starts))


def _found(connection: Connection, asked: ArchiveQuery) -> ArchivePage:
    shelf = _shelf(connection, asked.board)
    boards = tuple(board.id for board in shelf.boards) if shelf.meant else None
    wanted = Wanted(boards, asked.pad, asked.port, asked.device, asked.symptom, asked.finding)
    counts, usual = _counts(connection, wanted)
    page = archive.ids(connection, Wanted(**vars(wanted) | {"before": asked.before}))
    return ArchivePage(
        asked,
        Form.blank(ArchiveQuery, **asked.model_dump()),
        shelf,
        archive_counts.narrowed(counts, asked),
        archive_counts.usually(usual, shelf.name) if boards else None,
        archive_rows.past(connection, page[:PAGE]),
        asked.address(before=page[PAGE - 1]) if len(page) > PAGE else "",
    )


def _counts(connection: Connection, wanted: Wanted) -> tuple[Tally, Tally]:
    """Over what was asked for, and over all of its boards: the same where nothing narrows it."""
    counts = archive_counts.tally(connection, wanted) if wanted.given() else Tally()
    whole = Wanted(wanted.boards)
    if not wanted.boards or wanted == whole:
        return counts, counts
    return counts, archive_counts.tally(connection, whole)


def _shelf(connection: Connection, words: str) -> Shelf:
    known = {board.id: board for board in archive.boards(connection)}
    counts = archive.on_boards(connection)
    every = sorted(((known[key], count) for key, count in counts.items()), key=lambda b: -b[1])
    if not words:
        return Shelf(None, (), tuple(every))
    said = meant(words, {board.id: board.search_key for board in known.values()})
    return Shelf(said, tuple(known[key] for key in said.found), tuple(every))


def _starts(connection: Connection, asked: ArchiveQuery, by: Person) -> tuple[tuple[int, str], ...]:
    """The ticket that asked, or those on this person's bench."""
    if asked.ticket:
        head = tickets.head(connection, asked.ticket)
        return ((head.number, head.craft),) if head else ()
    held = (row for row in tickets.queue(connection) if row.holder_id == by.id)
    return tuple((row.number, row.craft) for row in held)
