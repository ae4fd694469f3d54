"""`quadwright check`: what is wrong with build sheets."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from server.cli.answer import (
    UNREADABLE,
    AsJson,
    Document,
    Unreadable,
    error_of,
    finish,
    read_sheet,
    rules,
    severity_code,
)

if TYPE_CHECKING:
    from server.cli.text import Terminal


def command(
    sheets: Annotated[list[Path], typer.Argument(metavar="SHEET", help="Build sheets.")],
    json: AsJson = False,
) -> None:
    """What is wrong with sheets. One that cannot be read does not keep back the others."""
    rows = [_checked(path) for path in sheets]
    found = [finding for row in rows for finding in row.get("findings", [])]
    code = UNREADABLE if any("error" in row for row in rows) else severity_code(found)
    finish(rules() | {"sheets": rows}, code, json, layout)


def _checked(path: Path) -> Document:
    from server.trade.rules import check as findings_of
    from server.trade.sheet import SheetError

    try:
        findings = findings_of(read_sheet(path))
    except (Unreadable, SheetError) as error:
        return {"file": str(path), "error": error_of(error)}
    return {"file": str(path), "findings": [finding.as_json() for finding in findings]}


def layout(out: "Terminal", document: Document) -> None:
    """Each sheet with its findings."""
    out.dim(f"Rules {document['rules']}")
    for sheet in document["sheets"]:
        out.bold(sheet["file"])
        if "error" in sheet:
            out.line(f"  cannot be read, at {sheet['error']['at']}: {sheet['error']['says']}")
        else:
            out.findings(sheet["findings"])
