"""The pads-to-ports drawing on a sheet of its own, with the same as a table."""

from dataclasses import dataclass
from typing import ClassVar

from server.printing.sheets.base import Printed
from server.printing.sheets.parts import PortMap, SheetHead


@dataclass(frozen=True, kw_only=True)
class PortMapSheet(Printed):
    """For the bench wall or the craft's bag."""

    template: ClassVar[str] = "port_map_sheet"
    shop: SheetHead
    ticket: str
    craft: str
    board: str
    port_map: PortMap

    def title(self) -> str:
        return f"Port map {self.ticket}, {self.craft}, revision {self.port_map.revision}"
