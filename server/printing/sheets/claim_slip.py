"""The slip the customer takes home: what was left, what was said, what it may cost, when."""

from dataclasses import dataclass
from typing import ClassVar

from server.printing.sheets.base import Printed
from server.printing.sheets.parts import PriceLine, SheetHead


@dataclass(frozen=True, kw_only=True)
class ClaimSlip(Printed):
    """`words` are the customer's own, `promised` a text such as 'Fri 27 Nov, 17:00'."""

    template: ClassVar[str] = "claim_slip"
    shop: SheetHead
    ticket: str
    date: str
    customer: str
    phone: str
    craft: str
    board: str
    trouble: tuple[str, ...]
    words: str
    handed_in: tuple[str, ...]
    condition: tuple[str, ...]
    promised: str
    estimate: tuple[PriceLine, ...]
    total: str
    terms: str
    status_url: str

    def title(self) -> str:
        return f"Claim slip {self.ticket}, {self.craft}"

    def code(self) -> str:
        return self.status_url
