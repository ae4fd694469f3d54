"""Makers that say only what a test is about, and fill in the rest."""

import itertools
from datetime import UTC, datetime, timedelta
from typing import Any

from server.work import counter
from server.work.people import add_staff, set_up
from server.work.shop import Person, Shop

START = datetime(2030, 3, 4, 9, 0, tzinfo=UTC)
PHRASE = "a phrase for tests"
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
        shop, shop_name="Plover Street Multirotor Repair", name=name, initials=initials(name),
        sign_in=name, phrase=PHRASE, zone="Europe/Oslo",
    )  # fmt: skip


def staff(shop: Shop, by: Person, name: str, role: str = "technician") -> Person:
    """Somebody who works here."""
    return add_staff(
        shop, by, name=name, initials=initials(name), sign_in=name, role=role, phrase=PHRASE
    )


def initials(name: str) -> str:
    """The first letters of a name."""
    return "".join(word[0] for word in name.split())[:4]


def key() -> str:
    """A key for one act."""
    return f"act-{next(_counted)}"


def ticket(shop: Shop, by: Person, **told: Any) -> int:
    """A booked ticket's number."""
    said = {"customer_name": "Perrin Vale", "craft_name": "Kittiwake", "symptoms": ["wiped"]} | told
    return counter.book(shop, by, counter.begin(shop, by).id, counter.Told(**said)).number
