"""The build sheet: one quad's electronics in one document, and how it is read and written.

`read_json`, `read_toml` and `from_document` give a `Sheet` or raise `SheetError`, whose `at` is the
place ('board.pads[3].port', or 'line 4 column 7' where the text itself is broken) and whose `says`
is what was found there and what is allowed. Nothing is guessed.
"""

from server.trade.sheet.parts import (
    PACK,
    SPI,
    Battery,
    Board,
    Control,
    Craft,
    Device,
    Esc,
    Lead,
    Link,
    LinkLossPlan,
    Motors,
    Pad,
    Port,
    Rail,
    Sheet,
    Wire,
)
from server.trade.sheet.read import from_document, part_from_document, read_json, read_toml
from server.trade.sheet.types import SheetError
from server.trade.sheet.write import dump_json, to_document

__all__ = [
    "PACK",
    "SPI",
    "Battery",
    "Board",
    "Control",
    "Craft",
    "Device",
    "Esc",
    "Lead",
    "Link",
    "LinkLossPlan",
    "Motors",
    "Pad",
    "Port",
    "Rail",
    "Sheet",
    "SheetError",
    "Wire",
    "dump_json",
    "from_document",
    "part_from_document",
    "read_json",
    "read_toml",
    "to_document",
]
