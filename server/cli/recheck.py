"""`quadwright recheck`: every signed build under the rules as they are now."""

from typing import TYPE_CHECKING

from server.cli.answer import AsJson, Document, finish, refusals

if TYPE_CHECKING:
    from server.cli.text import Terminal


def command(json: AsJson = False) -> None:
    """Every signed build under the rules as they are now: what was not found before. Goes on
    where it was stopped."""
    from server.cli.archive import recheck

    with refusals(json):
        document, code = recheck()
    finish(document, code, json, layout)


def layout(out: "Terminal", document: Document) -> None:
    """How many builds were looked at, then what is new, by board."""
    out.line(f"Rules {document['rules']}, signed builds: {document['looked']}")
    if not document["new"]:
        out.line("  Nothing new.")
    board = None
    for row in document["new"]:
        if row["board"] != board:
            board = row["board"]
            out.bold(board)
        out.headed(row)
        out.line(f"    {row['says']}")
        out.line(f"    Ticket {row['ticket']:04d}, {row['craft']}, {row['customer']}")
