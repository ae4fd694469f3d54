"""The rules over a sheet as it is stored, in plain words that pass between processes."""

from typing import NamedTuple

from server.trade.finding import Severity
from server.trade.rules import check
from server.trade.sheet import SheetError, read_json

UNREADABLE = "sheet-unreadable"


class StoredFinding(NamedTuple):
    """One finding, without its way out: the build is signed and stays as it is."""

    code: str
    severity: str
    subject: str
    says: str


def found(sheet_json: str) -> tuple[StoredFinding, ...]:
    """All findings of a stored sheet, each once; a sheet that no longer reads is a stop itself."""
    try:
        sheet = read_json(sheet_json.encode())
    except SheetError as no:
        return (StoredFinding(UNREADABLE, str(Severity.STOP), "sheet", f"{no.at}: {no.says}"),)
    rows = (StoredFinding(f.code, str(f.severity), f.subject, f.says) for f in check(sheet))
    return tuple(dict.fromkeys(rows))
