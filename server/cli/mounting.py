"""`quadwright mounting`: how the board sits in the craft."""

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from server.cli.answer import (
    AsJson,
    Document,
    Unreadable,
    finish,
    read_file,
    refusals,
    rules,
    severity_code,
)

if TYPE_CHECKING:
    from server.cli.text import Terminal

FACES = "the part of the on-screen craft that points at the ground"


def command(
    level: Annotated[str | None, typer.Option(metavar="FACE", help=f"Held level: {FACES}.")] = None,
    nose_down: Annotated[
        str | None, typer.Option(metavar="FACE", help=f"Held nose down: {FACES}.")
    ] = None,
    right_down: Annotated[
        str | None, typer.Option(metavar="FACE", help=f"Held right side down: {FACES}.")
    ] = None,
    readings: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Accelerometer readings instead of faces.")
    ] = None,
    json: AsJson = False,
) -> None:
    """The mounting correction, from faces that were seen or readings that were taken. FACE is one
    of nose, tail, left, right, top, bottom."""
    from server.trade.mounting.solver import from_faces, from_readings
    from server.trade.solving import read_document

    faces = (level, nose_down, right_down)
    with refusals(json):
        if readings and any(face is not None for face in faces):
            raise Unreadable("--readings", "Give faces or readings, not both.")
        if readings:
            found = from_readings(read_document(read_file(readings)))
        else:
            found = from_faces(*faces)
    document = found.as_json()
    finish(document | rules(), severity_code(document["findings"]), json, layout)


def layout(out: "Terminal", document: Document) -> None:
    """The mounting correction."""
    out.bold(_triple(document))
    if not document["squared"]:
        out.line("The readings fit no mounting in steps of 45°; this is the fit itself.")
    if document["residual_deg"]:
        out.line(f"Left over: {document['residual_deg']:.2f}°")
    for other in document["alternatives"]:
        out.line(f"  the same: {_triple(other)}")
    seen = ", ".join(f"{pose} {face}" for pose, face in document["check"].items())
    out.line(f"Before the correction the screen shows: {seen}")
    out.findings(document["findings"])


def _triple(angles: Document) -> str:
    return ", ".join(f"{axis} {angles[axis]:g}°" for axis in ("roll", "pitch", "yaw"))
