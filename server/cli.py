"""The command line: the same rules and solvers as the pages."""

import sys
from io import TextIOWrapper
from pathlib import Path
from typing import Annotated, Any

import typer

from server.cli_output import (
    UNREADABLE,
    AsJson,
    Commands,
    Unreadable,
    error_of,
    finish,
    read_file,
    read_sheet,
    refusals,
    severity_code,
)

# What a command needs is imported in it: the line is to answer at once, whichever it is.

app = typer.Typer(
    cls=Commands, no_args_is_help=True, add_completion=False, pretty_exceptions_enable=False
)

SheetFile = Annotated[Path, typer.Argument(metavar="SHEET", help="A build sheet, JSON or TOML.")]
FACES = "the part of the on-screen craft that points at the ground"


@app.callback()
def quadwright() -> None:
    """Check, plan and prove the electronics of a quadcopter."""


@app.command()
def check(
    sheets: Annotated[list[Path], typer.Argument(metavar="SHEET", help="Build sheets.")],
    json: AsJson = False,
) -> None:
    """What is wrong with sheets. One that cannot be read does not keep back the others."""
    from server.trade.rules_version import rules_version

    rows = [_checked(path) for path in sheets]
    found = [finding for row in rows for finding in row.get("findings", [])]
    code = UNREADABLE if any("error" in row for row in rows) else severity_code(found)
    finish({"rules": rules_version(), "sheets": rows}, code, json, "check")


def _checked(path: Path) -> dict[str, Any]:
    from server.trade.rules import check as findings_of
    from server.trade.sheet import SheetError

    try:
        findings = findings_of(read_sheet(path))
    except (Unreadable, SheetError) as error:
        return {"file": str(path), "error": error_of(error)}
    return {"file": str(path), "findings": [finding.as_json() for finding in findings]}


@app.command()
def plan(sheet: SheetFile, json: AsJson = False) -> None:
    """The port map as wired, and the fewest moves that clear every wiring finding."""
    from server.trade.planner import plan as planned
    from server.trade.rules import check as findings_of

    with refusals(json):
        read = read_sheet(sheet)
    code = severity_code([finding.as_json() for finding in findings_of(read)])
    finish(planned(read).as_json(), code, json, "plan")


@app.command()
def card(sheet: SheetFile, json: AsJson = False) -> None:
    """The bench card: what to do, in which order and power state, with which evidence."""
    from server.trade.card import derive
    from server.trade.rules import check as findings_of

    with refusals(json):
        read = read_sheet(sheet)
    code = severity_code([finding.as_json() for finding in findings_of(read)])
    finish(derive(read).as_json(), code, json, "card")


@app.command()
def align(
    level: Annotated[str | None, typer.Option(help=f"Held level: {FACES}.")] = None,
    nose_down: Annotated[str | None, typer.Option(help=f"Nose down: {FACES}.")] = None,
    right_down: Annotated[str | None, typer.Option(help=f"Right side down: {FACES}.")] = None,
    readings: Annotated[Path | None, typer.Option(help="Accelerometer readings instead.")] = None,
    json: AsJson = False,
) -> None:
    """How the board sits in the craft, from faces that were seen or readings that were taken."""
    from server.trade.mounting import from_faces, from_readings
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
    finish(document, severity_code(document["findings"]), json, "align")


@app.command()
def spin(
    outputs: Annotated[str, typer.Option(help='As "1=FL:cw,2=RL:ccw,3=none,4=FR:ccw".')],
    props: Annotated[str, typer.Option(help="props-in or props-out.")],
    expect: Annotated[
        str | None, typer.Option(help='The firmware\'s own order, as "1=FL,2=RR,3=RL,4=FR".')
    ] = None,
    json: AsJson = False,
) -> None:
    """What each output drives, what to exchange and to reverse, and what the craft would do."""
    from server.trade.spins import read_order, read_outputs, solve

    with refusals(json):
        order = None if expect is None else read_order(expect)
        document = solve(read_outputs(outputs), props, order).as_json()
    finish(document, severity_code(document["findings"]), json, "spin")


@app.command()
def endpoints(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Channels and switches as read.")],
    json: AsJson = False,
) -> None:
    """What the radio must change for 1000, 1500 and 2000 µs, and safe arming ranges."""
    from server.trade.radio import solve
    from server.trade.solving import read_document

    with refusals(json):
        document = solve(read_document(read_file(file))).as_json()
    finish(document, severity_code(document["findings"]), json, "endpoints")


@app.command()
def verify(
    logs: Annotated[
        list[Path], typer.Argument(metavar="LOG", help="Logs, folders or ZIP files of them.")
    ],
    keys: Annotated[Path | None, typer.Option(help="The shop's key list.")] = None,
    lead: Annotated[str | None, typer.Option(help="The lead's thumbprint, from paper.")] = None,
    head: Annotated[Path | None, typer.Option(help="A signed head of the shop's row.")] = None,
    json: AsJson = False,
) -> None:
    """Signature, content and place in the row of signed logs, from their files alone. Key lists,
    heads and proofs among the files are used."""
    from server.cli_verify import verify as verified

    with refusals(json):
        document, code = verified(logs, keys, head, lead)
    finish(document, code, json, "verify")


@app.command("export")
def export_logs(
    folder: Annotated[Path, typer.Argument(help="A folder for the files; made if need be.")],
    json: AsJson = False,
) -> None:
    """Every signed log, key list and head as files, to be checked without the shop."""
    from server.cli_export import export

    with refusals(json):
        document = export(folder)
    finish(document, 0, json, "export")


@app.command()
def recheck(json: AsJson = False) -> None:
    """Every signed build under the rules as they are now: what was not found before. Goes on
    where it was stopped."""
    from server.cli_recheck import recheck as rechecked

    with refusals(json):
        document, code = rechecked()
    finish(document, code, json, "recheck")


@app.command()
def serve(
    host: Annotated[str, typer.Option(help="The address to listen on.")] = "127.0.0.1",
    port: Annotated[int, typer.Option(help="The port to listen on.")] = 8000,
    workers: Annotated[int, typer.Option(help="How many processes.")] = 1,
) -> None:
    """Serve the shop that the QUADWRIGHT_… settings of the environment name."""
    from server.cli_serve import serve as served

    served(host, port, workers)


@app.command()
def demo(
    folder: Annotated[Path | None, typer.Option(help="Keep it here, not for a while.")] = None,
    port: Annotated[int, typer.Option(help="0 takes a free one.")] = 8000,
    fill_only: Annotated[bool, typer.Option(help="Make the data and stop.")] = False,
) -> None:
    """Start a shop of our own invention on 127.0.0.1, and print its sign-ins."""
    from server.cli_serve import demo as shown

    shown(folder, port, fill_only)


@app.command()
def lead(
    shop_name: Annotated[str, typer.Option(prompt="The shop's name")],
    name: Annotated[str, typer.Option(prompt="Your name")],
    initials: Annotated[str, typer.Option(prompt="Your initials")],
    sign_in: Annotated[str, typer.Option(prompt="Sign-in name")],
    phrase: Annotated[
        str, typer.Option(prompt="Phrase", hide_input=True, confirmation_prompt=True)
    ],
) -> None:
    """Make the shop and its first lead, in a database that has none."""
    from server.cli_serve import first_lead

    first_lead(shop_name, name, initials, sign_in, phrase)


def main() -> None:
    """Run the command line."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):
            # The answer is UTF-8 whatever the terminal's habits; a name that is not stays readable.
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    app()
