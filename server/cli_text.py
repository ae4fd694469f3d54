"""The answers of the command line as text to be read."""

from typing import Any

from rich.console import Console
from rich.table import Table
from rich.text import Text

Document = dict[str, Any]

STYLES = {"stop": "bold red", "caution": "yellow", "note": "cyan"}
PORT_HEADS = ("port", "device", "role", "protocol", "line", "board hears", "board talks")
BARRED = {
    "power": "Connect nothing till then, the USB lead included.",
    "battery": "Connect no battery till then, through a limiter or not.",
}


def _console() -> Console:
    return Console(highlight=False, markup=False, emoji=False, soft_wrap=True)


def check(document: Document) -> None:
    """Each sheet with its findings."""
    out = _console()
    for sheet in document["sheets"]:
        out.print(Text(sheet["file"], style="bold"))
        if "error" in sheet:
            out.print(f"  cannot be read, at {sheet['error']['at']}: {sheet['error']['says']}")
        else:
            _findings(out, sheet["findings"])
    out.print(f"Rules {document['rules']}", style="dim")


def _findings(out: Console, findings: list[Document]) -> None:
    if not findings:
        out.print("  No findings.")
    for finding in findings:
        head = Text("  ").append(finding["severity"], STYLES[finding["severity"]])
        out.print(head.append(f"  {finding['subject']}  ({finding['code']})"))
        out.print(f"    {finding['says']}")
        if finding["bars"] in BARRED:
            out.print(f"    {BARRED[finding['bars']]}", style="bold")
        out.print(f"    Do: {finding['do']}")
        out.print(f"    Source: {finding['source']}", style="dim")


def plan(document: Document) -> None:
    """The port map, then what to move, to set, and what is left."""
    out = _console()
    _ports(out, document["ports"])
    for title, rows, line in (
        ("Move", document["moves"], "{device}, lead {lead}: {from} → {to}"),
        ("Set", document["changes"], "{device}, {setting}: {from} → {to}"),
        ("Unsolved", document["unsolved"], "{device}, {part}: {why}"),
    ):
        out.print(Text(title, style="bold"))
        for row in rows:
            out.print("  " + line.format(**{k: "none" if v is None else v for k, v in row.items()}))
        if not rows:
            out.print("  nothing")


def _ports(out: Console, rows: list[Document]) -> None:
    table = Table(*PORT_HEADS, box=None, pad_edge=False)
    for row in rows:
        cells = [row["port"], row["device"] or row["taken_by"] or "free"]
        cells += [row["role"], row["protocol"], row["line"]]
        cells += [_joint(row["hears_pad"], row["hears_lead"])]
        cells += [_joint(row["talks_pad"], row["talks_lead"])]
        table.add_row(*(Text(cell or "") for cell in cells))
    out.print(table, soft_wrap=False)


def _joint(pad: str | None, lead: str | None) -> str:
    return f"{pad} from {lead}" if pad and lead else ""


def card(document: Document) -> None:
    """The bench card, stage by stage."""
    out = _console()
    for stage in document["stages"]:
        out.print(Text(f"\n{stage['number']}  {stage['title']}", style="bold"))
        for step in stage["steps"]:
            _step(out, step)
    if "ends_with" in document:
        out.print(f"\n{document['ends_with']}")


def _step(out: Console, step: Document) -> None:
    out.print(f"\n{step['number']}  {step['title']}  [{', '.join(step['states'])}]")
    if step["hazard"]:
        out.print(f"    {step['hazard']['word']}: {step['hazard']['says']}", style="bold red")
    for line in step["do"]:
        out.print(f"    - {line}")
    out.print(f"    Target: {step['target']}")
    out.print(f"    Why: {step['why']}")
    out.print(f"    Evidence: {step['evidence']['kind']}")
    out.print(f"    Source: {step['source']}", style="dim")


def align(document: Document) -> None:
    """The mounting correction."""
    out = _console()
    out.print(Text(_triple(document), style="bold"))
    if not document["squared"]:
        out.print("The readings fit no mounting in steps of 45°; this is the fit itself.")
    if document["residual_deg"]:
        out.print(f"Left over: {document['residual_deg']:.2f}°")
    for other in document["alternatives"]:
        out.print(f"  the same: {_triple(other)}")
    seen = ", ".join(f"{pose} {face}" for pose, face in document["check"].items())
    out.print(f"Before the correction the screen shows: {seen}")
    _findings(out, document["findings"])


