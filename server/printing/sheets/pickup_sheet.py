"""The sheet that goes home with a quad that was set up: page 1 in the customer's words, then the
port map."""

from dataclasses import dataclass
from typing import ClassVar

from server.printing.sheets.base import Drawing, Printed
from server.printing.sheets.parts import (
    BENCH_ONLY,
    Marked,
    Panel,
    PortMap,
    PriceLine,
    SheetHead,
    Total,
    Verify,
)

# Nothing on the craft is touched before its battery is off. Common practice, no source.
FIRST_FLIGHT = (
    "Read the rules where you fly. Look the quad over.",
    "Propellers off. Plug in the battery, arm, disarm. Arm again and switch the radio off: the"
    " motors stop. Unplug the battery.",
    "At the field, put the propellers on. Keep people well away. Plug in the battery last.",
    "Hover low for half a minute.",
    "Land, disarm and unplug the battery. Only then feel each motor: warm is right, hot is not.",
    "Before you fly higher, see the battery warning and the failsafe message on your screen.",
)

PICKUP_WARNING = Panel(
    "WARNING",
    "Propellers cut, and motors can start: take the propellers off before you connect a battery"
    " indoors. LiPo packs burn: charge with the right cell count, watched, on a fire-safe base,"
    " and never a swollen or damaged pack.",
)


@dataclass(frozen=True)
class Tested:
    """A measured value with its unit, and the limits it was judged by."""

    name: str
    value: str
    limits: str


@dataclass(frozen=True, kw_only=True)
class PickupSheet(Printed):
    """`props` says props-in or props-out and what it looks like; `corners` a line a direction.

    `signature` is the customer's, drawn on the tablet; without one there is a line to sign on.
    """

    template: ClassVar[str] = "pickup_sheet"
    shop: SheetHead
    ticket: str
    collected_by: str
    collected_on: str
    craft: str
    board: str
    radio: str
    to_pay: str
    verify: Verify
    was_wrong: tuple[str, ...]
    was_done: tuple[str, ...]
    motors: Drawing
    props: str
    corners: tuple[str, ...]
    arming: Drawing
    arming_says: str
    tested: tuple[Tested, ...]
    not_done: tuple[str, ...]
    kept_back: tuple[str, ...] = ()
    cautions: tuple[Marked, ...] = ()
    prices: tuple[PriceLine, ...] = ()
    totals: tuple[Total, ...] = ()
    handed_over_by: str
    signature: Drawing | None = None
    port_map: PortMap
    first_flight: tuple[str, ...] = FIRST_FLIGHT
    warning: Panel = PICKUP_WARNING
    record: str = BENCH_ONLY

    def title(self) -> str:
        return f"Pickup sheet {self.ticket}, {self.craft}"

    def code(self) -> str:
        return self.verify.url
