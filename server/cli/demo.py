"""`quadwright demo`: an invented shop."""

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from server.cli.answer import AsJson, Document, refusals, tell


def command(
    folder: Annotated[Path | None, typer.Option(help="Keep the shop in this folder.")] = None,
    port: Annotated[int, typer.Option(help="0 takes a free one.")] = 8000,
    fill_only: Annotated[bool, typer.Option(help="Make the data and stop.")] = False,
    json: AsJson = False,
) -> None:
    """Start a shop of our own invention on 127.0.0.1, and print its sign-ins."""
    from server.cli.running import fill_demo, serve_demo

    with refusals(json), _kept(folder) as place:
        demo = fill_demo(place, port)
        document = demo.as_json()
        tell(document, json, "" if fill_only else _says(document))
        if not fill_only:
            serve_demo(demo)


@contextmanager
def _kept(folder: Path | None) -> Iterator[Path]:
    """The folder that was named, or one that is gone afterwards."""
    if folder is not None:
        yield folder
        return
    with tempfile.TemporaryDirectory(prefix="quadwright-demo-") as name:
        yield Path(name)


def _says(document: Document) -> str:
    people = "\n".join(
        f"  {each['role']:<12} sign in as {each['sign_in']:<10} password: {each['password']}"
        for each in document["people"]
    )
    return (
        f"\nThe demo shop is at {document['address']}\n\n{people}\n\n"
        "Shop, people, makes and crafts are invented. Stop it with Ctrl+C."
    )
