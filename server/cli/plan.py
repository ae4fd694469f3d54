"""`quadwright plan`: the port map as wired, and the moves that clear it."""

from typing import TYPE_CHECKING

from server.cli.answer import AsJson, Document, SheetFile, finish, read_sheet, refusals, sheet_code

if TYPE_CHECKING:
    from server.cli.text import Terminal

PORT_HEADS = ("port", "device", "role", "protocol", "line", "board hears", "board talks")


def command(sheet: SheetFile, json: AsJson = False) -> None:
    """The port map as wired, and the fewest moves that clear every wiring finding."""
    from server.trade.planner import plan as planned

    with refusals(json):
        read = read_sheet(sheet)
    finish(planned(read).as_json(), sheet_code(read), json, layout)


def layout(out: "Terminal", document: Document) -> None:
    """The port map, then what to move, to set, and what is left."""
    out.table(PORT_HEADS, [_port(row) for row in document["ports"]])
    for title, rows, line in (
        ("Move", document["moves"], "{device}, lead {lead}: {from} → {to}"),
        ("Set", document["changes"], "{device}, {setting}: {from} → {to}"),
        ("Unsolved", document["unsolved"], "{device}, {part}: {why}"),
    ):
        out.bold(title)
        for row in rows:
            out.line("  " + line.format(**{k: "none" if v is None else v for k, v in row.items()}))
        if not rows:
            out.line("  nothing")


def _port(row: Document) -> list[str | None]:
    device = row["device"] or row["taken_by"] or "free"
    hears = _joint(row["hears_pad"], row["hears_lead"])
    talks = _joint(row["talks_pad"], row["talks_lead"])
    return [row["port"], device, row["role"], row["protocol"], row["line"], hears, talks]


def _joint(pad: str | None, lead: str | None) -> str:
    return f"{pad} from {lead}" if pad and lead else ""