def _triple(angles: Document) -> str:
    return ", ".join(f"{axis} {angles[axis]:g}°" for axis in ("roll", "pitch", "yaw"))


def spin(document: Document) -> None:
    """What each output drives and what to do about it."""
    out = _console()
    for output, corner in document["table"].items():
        out.print(f"output {output}  {corner or 'unknown'}{_marks(document, int(output))}")
    out.print(Text(document["verdict"]["says"], style="bold"))
    _findings(out, document["findings"])


def _marks(document: Document, output: int) -> str:
    marks = [word for word in ("reverse", "dead", "doubled") if output in document[word]]
    to = document["exchange"].get(str(output))
    marks += [f"belongs on output {to}"] if to else []
    return f"  ({', '.join(marks)})" if marks else ""


def endpoints(document: Document) -> None:
    """What to change in the radio, and the arming ranges."""
    out = _console()
    for row in document["channels"]:
        out.print(f"{row['channel']}  {row.get('refused') or _ends(row)}")
    for row in document["switches"]:
        out.print(f"{row['switch']}  {row.get('refused') or _range(row)}")
    _findings(out, document["findings"])


def _ends(row: Document) -> str:
    turn = ", reversed" if row["reverse"] else ""
    low, high = row["low_percent"], row["high_percent"]
    reads = "/".join(f"{reading:g}" for reading in row["reads"])
    return f"trim {row['trim_us']:+g} µs, low {low:g} %, high {high:g} %{turn}; reads {reads} µs"


def _range(row: Document) -> str:
    low, high = row["range"]["low"], row["range"]["high"]
    return f"armed from {low:g} to {high:g} µs, margin {row['margin_us']:g} µs"


def verify(document: Document) -> None:
    """Each log, then how they hang together."""
    out = _console()
    for log in document["logs"]:
        out.print(Text(log["file"], style="bold"))
        if "error" in log:
            out.print(f"  cannot be read, at {log['error']['at']}: {log['error']['says']}")
            continue
        out.print(f"  log {log['number']}, ticket {log['ticket']}, signed {log['signed_at']}")
        out.print(f"  by {log['signer'] or log['claims']}, key {log['fingerprint']}")
        _problems(out, log["problems"], "nothing changed since it was signed")
    for other in document["others"]:
        out.print(Text(f"{other['file']} ({other['kind']})", style="bold"))
        _problems(out, other["problems"], other["says"])
    if document["logs"]:
        out.print(Text("The row", style="bold"))
        _problems(out, document["problems"], "each log follows the one before it")
    if first := document["first"]:
        where = f"{first['file']}, at {first['at']}" if first["file"] else first["at"]
        out.print(f"The first thing wrong: {where}: {first['says']}", style="bold red")
    for note in document["notes"]:
        out.print(f"  {note}", style="dim")


def _problems(out: Console, problems: list[Document], fine: str) -> None:
    if not problems:
        out.print(f"  {fine}")
    for problem in problems:
        out.print(f"  {problem['at']}: {problem['says']}", style="bold red")


def export(document: Document) -> None:
    """What was written where."""
    out = _console()
    written = f"{document['logs']} logs, {document['lists']} key lists, {document['heads']} heads"
    out.print(f"{written} in {document['folder']}")


def recheck(document: Document) -> None:
    """How many builds were looked at, then what is new, by board."""
    out = _console()
    out.print(f"Rules {document['rules_version']}, signed builds: {document['looked']}")
    if not document["new"]:
        out.print("  Nothing new.")
    board = None
    for row in document["new"]:
        if row["board"] != board:
            board = row["board"]
            out.print(Text(board, style="bold"))
        head = Text("  ").append(row["severity"], STYLES[row["severity"]])
        out.print(head.append(f"  {row['subject']}  ({row['code']})"))
        out.print(f"    {row['says']}")
        out.print(f"    Ticket {row['ticket']:04d}, {row['craft']}, {row['customer']}")


LAYOUTS = {
    layout.__name__: layout
    for layout in (check, plan, card, align, spin, endpoints, verify, export, recheck)
}
