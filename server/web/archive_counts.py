"""Counts over past builds: the picks that narrow a search, and what is usual on a board."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from sqlalchemy import Connection

from server.records import archive
from server.records.archive import COUNTED, Count, Wanted
from server.trade.counter_words import SYMPTOMS
from server.trade.usual import wilson
from server.web.archive_rows import finding_says

PORTS, OTHERS, WRONG = 4, 4, 3  # so many picks of each sort, and so many of what goes wrong
Link = tuple[str, int, str, bool]


class Address(Protocol):
    """What was asked, and its address with something other."""

    port: str
    device: str
    symptom: str
    finding: str

    def address(self, **other: str | int) -> str:
        """The archive's address for this, with something other."""
        ...


@dataclass(frozen=True)
class Narrowed:
    """How many builds are left, and picks that leave fewer. `more`: there are more than counted."""

    builds: int
    more: bool
    links: tuple[Link, ...]


@dataclass(frozen=True)
class Share:
    """A kind of device on a port: in how many builds, and the interval in whole per cent."""

    port: str
    device: str
    builds: int
    low: int
    high: int


@dataclass(frozen=True)
class Usually:
    """What is usual on a board, over its newest signed builds."""

    name: str
    builds: int
    shares: tuple[Share, ...]
    wrong: tuple[tuple[str, int], ...]


def narrowed(connection: Connection, these: Sequence[int], asked: Address) -> Narrowed:
    """The picks, each an address; one that is taken leads back."""
    ports = sorted(archive.on_ports(connection, these), key=lambda c: -c.builds)[:PORTS]
    symptoms = archive.with_symptom(connection, these)[:OTHERS]
    found = archive.with_finding(connection, these)[:OTHERS]
    links = [
        *(_on_port(count, asked) for count in ports),
        *(_pick("symptom", SYMPTOMS[c.name], c, asked.symptom, asked) for c in symptoms),
        *(_pick("finding", finding_says(c.name), c, asked.finding, asked) for c in found),
    ]
    return Narrowed(len(these), len(these) == COUNTED, tuple(links))


def usually(connection: Connection, boards: tuple[int, ...], name: str) -> Usually:
    """What is on which port of these boards, whatever the search is narrowed to."""
    these = archive.ids(connection, Wanted(boards), COUNTED)
    shares = (_share(count, len(these)) for count in _by_port(archive.on_ports(connection, these)))
    wrong = archive.with_finding(connection, these)[:WRONG]
    return Usually(
        name, len(these), tuple(shares), tuple((finding_says(c.name), c.builds) for c in wrong)
    )


def _by_port(counts: Sequence[Count]) -> list[Count]:
    """The commonest device of each port, ports in the order of their names."""
    ports: dict[str, list[Count]] = defaultdict(list)
    for count in counts:
        ports[count.port].append(count)
    return [max(found, key=lambda c: c.builds) for _, found in sorted(ports.items())]


def _share(count: Count, of: int) -> Share:
    low, high = wilson(count.builds, of)
    return Share(count.port, count.name.capitalize(), count.builds, round(100 * low),
                 round(100 * high))  # fmt: skip


def _on_port(count: Count, asked: Address) -> Link:
    taken = (asked.port, asked.device) == (count.port, count.name)
    to = ("", "") if taken else (count.port, count.name)
    address = asked.address(port=to[0], device=to[1], before=0)
    return f"{count.name.capitalize()} on {count.port}", count.builds, address, taken


def _pick(name: str, label: str, count: Count, chosen: str, asked: Address) -> Link:
    taken = chosen == count.name
    address = asked.address(**{name: "" if taken else count.name, "before": 0})
    return label, count.builds, address, taken
