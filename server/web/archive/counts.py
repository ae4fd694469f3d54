"""Counts over past builds: the picks that narrow a search, and what is usual on a board."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from sqlalchemy import Connection

from server.records import archive
from server.records.archive import COUNTED, Count, Wanted
from server.trade.choices import SYMPTOMS
from server.trade.usual import wilson
from server.web.archive.rows import finding_says

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
class DeviceShare:
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
    shares: tuple[DeviceShare, ...]
    wrong: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Tally:
    """What the newest builds of a search have: how many there are, and the counts over them."""

    builds: int = 0
    ports: tuple[Count, ...] = ()
    symptoms: tuple[Count, ...] = ()
    found: tuple[Count, ...] = ()


def tally(connection: Connection, wanted: Wanted) -> Tally:
    """Count over the newest builds that are wanted."""
    these = archive.ids(connection, wanted, COUNTED)
    return Tally(
        len(these),
        tuple(archive.on_ports(connection, these)),
        tuple(archive.with_symptom(connection, these)),
        tuple(archive.with_finding(connection, these)),
    )


def narrowed(counts: Tally, asked: Address) -> Narrowed:
    """The picks, each an address; one that is taken leads back."""
    ports = sorted(counts.ports, key=lambda c: -c.builds)[:PORTS]
    links = [
        *(_on_port(c, asked) for c in ports),
        *(
            _pick("symptom", SYMPTOMS[c.name], c, asked.symptom, asked)
            for c in counts.symptoms[:OTHERS]
        ),
        *(
            _pick("finding", finding_says(c.name), c, asked.finding, asked)
            for c in counts.found[:OTHERS]
        ),
    ]
    return Narrowed(counts.builds, counts.builds == COUNTED, tuple(links))


def usually(counts: Tally, name: str) -> Usually:
    """What is on which port of these boards, whatever the search is narrowed to."""
    shares = (_share(count, counts.builds) for count in _by_port(counts.ports))
    wrong = tuple((finding_says(c.name), c.builds) for c in counts.found[:WRONG])
    return Usually(name, counts.builds, tuple(shares), wrong)


def _by_port(counts: Sequence[Count]) -> list[Count]:
    """The commonest device of each port, ports in the order of their names."""
    ports: dict[str, list[Count]] = defaultdict(list)
    for count in counts:
        ports[count.port].append(count)
    return [max(found, key=lambda c: c.builds) for _, found in sorted(ports.items())]


def _share(count: Count, of: int) -> DeviceShare:
    low, high = wilson(count.builds, of)
    return DeviceShare(
        count.port, count.name.capitalize(), count.builds, round(100 * low), round(100 * high)
    )


def _on_port(count: Count, asked: Address) -> Link:
    taken = (asked.port, asked.device) == (count.port, count.name)
    to = ("", "") if taken else (count.port, count.name)
    address = asked.address(port=to[0], device=to[1], before=0)
    return f"{count.name.capitalize()} on {count.port}", count.builds, address, taken


def _pick(name: str, label: str, count: Count, chosen: str, asked: Address) -> Link:
    taken = chosen == count.name
    other: dict[str, str | int] = {name: "" if taken else count.name, "before": 0}
    address = asked.address(**other)
    return label, count.builds, address, taken
