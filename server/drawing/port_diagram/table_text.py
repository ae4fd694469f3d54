"""The same as a port diagram, as rows: for everybody, and for those who hear the page."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from server.drawing.port_diagram.attach import Places
from server.drawing.port_diagram.model import DrawnLead, DrawnPart, Model, read
from server.trade.finding import Finding
from server.trade.sheet import Pad, Sheet

Kind = Literal["part", "lead", "free", "taken", "output", "esc", "board"]

SAYS = {
    "talk": "talks",
    "listen": "listens",
    "both": "talks and listens",
    "power": "power",
    "ground": "ground",
}
WAYS = {"from-board": "from the board", "to-board": "to the board", "both": "both ways"}
SIGNALS = {"tx": "talks", "rx": "listens"}


@dataclass(frozen=True, slots=True)
class PortTableRow:
    """One line: `lead` of `part` does what it `says`, and goes to `pad` of `port`.

    `findings` are numbers from 1. Empty text where there is nothing to say; `note` is the rest.
    """

    kind: Kind
    part: str
    lead: str = ""
    says: str = ""
    pad: str = ""
    port: str = ""
    findings: tuple[int, ...] = ()
    note: str = ""


def port_table(sheet: Sheet, findings: Sequence[Finding]) -> tuple[PortTableRow, ...]:
    """Parts with their leads, then free pads, taken ports, ESC outputs, and what is left over."""
    model = read(sheet)
    places = Places(model, findings)
    rows: list[PortTableRow | None] = [
        r for part in model.parts for r in _part(model, places, part)
    ]
    rows += [_pad(model, places, pad) for pad in model.board.pads]
    rows += [_port(places, port.port, port.taken_by) for port in model.board.ports]
    rows.append(PortTableRow("esc", "ESC", note=model.esc_says, findings=places.at("esc")))
    rows += [_output(model, places, channel) for channel in ("1", "2", "3", "4")]
    kept = [row for row in rows if row is not None]
    told = {n for row in kept for n in row.findings}
    left = tuple(n for n in range(1, len(findings) + 1) if n not in told)
    board = sheet.board
    about = ", ".join(part for part in (board.maker, board.mcu) if part)
    return (*kept, PortTableRow("board", board.model, note=about, findings=left))


def _part(model: Model, places: Places, part: DrawnPart) -> list[PortTableRow]:
    head = PortTableRow(
        "part", part.name, note=part.subtitle, findings=places.at("device", part.name)
    )
    return [head, *(row for lead in part.leads for row in _lead(model, places, lead))]


def _lead(model: Model, places: Places, lead: DrawnLead) -> list[PortTableRow]:
    says = SAYS.get(lead.shape, WAYS.get(lead.way, lead.shape))
    if not lead.known:
        says = "not among its leads"
    own = places.at("lead", lead.device, lead.name)
    unused = "" if lead.used else "not used"
    if not lead.runs:
        note = unused or "not wired"
        return [PortTableRow("lead", lead.device, lead.name, says, findings=own, note=note)]
    rows = []
    for run in lead.runs:
        pad = model.pads.get(run.pad)
        port = pad.port or pad.rail or "" if pad else ""
        numbers = tuple(dict.fromkeys([*own, *places.on_run(run)]))
        note = unused if pad else "the board has no such pad"
        rows.append(
            PortTableRow("lead", lead.device, lead.name, says, run.pad, port, numbers, note)
        )
    return rows


def _pad(model: Model, places: Places, pad: Pad) -> PortTableRow | None:
    """A pad without a wire, or one that carries a finding of its own."""
    numbers = places.at("pad", pad.pad)
    free = pad.pad not in model.wired
    if not free and not numbers and not pad.inverter:
        return None
    says = SIGNALS.get(pad.signal, pad.signal)
    notes = ["free"] if free else []
    notes += ["a fixed inverter sits on this pad"] if pad.inverter else []
    port = pad.port or pad.rail or ""
    return PortTableRow("free", "", "", says, pad.pad, port, numbers, ", ".join(notes))


def _port(places: Places, port: str, taken_by: str | None) -> PortTableRow | None:
    numbers = places.at("port", port)
    if taken_by is None and not numbers:
        return None
    note = f"taken by {taken_by}" if taken_by else ""
    return PortTableRow("taken", "", port=port, findings=numbers, note=note)


def _output(model: Model, places: Places, channel: str) -> PortTableRow:
    pad = model.outputs.get(channel, "")
    note = "" if pad in model.pads else "the board has no such pad" if pad else "not wired"
    numbers = places.at("output", channel)
    return PortTableRow("output", "ESC", channel, "from the board", pad, "", numbers, note)
