"""Answers as text to be read: what the commands' layouts are written with."""

from collections.abc import Sequence
from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

Document = dict[str, Any]

BARRED = {
    "power": "Connect nothing till then, the USB cable included.",
    "battery": "Connect no battery till then, through a limiter or not.",
}
STYLES = {"stop": "bold red", "caution": "yellow", "note": "cyan"}


class Terminal:
    """Standard output; names are printed as they are, whatever brackets they hold."""

    def __init__(self) -> None:
        self._console = Console(highlight=False, markup=False, emoji=False, soft_wrap=True)

    def line(self, says: str, style: str = "") -> None:
        """One line in a style of the console's."""
        self._console.print(Text(says, style))

    def bold(self, says: str) -> None:
        """A heading or a verdict."""
        self.line(says, "bold")

    def dim(self, says: str) -> None:
        """What is said beside the answer."""
        self.line(says, "dim")

    def table(self, heads: Sequence[str], rows: Sequence[Sequence[str | None]]) -> None:
        """Columns under heads, wrapped to the terminal."""
        table = Table(*heads, box=None, pad_edge=False)
        for row in rows:
            table.add_row(*(Text(cell or "") for cell in row))
        self._console.print(table, soft_wrap=False)

    def headed(self, finding: Document) -> None:
        """A finding's severity, subject and code."""
        head = Text("  ").append(finding["severity"], STYLES[finding["severity"]])
        self._console.print(head.append(f"  {finding['subject']}  ({finding['code']})"))

    def findings(self, findings: Sequence[Document]) -> None:
        """Each finding with what to do about it."""
        if not findings:
            self.line("  No findings.")
        for finding in findings:
            self.headed(finding)
            self.line(f"    {finding['says']}")
            self.line(f"    Do: {finding['do']}")
            if barred := BARRED.get(finding["bars"]):
                self.line(f"    {barred}", "bold")
            self.dim(f"    Source: {finding['source']}")
