"""A sheet as a draughtsman sees it: parts with leads in blocks, pads in groups, wires between.

Nothing here knows a coordinate; the layouts do.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from server.trade.planner.outcome import Move
from server.trade.sheet import Board, Device, Link, Pad, Sheet

State = Literal["plain", "new", "gone"]

SHAPE_OF_PAD = {"tx": "talk", "rx": "listen", "power": "power", "ground": "ground"}
SHAPE_OF_PAD |= {"motor": "motor"}
# Which way data goes on a lead that belongs to no serial link, seen from the device.
FROM_BOARD, TO_BOARD = ("led", "buzzer", "camera"), ("analogue",)


@dataclass(frozen=True, slots=True)
class Run:
    """One wire: where from, where to, and whether it was there before."""

    device: str
    lead: str
    pad: str
    state: State = "plain"


@dataclass(frozen=True, slots=True)
class DrawnLead:
    """One soldering point of a device. `way`: to-board, from-board, both, or none for supply."""

    device: str
    name: str
    shape: str
    way: str
    used: bool = True
    known: bool = True
    runs: tuple[Run, ...] = ()

    @property
    def supply(self) -> bool:
        """Whether it carries power or ground, and so ends in a flag."""
        return self.shape in ("power", "ground")


Block = tuple[DrawnLead, ...]


@dataclass(frozen=True, slots=True)
class DrawnPart:
    """One box: a device, or a name that wires use and no device has (`known` false)."""

    name: str
    subtitle: str
    blocks: tuple[Block, ...]
    known: bool = True

    @property
    def shown(self) -> str:
        """The name as a title; the part without a name is the ESC."""
        return self.name[:1].upper() + self.name[1:] or "ESC"

    @property
    def leads(self) -> tuple[DrawnLead, ...]:
        """All leads, top to bottom."""
        return tuple(lead for block in self.blocks for lead in block)


@dataclass(frozen=True, slots=True)
class PadGroup:
    """Pads that stay together: those of one port, talking ones first, or one pad alone."""

    port: str | None
    pads: tuple[Pad, ...]


@dataclass(frozen=True)
class Model:
    """All that is drawn. `gone` are wires a change takes away; the ESC's have no device's name."""

    board: Board
    parts: tuple[DrawnPart, ...]
    groups: tuple[PadGroup, ...]
    outputs: dict[str, str]
    esc_says: str
    new_outputs: frozenset[str] = frozenset()
    gone: tuple[Run, ...] = ()

    @cached_property
    def changed(self) -> bool:
        """Whether wires are new or taken away."""
        runs = (run for part in self.parts for lead in part.leads for run in lead.runs)
        return bool(self.gone or self.new_outputs) or any(run.state == "new" for run in runs)

    @cached_property
    def pads(self) -> dict[str, Pad]:
        """Pads by name."""
        return {pad.pad: pad for pad in self.board.pads}

    @cached_property
    def wired(self) -> frozenset[str]:
        """Names of pads that a wire or an output goes to."""
        runs = (run.pad for part in self.parts for lead in part.leads for run in lead.runs)
        return frozenset(runs) | frozenset(self.outputs.values())

    def shape(self, pad: str) -> str:
        """The sign of a pad; dashed for one that the board does not have."""
        return SHAPE_OF_PAD.get(self.pads[pad].signal, "pill") if pad in self.pads else "unknown"


def read(sheet: Sheet, changes: Iterable[Move] = ()) -> Model:
    """The model of a sheet, after `changes` where there are any."""
    every = tuple(changes)
    moves = tuple(move for move in every if not move.channel)
    runs = _runs(sheet, moves)
    gone = tuple(
        Run("" if m.channel else m.device, m.lead, m.start, "gone")
        for m in every
        if m.start is not None
    )
    channels = {m.lead: m.end for m in every if m.channel}
    outputs = {c: p for c, p in (sheet.esc.outputs | channels).items() if p is not None}
    known = {device.device for device in sheet.devices}
    strangers = dict.fromkeys(run.device for run in runs if run.device not in known)
    return Model(
        board=sheet.board,
        parts=(
            *(_part(device, runs) for device in sheet.devices),
            *(_stranger(name, runs) for name in strangers),
        ),
        groups=_groups(sheet.board),
        outputs=outputs,
        new_outputs=frozenset(c for c, pad in channels.items() if pad is not None),
        esc_says=esc_says(sheet),
        gone=gone,
    )


def _runs(sheet: Sheet, moves: tuple[Move, ...]) -> tuple[Run, ...]:
    taken = {(m.device, m.lead, m.start) for m in moves}
    added = [Run(m.device, m.lead, m.end, "new") for m in moves if m.end is not None]
    kept = [Run(w.device, w.lead, w.pad) for w in sheet.wires]
    new = {(run.device, run.lead, run.pad) for run in added}
    stay = (r for r in kept if (r.device, r.lead, r.pad) not in taken | new)
    return tuple(dict.fromkeys([*stay, *added]))


def esc_says(sheet: Sheet) -> str:
    """What the ESC is set to, in a few words."""
    esc = sheet.esc
    link = esc.set_to or (esc.speaks[0] if len(esc.speaks) == 1 else "link not set")
    return f"{link}, feedback" if esc.use_feedback else link


def protocol(link: Link) -> str:
    """The protocol in force on a link, or that none is chosen."""
    return link.set_to or (link.speaks[0] if len(link.speaks) == 1 else "not set")


def subtitle(device: Device) -> str:
    """Model and protocols in use, or the kind where there is neither."""
    spoken = [protocol(link) for link in device.links if link.in_use]
    kind = "" if device.kind.casefold() == device.device.casefold() else device.kind
    return ", ".join(part for part in (device.model or kind, *dict.fromkeys(spoken)) if part)


def _part(device: Device, runs: tuple[Run, ...]) -> DrawnPart:
    blocks = [_block(device.device, link, runs) for link in device.links]
    for plain in device.leads:
        way = "from-board" if plain.signal in FROM_BOARD else "both"
        way = "to-board" if plain.signal in TO_BOARD else way
        blocks.append((DrawnLead(device.device, plain.lead, "pill", way),))
    named = {lead.name for block in blocks for lead in block} | {device.power, device.ground}
    blocks += _strange_leads(device.device, named, runs)
    supply = ((device.power, "power"), (device.ground, "ground"))
    last = tuple(DrawnLead(device.device, n, shape, "none") for n, shape in supply if n is not None)
    blocks = [_wire_up(block, runs) for block in (*blocks, last) if block]
    return DrawnPart(device.device, subtitle(device), tuple(blocks))


def _block(device: str, link: Link, runs: tuple[Run, ...]) -> Block:
    ends = ((link.tx, "talk", "to-board"), (link.rx, "listen", "from-board"))
    both = (link.one_wire, "both", "both")
    return tuple(
        DrawnLead(device, name, shape, way, used=link.in_use)
        for name, shape, way in (*ends, both)
        if name is not None
    )


def _strange_leads(device: str, named: set[str | None], runs: tuple[Run, ...]) -> list[Block]:
    names = dict.fromkeys(r.lead for r in runs if r.device == device and r.lead not in named)
    return [(DrawnLead(device, name, "unknown", "both", known=False),) for name in names]


def _stranger(name: str, runs: tuple[Run, ...]) -> DrawnPart:
    blocks = [_wire_up(block, runs) for block in _strange_leads(name, set(), runs)]
    return DrawnPart(name, "not among the parts", tuple(blocks), known=False)


def _wire_up(block: Block, runs: tuple[Run, ...]) -> Block:
    def wired(lead: DrawnLead) -> DrawnLead:
        mine = tuple(r for r in runs if (r.device, r.lead) == (lead.device, lead.name))
        return DrawnLead(lead.device, lead.name, lead.shape, lead.way, lead.used, lead.known, mine)

    return tuple(wired(lead) for lead in block)


def _groups(board: Board) -> tuple[PadGroup, ...]:
    groups: dict[tuple[str, str], list[Pad]] = {}
    for pad in board.pads:
        key = ("port", pad.port) if pad.port is not None else ("pad", pad.pad)
        groups.setdefault(key, []).append(pad)
    rank = {port.port: i for i, port in enumerate(board.ports)}
    made = [
        PadGroup(
            name if kind == "port" else None, tuple(sorted(pads, key=lambda p: p.signal != "tx"))
        )
        for (kind, name), pads in groups.items()
    ]
    return tuple(sorted(made, key=lambda g: rank.get(g.port or "", len(rank))))


def is_wire(model: Model, lead: DrawnLead, run: Run) -> bool:
    """Whether a run is drawn as a wire: signal to signal, the ESC's to motor pads; else a flag."""
    if lead.supply or not lead.used:
        return False
    shape = model.shape(run.pad)
    return shape == "motor" if lead.shape == "motor" else shape in ("talk", "listen", "pill")


def routed(model: Model, lead: DrawnLead) -> tuple[str, ...]:
    """Pads that a lead is drawn to with a wire."""
    return tuple(run.pad for run in lead.runs if is_wire(model, lead, run))
