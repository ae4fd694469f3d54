"""What every sheet is: frozen values with a paper, a time, a title and perhaps a code."""

import re
from abc import ABC, abstractmethod
from dataclasses import dataclass, fields, is_dataclass
from datetime import datetime
from typing import Any, ClassVar, Literal

from server.printing import typeset
from server.printing.codes import qr_svg
from server.printing.glyphs import BOX, printable, printable_svg

Paper = Literal["a4", "us-letter"]


@dataclass(frozen=True)
class Drawing:
    """An <svg> string from the drawing room, and the words that say what it shows."""

    svg: str
    alt: str

    def units(self) -> float:
        """The width of its viewBox; 0 where it has none."""
        found = re.search(r'viewBox="[-\d.]+ [-\d.]+ ([\d.]+) [\d.]+"', self.svg)
        return float(found[1]) if found else 0.0


@dataclass(frozen=True, kw_only=True)
class Printed(ABC):
    """A sheet. `made` (aware) is the record's own time: same record, same bytes.

    Every text is shown as it is. Characters outside the faces print as a box and, on a page-sized
    sheet, a line at the foot says so (see server/printing/glyphs.py).
    """

    template: ClassVar[str]
    made: datetime
    paper: Paper = "a4"

    @abstractmethod
    def title(self) -> str:
        """The document's title, as a reader's window and a screen reader name it."""

    def code(self) -> str:
        """The address in the sheet's QR code; empty where it has none."""
        return ""

    def values(self) -> dict[str, Any]:
        """What the template gets: JSON-able, every text printable."""
        told: dict[str, Any] = _plain(self)
        told["title"] = printable(self.title())
        told["boxed"] = _has_box(told)
        if self.code():
            told["code"] = {
                "svg": qr_svg(self.code()),
                "alt": f"QR code of {printable(self.code())}",
            }
        return told

    def pdf(self) -> bytes:
        """The sheet as PDF/A-2a, tagged. Raises typeset.PrintError."""
        return typeset.pdf(self.template, self.values(), self.made)

    def pages(self, ppi: float = 144) -> list[bytes]:
        """The sheet as one PNG a page. Raises typeset.PrintError."""
        return typeset.pages(self.template, self.values(), ppi)


def _plain(value: Any) -> Any:
    if isinstance(value, Drawing):
        return {
            "svg": printable_svg(value.svg),
            "alt": printable(value.alt),
            "units": value.units(),
        }
    if is_dataclass(value):
        return {f.name: _plain(getattr(value, f.name)) for f in fields(value)}
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if isinstance(value, str):
        return printable(value)
    return value.isoformat() if isinstance(value, datetime) else value


def _has_box(value: Any) -> bool:
    if isinstance(value, dict):
        return any(_has_box(one) for one in value.values())
    if isinstance(value, list):
        return any(_has_box(one) for one in value)
    return isinstance(value, str) and BOX in value
