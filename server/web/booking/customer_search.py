"""Book in's search: who may be meant, with their crafts, for one button each."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from sqlalchemy import Connection

from server.records import customers
from server.records.customers import CraftRow, FoundCustomer
from server.records.people import ShopRow
from server.web.site.filters import Clock
from server.work import phones

Choice = tuple[int, str, str]  # value, title, note


@dataclass(frozen=True)
class CustomerMatch:
    """Somebody who was here before, and the crafts that they brought."""

    id: int
    name: str
    phone: str
    crafts: tuple[Choice, ...]


@dataclass(frozen=True)
class CustomerSearch:
    """What was looked for, who may be meant, and what of it a new customer's form begins with."""

    words: str = ""
    found: tuple[CustomerMatch, ...] = ()

    @property
    def new(self) -> dict[str, str]:
        """The words as a new customer's name or telephone; nothing while somebody is found."""
        if not self.words or self.found:
            return {}
        is_name = any(c.isalpha() for c in self.words)
        return {"customer_name" if is_name else "phone": self.words}


def search(connection: Connection, profile: ShopRow, words: str) -> CustomerSearch:
    """Customers by name, telephone, craft, mark or ticket; the craft that was meant first."""
    words = words.strip()[:100]
    if not words:
        return CustomerSearch()
    rows = customers.search(connection, words, phones.searched(words, profile.country))
    crafts = customers.crafts(connection, *(row.id for row in rows))
    clock = Clock(ZoneInfo(profile.zone))
    found = (_found(row, crafts, words, clock, profile.country) for row in rows)
    return CustomerSearch(words, tuple(found))


def choices(rows: list[CraftRow], zone: str) -> tuple[Choice, ...]:
    """A button for each craft: its name, and how to know it."""
    clock = Clock(ZoneInfo(zone))
    return tuple((row.id, row.name, _note(row, clock)) for row in rows)


def _found(
    who: FoundCustomer, crafts: list[CraftRow], words: str, clock: Clock, country: str
) -> CustomerMatch:
    theirs = [row for row in crafts if row.customer_id == who.id]
    theirs.sort(key=lambda row: not _meant(row, words.casefold()))
    told = tuple((row.id, row.name, _note(row, clock)) for row in theirs)
    return CustomerMatch(who.id, who.name, phones.shown(who.phone, country), told)


def _meant(row: CraftRow, words: str) -> bool:
    number = words.lstrip("#0")
    named = words in row.name.casefold() or words in row.mark.casefold()
    return named or (number.isdecimal() and row.number == int(number))


def _note(row: CraftRow, clock: Clock) -> str:
    board = f"{row.board_maker} {row.board_model}" if row.board_model else ""
    here = (
        f"last here {clock.date(row.booked_at)}, ticket {row.number:04d}" if row.booked_at else ""
    )
    return "; ".join(filter(None, (row.mark, board.strip(), here)))
