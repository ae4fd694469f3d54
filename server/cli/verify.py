"""`quadwright verify`: signed logs from their files alone."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from server.cli.answer import AsJson, Document, finish, refusals

if TYPE_CHECKING:
    from server.cli.text import Terminal


def command(
    logs: Annotated[
        list[Path], typer.Argument(metavar="LOG", help="Logs, folders or ZIP files of them.")
    ],
    keys: Annotated[
        Path | None, typer.Option(help="The shop's key list; it goes before those among the files.")
    ] = None,
    supervisor: Annotated[
        str | None,
        typer.Option(
            "--supervisor", "--lead", help="The supervisor's whole thumbprint, from paper."
        ),
    ] = None,
    head: Annotated[Path | None, typer.Option(help="A signed head of the shop's row.")] = None,
    json: AsJson = False,
) -> None:
    """Signature, content and place in the row of signed logs, from their files alone. Key lists,
    heads and proofs among the files are used."""
    from server.cli.log_files import verify

    with refusals(json):
        document, code = verify(logs, keys, head, supervisor)
    finish(document, code, json, layout)


def layout(out: "Terminal", document: Document) -> None:
    """Each log, then how they hang together."""
    for log in document["logs"]:
        out.bold(log["file"])
        if "error" in log:
            out.line(f"  cannot be read, at {log['error']['at']}: {log['error']['says']}")
            continue
        out.line(f"  log {log['number']}, ticket {log['ticket']}, signed {log['signed_at']}")
        out.line(f"  {_signer(log, document['vouched'])}, key {log['fingerprint']}")
        _problems(out, log["problems"], "nothing changed since it was signed")
    for other in document["others"]:
        out.bold(f"{other['file']} ({other['kind']})")
        _problems(out, other["problems"], other["says"])
    if document["logs"]:
        out.bold("The row")
        _problems(out, document["problems"], "each log follows the one before it")
    if first := document["first"]:
        where = f"{first['file']}, at {first['at']}" if first["file"] else first["at"]
        out.line(f"The first thing wrong: {where}: {first['says']}", "bold red")
    elif not document["vouched"] and not any("error" in log for log in document["logs"]):
        out.line(f"Nothing wrong was found, {document['checked']}.", "bold yellow")
    for note in document["notes"]:
        out.dim(f"  {note}")


def _signer(log: Document, vouched: bool) -> str:
    if log["signer"] is None:
        return f"says that it is by {log['claims']}"
    return f"by {log['signer']}" if vouched else f"by {log['signer']} (nobody vouched for that)"


def _problems(out: "Terminal", problems: list[Document], fine: str) -> None:
    if not problems:
        out.line(f"  {fine}")
    for problem in problems:
        out.line(f"  {problem['at']}: {problem['says']}", "bold red")
