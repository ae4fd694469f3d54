"""`quadwright export`: everything signed, as files."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from server.cli.answer import FINE, AsJson, Document, finish, refusals

if TYPE_CHECKING:
    from server.cli.text import Terminal


def command(
    folder: Annotated[Path, typer.Argument(help="A folder for the files; made if need be.")],
    json: AsJson = False,
) -> None:
    """Every signed log, key list and head as files, to be checked without the shop."""
    from server.cli.shop_files import export

    with refusals(json):
        document = export(folder)
    finish(document, FINE, json, layout)


def layout(out: "Terminal", document: Document) -> None:
    """What was written where."""
    written = f"{document['logs']} logs, {document['lists']} key lists, {document['heads']} heads"
    out.line(f"{written} in {document['folder']}")
