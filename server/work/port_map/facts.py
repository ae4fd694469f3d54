"""What the rules say of a stored sheet. A build never changes, so its facts are worked out once."""

from dataclasses import dataclass
from functools import lru_cache

from server.trade import sheet as sheets
from server.trade.card import Card, derive
from server.trade.finding import Finding, Severity
from server.trade.rules import check
from server.trade.sheet import Sheet


@dataclass(frozen=True)
class SheetFacts:
    """A sheet with its findings and its bench card."""

    sheet: Sheet
    findings: tuple[Finding, ...]
    card: Card

    @property
    def stops(self) -> tuple[Finding, ...]:
        """What has to be put right before the signature."""
        return tuple(f for f in self.findings if f.severity is Severity.STOP)

    @property
    def cautions(self) -> tuple[Finding, ...]:
        """What the supervisor may accept with a reason."""
        return tuple(f for f in self.findings if f.severity is Severity.CAUTION)


@lru_cache(maxsize=512)
def facts_of(sheet_json: str, words: tuple[tuple[str, str], ...] = ()) -> SheetFacts:
    """The facts of a sheet as it is kept in the database. Raises SheetError.

    `words` are the shop's own for its settings, as pairs; they change what a step says, and never
    its basis.
    """
    sheet = sheets.read_json(sheet_json.encode())
    return SheetFacts(sheet, tuple(check(sheet)), derive(sheet, dict(words)))
