"""What it may cost, or what it did: the same sheet as estimate and as bill."""

from dataclasses import dataclass
from typing import ClassVar, Literal

from server.printing.sheets.base import Printed
from server.printing.sheets.parts import PriceLine, SheetHead, Total


@dataclass(frozen=True, kw_only=True)
class EstimateSheet(Printed):
    """`agreed` says who agreed to it, when, how and up to what; empty leaves a line to sign."""

    template: ClassVar[str] = "estimate_sheet"
    kind: Literal["Estimate", "Bill"] = "Estimate"
    shop: SheetHead
    number: str
    ticket: str
    date: str
    customer: str
    phone: str
    craft: str
    lines: tuple[PriceLine, ...]
    totals: tuple[Total, ...]
    agreed: str = ""
    notes: tuple[str, ...] = ()

    def title(self) -> str:
        return f"{self.kind} {self.number}, {self.craft}"
