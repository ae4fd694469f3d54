"""Fill a database with many signed builds and a full queue, the same for the same seed.

A few tickets are worked and signed by the real acts; the rest of the archive are copies of their
rows with names, numbers and dates of their own. The logs of the copies are not signed documents:
only their place in the archive is real. Every open ticket comes from the real acts.
"""

import hashlib
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from random import Random
from typing import Any

from sqlalchemy import Connection, insert, update
from sqlmodel import Session

from server.demo.bench import work_through
from server.demo.boards import boards
from server.demo.cast import NOW, PAST, Story
from server.demo.sheets import sheet
from server.records import people as signed
from server.records import tickets
from server.records.columns import core
from server.records.engine import reading, writing
from server.records.tables import CraftRecord, Customer, Profile, RunningNumber, Ticket
from server.trade.power import Act
from server.work.bench import power, signing
from server.work.booking import intake
from server.work.people import keys, staff
from server.work.port_map import revisions
from server.work.queue import queue
from server.work.shop import Shop
from tests.bench.copies import Copies, Pattern, Row

PASSWORD = "a password for the bench"
NAMED = "CRAFT NAME"  # stands in a pattern's sheet where each copy writes its own
BENCH_IN = 10  # one copy in so many has its steps and evidence
BETWEEN = timedelta(minutes=90)  # from one past ticket to the next
MOMENTS = ("booked_at", "created_at", "changed_at", "collected_at", "made_at", "at")
FIRST = ("Perrin", "Odile", "Tamsin", "Jory", "Ansel", "Wren", "Maud", "Corin", "Ysolde", "Lev")
LAST = ("Vale", "Marsh", "Rook", "Fenn", "Birk", "Ashdown", "Hollis", "Tarn", "Pike", "Sorrel")
CRAFTS = ("Kittiwake", "Curlew", "Gannet", "Knot", "Kestrel", "Dunlin", "Ruff", "Snipe", "Stint")


@dataclass(frozen=True)
class Size:
    """How much to make. `patterns` are the past tickets that are really worked."""

    builds: int = 10_000
    patterns: int = 15
    open: int = 60


@dataclass(frozen=True)
class Filled:
    """What a client needs to ask for pages: a sign-in, tickets to tick, one to look at."""

    cookie: str
    csrf: str
    ticking: tuple[int, ...]
    card: int
    board: str


def fill(shop: Shop, size: Size, seed: int = 1) -> Filled:
    """Fill an empty, migrated SQLite database. `shop.now` is the present."""
    maker = _Maker(shop, Random(seed), size)
    maker.archive()
    ends = [maker.ticket(NOW[i % len(NOW)], i) for i in range(size.open)]
    token, _ = staff.sign_in(shop, name="kit", password=PASSWORD, bench="Bench 2")
    with reading(shop.engine) as connection:
        visit = signed.signed_in(connection, staff.digest(token), shop.now())
    assert visit is not None
    ticking = tuple(number for number, end in ends if end == "bench")
    halfway = [number for number, end in ends if end == "halfway"]
    card = (halfway or list(ticking))[0]
    return Filled(token, visit.csrf, ticking, card, "Brindle F7")


