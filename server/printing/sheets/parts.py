"""What several sheets share. Each field is the text as it is to be read, amounts formatted."""

from dataclasses import dataclass
from typing import Literal

from server.printing.sheets.base import Drawing

BENCH_ONLY = (
    "This sheet is a record of what was seen on the bench. It is no airworthiness approval and no"
    " permission to fly. The air rules of the place you fly at, the makers’ sheets and your own"
    " check before each flight come first; ask your aviation authority."
)


@dataclass(frozen=True)
class SheetHead:
    """The head of a sheet: whose it is and how to reach them."""

    name: str
    address: tuple[str, ...] = ()
    phone: str = ""


@dataclass(frozen=True)
class PriceLine:
    """A line of an estimate or a bill: '1.5 h', '40.00', '60.00'."""

    text: str
    amount: str
    quantity: str = ""
    each: str = ""


@dataclass(frozen=True)
class Total:
    """A line under the prices: sum, tax, deposit, paid, owed. The one that counts is strong."""

    text: str
    amount: str
    strong: bool = False


@dataclass(frozen=True)
class Panel:
    """A signal word with what it says: the hazard first, then what to do (ANSI Z535.6 use)."""

    word: Literal["WARNING", "CAUTION", "NOTICE"]
    says: str


@dataclass(frozen=True)
class Marked:
    """A finding with its number on the drawing, and how it was settled ('' where it was not)."""

    kind: Literal["stop", "caution", "note"]
    number: str
    says: str
    settled: str = ""


@dataclass(frozen=True)
class Verify:
    """Where a signed log is checked. `digest` is whole; `fingerprint` is the key's, as read."""

    url: str
    log: str
    digest: str
    fingerprint: str
    signed_by: str
    signed_on: str


@dataclass(frozen=True)
class PortLine:
    """One row of the port map: 'R1 from TX', 'T1 to RX'."""

    port: str
    device: str
    protocol: str
    line: str
    hears: str
    talks: str


@dataclass(frozen=True)
class PortMap:
    """The wide drawing and its same as a table."""

    revision: str
    drawing: Drawing
    rows: tuple[PortLine, ...]
    findings: tuple[Marked, ...] = ()
