"""`quadwright endpoints`: ends of travel and arming ranges of a radio."""

from collections.abc import Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from server.cli.answer import AsJson, Document, finish, read_file, refusals, rules, severity_code

if TYPE_CHECKING:
    from server.cli.text import Terminal


def command(
    file: Annotated[Path, typer.Argument(metavar="FILE", help="Channels and switches as read.")],
    json: AsJson = False,
) -> None:
    """What the radio must change for 1000, 1500 and 2000 µs, and safe arming ranges."""
    from server.trade.radio.arming import Armed
    from server.trade.radio.ends import solve
    from server.trade.solving import read_document

    with refusals(json):
        found = solve(read_document(read_file(file)))
    document = found.as_json()
    words = {one.switch: one.words for one in found.switches if isinstance(one, Armed)}
    code = severity_code(document["findings"])
    finish(document | rules(), code, json, partial(layout, words))


def layout(words: Mapping[str, str], out: "Terminal", document: Document) -> None:
    """What to change in the radio, and the arming ranges; `words` are those by switch."""
    for row in document["channels"]:
        out.line(f"{row['channel']}  {row.get('refused') or _ends(row)}")
    for row in document["switches"]:
        out.line(f"{row['switch']}  {row.get('refused') or _range(row, words[row['switch']])}")
    out.findings(document["findings"])


def _ends(row: Document) -> str:
    if row["reaches"]:
        return "reaches its ends and its centre: change nothing"
    turn = ", reversed" if row["reverse"] else ""
    low, high = row["low_percent"], row["high_percent"]
    reads = "/".join(f"{reading:g}" for reading in row["reads"])
    return f"trim {row['trim_us']:+g} µs, low {low:g} %, high {high:g} %{turn}; reads {reads} µs"


def _range(row: Document, words: str) -> str:
    return f"arms at {words}, margin {row['margin_us']:g} µs"