class _Maker:
    def __init__(self, shop: Shop, random: Random, size: Size) -> None:
        self.shop, self.random, self.size = shop, random, size
        self.lead = staff.set_up(
            shop,
            shop_name="Plover Street Multirotor Repair",
            name="Sunniva Oake",
            initials="SO",
            sign_in="sunniva",
            password=PASSWORD,
            zone="Europe/Oslo",
        )
        kit, code = staff.add_staff(
            shop, self.lead, name="Kit Thorne", initials="KT", sign_in="kit", role="technician"
        )
        staff.choose_password(shop, name="kit", code=code, password=PASSWORD)
        self.kit = replace(kit, bench="Bench 2")
        with writing(shop.engine) as session:
            session.get_one(Profile, 1).power_minutes = 600  # a kept database is measured again
        keys.make_key(shop, self.kit, phrase=PASSWORD)

    def archive(self) -> None:
        """Every past ticket: the patterns, then their copies."""
        stories = [story for story in PAST if story.end == "collected"]
        worked = [self._signed(stories[i % len(stories)], i) for i in range(self.size.patterns)]
        with writing(self.shop.engine) as session:
            connection = session.connection()
            _collect(connection, worked, self.shop.now())
            crafts = self._owned(connection)
            copies = Copies(connection)
            patterns = [copies.pattern(_id_of(connection, number)) for number in worked]
            self._copy(copies, patterns, crafts)
            _count_on(session, "ticket", "log", to=self.size.builds)

    def ticket(self, story: Story, nth: int) -> tuple[int, str]:
        """An open ticket as far as its story goes: its number and where that is."""
        if nth % 3 == 1:  # enough of them that a run of ticks does not pile up on a few
            story = story._replace(end="bench")
        number = self._booked(story, nth, self.shop.now() + timedelta(days=story.days, hours=nth))
        if story.end == "waiting":
            return number, "waiting"
        queue.take(self.shop, self.kit, number)
        fault = {"stuck": "swapped", "caution": "no-telemetry"}.get(story.end, "")
        self._map(story, nth, number, story.craft, fault)
        until = {"bench": "level/flat", "halfway": "motors/speeds"}
        if story.end in ("bench", "halfway", "to-sign", "ready"):
            work_through(self.shop, self.kit, number, until=until.get(story.end))
        if story.end == "bench":
            power.change(self.shop, self.kit, number, act=Act.PLUG_USB)
        if story.end == "on-hold":
            queue.hold(self.shop, self.kit, number, reason="waiting for a receiver")
        if story.end == "ready":
            signing.sign(self.shop, self.kit, number, phrase=PASSWORD, words="Every step done.")
        return number, story.end

    def _signed(self, story: Story, nth: int) -> int:
        number = self._booked(story, nth, None)
        queue.take(self.shop, self.kit, number)
        if nth % 3 == 0 and "pipit" in story.parts:
            self._map(story, nth, number, NAMED, "swapped")
        self._map(story, nth, number, NAMED)
        work_through(self.shop, self.kit, number)
        signing.sign(self.shop, self.kit, number, phrase=PASSWORD, words="Every step done.")
        return number

    def _booked(self, story: Story, nth: int, promised: datetime | None) -> int:
        told = intake.Intake(
            customer_name=story.customer,
            phone="555 0142",
            craft_name=f"{story.craft} {nth + 1}",
            symptoms=[story.symptom],
            own_words=story.words,
            battery_look="sound",
            items={"craft": 1, "battery": 1},
            promised_at=promised,
            terms_agreed=True,
            lines=[intake.EstimateItem(says="Set-up and bench test", quantity=1, unit_minor=4800)],
        )
        booking = intake.begin(self.shop, self.lead)
        return intake.book(self.shop, self.lead, booking.id, told).number

    def _map(self, story: Story, nth: int, number: int, craft: str, fault: str = "") -> None:
        board: dict[str, Any] = dict(boards()[story.board])
        if (mark := nth // len(PAST)) > 0:
            board["model"] += f" mark {mark + 1}"
        made = sheet(craft, board, story.parts.split(), cells=story.cells, fault=fault)
        revisions.draw_up(self.shop, self.kit, number, sheet=made, version=0)
        revisions.save(self.shop, self.kit, number, version=1, act_key=f"{number}:{fault}")

    def _owned(self, connection: Connection) -> list[tuple[int, int, str]]:
        """Customers with a craft or two each: (customer, craft, the craft's name)."""
        at, found = self.shop.now(), []
        customers: list[Row] = []
        crafts: list[Row] = []
        for nth in range(1000, 1000 + max(1, self.size.builds // 3)):
            name = f"{self.random.choice(FIRST)} {self.random.choice(LAST)} {nth}"
            customers.append(
                {
                    "id": nth,
                    "name": name,
                    "name_key": name.casefold(),
                    "phone": f"555 {nth}",
                    "phone_key": f"555{nth}",
                    "email": "",
                    "created_at": at,
                }
            )
            for which in range(self.random.randint(1, 2)):
                craft = f"{self.random.choice(CRAFTS)} {nth}{'ab'[which]}"
                own = 2 * nth + which
                crafts.append(
                    {
                        "id": own,
                        "customer_id": nth,
                        "name": craft,
                        "name_key": craft.casefold(),
                        "mark": "",
                        "created_at": at,
                    }
                )
                found.append((nth, own, craft))
        connection.execute(insert(core(Customer)), customers)
        connection.execute(insert(core(CraftRecord)), crafts)
        return found

    def _copy(
        self, copies: Copies, patterns: list[Pattern], crafts: list[tuple[int, int, str]]
    ) -> None:
        begun = self.shop.now() - BETWEEN * self.size.builds
        for number in range(len(patterns) + 1, self.size.builds + 1):
            change = _Change(number, begun + BETWEEN * number, self.random.choice(crafts))
            pattern = self.random.choice(patterns)
            copies.add(pattern, change, bench=number % BENCH_IN == 0)
        copies.write()


class _Change:
    """What one copy has for itself; called for each of its rows."""

    def __init__(self, number: int, at: datetime, craft: tuple[int, int, str]) -> None:
        self.number, self.craft = number, craft
        self.at = at.isoformat(timespec="microseconds")

    def __call__(self, table: str, row: Row) -> None:
        if "act_key" in row:
            row["act_key"] = row["act_key"] and f"{row['act_key']}+{self.number}"
        row.update({name: self.at for name in MOMENTS if name in row})
        if row.get("signed_at"):
            row["signed_at"] = self.at
        change = {"ticket": self._ticket, "build": self._build, "test_log": self._log}.get(table)
        if change is not None:
            change(row)

    def _ticket(self, row: Row) -> None:
        customer, craft, _ = self.craft
        row.update(
            number=self.number,
            customer_id=customer,
            craft_id=craft,
            status_code=_digest("status", self.number)[:22],
        )

    def _build(self, row: Row) -> None:
        row["sheet"] = row["sheet"].replace(NAMED, self.craft[2])
        row["digest"] = hashlib.sha256(row["sheet"].encode()).hexdigest()

    def _log(self, row: Row) -> None:
        row.update(
            number=self.number,
            digest=_digest("log", self.number),
            previous_digest=_digest("log", self.number - 1),
            document="{}",
        )


def _digest(kind: str, number: int) -> str:
    return hashlib.sha256(f"{kind} {number}".encode()).hexdigest()


def _collect(connection: Connection, numbers: list[int], at: datetime) -> None:
    ticket = core(Ticket)
    connection.execute(
        update(ticket)
        .where(ticket.c.number.in_(numbers))
        .values(state="collected", collected_at=at, collected_by="its owner")
    )


def _count_on(session: Session, *names: str, to: int) -> None:
    for name in names:
        session.get_one(RunningNumber, name).value = to


def _id_of(connection: Connection, number: int) -> int:
    head = tickets.head(connection, number)
    assert head is not None
    return head.id
