"""The sheet that goes home with a quad that was not set up: what remains unsafe comes first."""

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
)

RETURNED_WARNING = Panel(
    "WARNING",
    "This craft was not set up and not proven. Motors can start, or turn the wrong way, when a"
    " battery is connected. Keep the propellers off and do not fly it until what is listed here"
    " is put right and tested.",
)


@dataclass(frozen=True, kw_only=True)
class ReturnedSheet(Printed):
    """`unsafe` is what remains as found; `reason` why it is returned unrepaired."""

    template: ClassVar[str] = "returned_sheet"
    shop: SheetHead
    ticket: str
    collected_by: str
    collected_on: str
    craft: str
    board: str
    reason: str
    to_pay: str
    unsafe: tuple[Marked, ...]
    was_done: tuple[str, ...]
    not_done: tuple[str, ...]
    given_back: tuple[str, ...]
    prices: tuple[PriceLine, ...] = ()
    totals: tuple[Total, ...] = ()
    handed_over_by: str
    kept_back: tuple[str, ...] = ()
    signature: Drawing | None = None
    status_url: str = ""
    port_map: PortMap | None = None
    warning: Panel = RETURNED_WARNING
    record: str = BENCH_ONLY

    def title(self) -> str:
        return f"Returned unrepaired {self.ticket}, {self.craft}"

    def code(self) -> str:
        return self.status_url
