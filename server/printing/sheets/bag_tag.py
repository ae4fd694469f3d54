"""The label on the bag: scanned, or read from two metres."""

from dataclasses import dataclass
from typing import ClassVar, Literal

from server.printing.sheets.base import Printed

Label = Literal["62mm", "57x32mm"]


@dataclass(frozen=True, kw_only=True)
class BagTag(Printed):
    """On 62 mm continuous label (as long as it needs) or on a 57 × 32 mm one.

    Texts that are too long for their lines end in '…'. `paper` is not used.
    """

    template: ClassVar[str] = "bag_tag"
    size: Label = "62mm"
    ticket: str
    craft: str
    customer: str
    promised: str
    ticket_url: str

    def title(self) -> str:
        return f"Bag tag {self.ticket}"

    def code(self) -> str:
        return self.ticket_url
