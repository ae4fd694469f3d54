"""The leads at the side of the map: parts, links and leads as the template draws them."""

from dataclasses import dataclass

from server.drawing.port_diagram.table_text import PortTableRow
from server.trade.sheet import PACK, Board, Device, Pad, Sheet
from server.trade.wiring.leads import LeadView
from server.work.port_map.edit import Slot, slots, strays

Option = tuple[str, str]
_SAYS = {"tx": "talks", "rx": "listens", "one_wire": "both ways", "ground": ""}


@dataclass(frozen=True)
class LeadField:
    """One select. `name` is the form field, `sign` the mark beside it."""

    name: str
    lead: str
    says: str
    sign: str
    pad: str
    fits: tuple[Option, ...]
    others: tuple[Option, ...]
    wrong: bool


@dataclass(frozen=True)
class LinkField:
    """A link's protocol, and whether this build uses the link."""

    key: str
    role: str
    speaks: tuple[str, ...]
    set_to: str
    in_use: bool


@dataclass(frozen=True)
class PartFields:
    """One device at the side; `opened` where something is wrong with it."""

    name: str
    note: str
    wired: str
    opened: bool
    links: tuple[LinkField, ...]
    leads: tuple[LeadField, ...]


def parts(sheet: Sheet, rows: tuple[PortTableRow, ...]) -> tuple[PartFields, ...]:
    """Every part, those at fault first, then in the sheet's order."""
    wrong = faults(sheet, rows)
    by_device: dict[str, list[Slot]] = {part.device: [] for part in sheet.devices}
    for slot in slots(sheet):
        by_device[slot.lead.device.device].append(slot)
    found = [
        _part(n, part, [_lead(s, sheet.board, wrong) for s in by_device[part.device]])
        for n, part in enumerate(sheet.devices)
    ]
    return tuple(sorted(found, key=lambda part: not part.opened))


def faults(sheet: Sheet, rows: tuple[PortTableRow, ...]) -> tuple[str, ...]:
    """Names of the fields that a finding points at."""
    at = {
        (row.part, row.lead, row.pad) for row in rows if row.kind == "lead" and row.findings
    }  # a loose lead has an empty pad here as there
    leads = [
        f"pads[{s.key}]" for s in slots(sheet) if (s.lead.device.device, s.lead.name, s.pad) in at
    ]
    outputs = [f"outputs[{r.lead}]" for r in rows if r.kind == "output" and r.findings]
    return (*leads, *outputs, *(f"strays[{key}]" for key in strays(sheet)))


def outputs(sheet: Sheet, wrong: tuple[str, ...]) -> tuple[LeadField, ...]:
    """The ESC's four channels."""
    board = sheet.board
    fits = tuple((p.pad, pad_says(p, board)) for p in board.pads if p.signal == "motor")
    return tuple(
        LeadField(
            f"outputs[{channel}]",
            f"Motor {channel}",
            "",
            "motor",
            pad,
            fits,
            _unlisted(pad, board, fits),
            f"outputs[{channel}]" in wrong,
        )
        for channel in ("1", "2", "3", "4")
        for pad in (sheet.esc.outputs.get(channel, ""),)
    )


def stray_fields(sheet: Sheet) -> tuple[LeadField, ...]:
    """Wires of no known part: they can only be taken off."""
    return tuple(
        LeadField(
            f"strays[{key}]",
            wire.lead,
            wire.device,
            "other",
            wire.pad,
            ((wire.pad, wire.pad),),
            (),
            True,
        )
        for key, wire in strays(sheet).items()
    )


def wired(sheet: Sheet) -> str:
    """How many leads are on a pad, those of unused links left out."""
    used = [slot for slot in slots(sheet) if slot.lead.in_use]
    ends = [bool(slot.pad) for slot in used]
    ends += [channel in sheet.esc.outputs for channel in ("1", "2", "3", "4")]
    return f"{sum(ends)} of {len(ends)} wired"


def pad_says(pad: Pad, board: Board) -> str:
    """A pad as a select names it: 'R1, UART1 listens'."""
    if pad.signal in ("rx", "tx"):
        return f"{pad.pad}, {pad.port} {'listens' if pad.signal == 'rx' else 'talks'}"
    if pad.signal == "power":
        amps = next((rail.amps for rail in board.rails if rail.rail == pad.rail), None)
        if pad.rail == PACK:
            return f"{pad.pad}, the battery"
        return f"{pad.pad}, rail {pad.rail}" if amps is None else f"{pad.pad}, {amps} A rail"
    if pad.signal == "motor":
        return f"{pad.pad}, motor output {pad.output}"
    return pad.pad if pad.signal == "ground" else f"{pad.pad}, {pad.signal}"


def _part(number: int, part: Device, leads: list[LeadField]) -> PartFields:
    links = tuple(
        LinkField(f"{number}-{n}", link.role, link.speaks, link.set_to or "", link.in_use)
        for n, link in enumerate(part.links)
    )
    note = ", ".join(word for word in (part.maker, part.model) if word) or part.kind
    on = sum(bool(lead.pad) for lead in leads)
    wrong = any(lead.wrong for lead in leads)
    return PartFields(
        part.device, note, f"{on} of {len(leads)} leads wired", wrong, links, tuple(leads)
    )


def _lead(slot: Slot, board: Board, wrong: tuple[str, ...]) -> LeadField:
    lead, name = slot.lead, f"pads[{slot.key}]"
    fits = tuple((p.pad, pad_says(p, board)) for p in board.pads if _fits(lead, p))
    known = {pad for pad, _ in fits}
    others = tuple((p.pad, pad_says(p, board)) for p in board.pads if p.pad not in known)
    unlisted = _unlisted(slot.pad, board, (*fits, *others))
    return LeadField(
        name, lead.name, _says(lead), lead.kind, slot.pad, fits, (*others, *unlisted), name in wrong
    )


def _fits(lead: LeadView, pad: Pad) -> bool:
    if lead.serial:
        return pad.signal in ("rx", "tx") or (pad.signal == "ppm" and lead.kind == "tx")
    return pad.signal == lead.pad_signal


def _says(lead: LeadView) -> str:
    if lead.kind == "power" and lead.device.supply_v is not None:
        low, high = lead.device.supply_v
        return f"{low} to {high}\N{NO-BREAK SPACE}V"
    says = _SAYS.get(lead.kind, lead.kind)
    return says if lead.in_use else f"{says}, not used"


def _unlisted(pad: str, board: Board, listed: tuple[Option, ...]) -> tuple[Option, ...]:
    if not pad or pad in dict(listed):
        return ()
    on_board = next((p for p in board.pads if p.pad == pad), None)
    return ((pad, pad_says(on_board, board) if on_board else f"{pad}, not on this board"),)
