"""Makers that say only what a test is about, and fill in the rest."""

import itertools
import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from server.demo.bench import connect, work_through
from server.records import tickets
from server.records.engine import reading, writing
from server.records.tables import AttachmentRecord
from server.trade.card import FIRST_POWER, derive, example
from server.trade.power import Power
from server.trade.sheet import Sheet, from_document
from server.work.bench import recording
from server.work.booking import intake
from server.work.handover.handover import HandedTo
from server.work.people import keys
from server.work.people.staff import add_staff, choose_password, set_up
from server.work.port_map import revisions
from server.work.queue import queue
from server.work.shop import Person, Shop
from server.work.ticket import files, shared

START = datetime(2030, 3, 4, 9, 0, tzinfo=UTC)
PASSWORD = "a password for tests"
SIGNING = "a signing phrase for tests"
EXAMPLE = Path(__file__).parent / "data" / "example.json"
_counted = itertools.count(1)


class Clock:
    """A clock that the test moves; each look takes a millisecond, so that order is kept."""

    def __init__(self) -> None:
        self.at = START

    def __call__(self) -> datetime:
        self.at += timedelta(milliseconds=1)
        return self.at

    def pass_minutes(self, minutes: float) -> None:
        """Let time go by."""
        self.at += timedelta(minutes=minutes)


def lead(shop: Shop, name: str = "Sunniva Oake") -> Person:
    """The first lead, and with it the shop."""
    return set_up(
        shop,
        shop_name="Plover Street Multirotor Repair",
        name=name,
        initials=initials(name),
        sign_in=name,
        password=PASSWORD,
        zone="Europe/Oslo",
    )


def staff(shop: Shop, by: Person, name: str, role: str = "technician") -> Person:
    """Somebody who works here."""
    added, code = add_staff(shop, by, name=name, initials=initials(name), sign_in=name, role=role)
    choose_password(shop, name=name, code=code, password=PASSWORD)
    return added


def initials(name: str) -> str:
    """The first letters of a name."""
    return "".join(word[0] for word in name.split())[:4]


def key() -> str:
    """A key for one act."""
    return f"act-{next(_counted)}"


def ticket(shop: Shop, by: Person, **told: Any) -> int:
    """A booked ticket's number."""
    said = {"customer_name": "Perrin Vale", "craft_name": "Kittiwake", "symptoms": ["wiped"]} | told
    return intake.book(shop, by, intake.begin(shop, by).id, intake.Intake(**said)).number


def sheet(change: Callable[[dict[str, Any]], None] | None = None) -> Sheet:
    """The example sheet, with `change` done to its document."""
    document = json.loads(EXAMPLE.read_text())
    if change:
        change(document)
    return from_document(document)


def swapped(document: dict[str, Any]) -> None:
    """Put the video unit's two wires on each other's pads: a stop."""
    for wire in document["wires"]:
        if wire["device"] == "video unit" and wire["pad"] in ("R4", "T4"):
            wire["pad"] = {"R4": "T4", "T4": "R4"}[wire["pad"]]


def fed_by_the_pack(document: dict[str, Any]) -> None:
    """Put the receiver's supply on the pack: a stop that bars every battery."""
    for wire in document["wires"]:
        if (wire["device"], wire["lead"]) == ("receiver", "5V"):
            wire["pad"] = "VB"


def no_telemetry(document: dict[str, Any]) -> None:
    """Leave the receiver's RX unwired: a caution."""
    document["wires"] = [
        w for w in document["wires"] if (w["device"], w["lead"]) != ("receiver", "RX")
    ]


def receiver_moved(document: dict[str, Any]) -> None:
    """Give the board a UART2 and put the receiver's two leads on it."""
    document["board"]["ports"].append({"port": "UART2"})
    document["board"]["pads"] += [
        {"pad": "R2", "signal": "rx", "port": "UART2"},
        {"pad": "T2", "signal": "tx", "port": "UART2"},
    ]
    for wire in document["wires"]:
        wire["pad"] = {"R1": "R2", "T1": "T2"}.get(wire["pad"], wire["pad"])


def esc_moved(document: dict[str, Any]) -> None:
    """Put two signal leads of the ESC on each other's pads."""
    outputs = document["esc"]["outputs"]
    outputs["1"], outputs["2"] = outputs["2"], outputs["1"]


def mapped(shop: Shop, by: Person, number: int, change: Any = None) -> None:
    """Save a revision of the ticket's map."""
    with reading(shop.engine) as connection:
        head = tickets.head(connection, number)
    revisions.draw_up(shop, by, number, sheet=sheet(change), version=0)
    revisions.save(shop, by, number, version=1, act_key=f"map-{number}-{head.revision}")


def on_the_bench(shop: Shop, by: Person, change: Any = None, **told: Any) -> int:
    """A ticket that `by` has taken and mapped."""
    number = ticket(shop, by, **told)
    queue.take(shop, by, number)
    mapped(shop, by, number, change)
    return number


def first_powered(shop: Shop, by: Person, change: Any = None, **told: Any) -> int:
    """A ticket with nothing but the looks before power and first power; unplugged again."""
    number = on_the_bench(shop, by, change, **told)
    work_through(shop, by, number, until="keep/settings")
    connect(shop, by, number, Power.LIMITED)
    step = derive(sheet(change)).step(FIRST_POWER)
    recording.record(shop, by, number, step.key, answer=example(step)[0], act_key=key())
    connect(shop, by, number, Power.COLD)
    return number


def to_sign(shop: Shop, by: Person, change: Any = None, **told: Any) -> int:
    """A ticket with every step done; `by` has a signing key."""
    number = on_the_bench(shop, by, change, **told)
    work_through(shop, by, number)
    keys.make_key(shop, by, phrase=SIGNING)
    return number


def handed(name: str = "Perrin Vale", **other: Any) -> HandedTo:
    """Somebody with the claim slip, who signs on paper and leaves nothing to argue about."""
    return HandedTo(name, **({"shown": "slip", "owed_note": "Pays on Friday."} | other))


def head(shop: Shop, number: int) -> tickets.TicketHead:
    """The ticket as the pages see it."""
    with reading(shop.engine) as connection:
        found = tickets.head(connection, number)
    assert found is not None
    return found


def kept_file(shop: Shop, by: Person, number: int, data: bytes, name: str) -> AttachmentRecord:
    """A file kept for the evidence of a ticket, as an act at the bench keeps it."""
    with writing(shop.engine) as session:
        ticket = shared.locked(session, number)
        return files.keep_file(session, shop, by, ticket, files.Upload(data, name, "text/plain"))
