"""A build at a glance: the board's ports, and what is on each."""

from server.drawing.ink import NAME, THIN, Ink
from server.drawing.port_diagram.model import Model, read
from server.drawing.svg import group, svg
from server.drawing.symbols import hatch
from server.trade.sheet import Sheet

WIDTH, HEAD, ROW = 220.0, 30.0, 22.0
EDGE = 88.0


def mini_map(sheet: Sheet, ids_prefix: str = "", colour: bool = True) -> str:
    """Ports in board order, then single signal pads in use; 220 wide."""
    model, ink = read(sheet), Ink(colour)
    rows = [*_ports(model), *_pads(model)]
    height = HEAD + ROW * len(rows) + 8
    board = ink.rect((3, HEAD - 4, EDGE - 3, height - HEAD), fill="well")
    drawn = [ink.text((3, 18), sheet.board.model, NAME, room=WIDTH - 6), board]
    drawn += [_row(ink, i, *row) for i, row in enumerate(rows)]
    title = "Ports: " + "; ".join(f"{port} {said}" for port, said, _ in rows)
    return svg(WIDTH, height, title, group(drawn), ids_prefix)


def _on(model: Model, pads: set[str]) -> list[str]:
    found = [
        part.name
        for part in model.parts
        for lead in part.leads
        for run in lead.runs
        if run.pad in pads and lead.used
    ]
    return list(dict.fromkeys(found))


def _ports(model: Model) -> list[tuple[str, str, str]]:
    rows = []
    for port in model.board.ports:
        pads = {pad.pad for pad in model.board.pads if pad.port == port.port}
        names = _on(model, pads)
        state = "wired" if names else "taken" if port.taken_by else "free"
        rows.append((port.port, ", ".join(names) or port.taken_by or "free", state))
    return rows


def _pads(model: Model) -> list[tuple[str, str, str]]:
    """Signal pads without a port that a lead goes to."""
    single = ("led", "buzzer", "ppm", "sda", "scl", "camera", "analogue")
    pads = [pad.pad for pad in model.board.pads if pad.signal in single]
    rows = [(pad, ", ".join(_on(model, {pad})), "wired") for pad in pads]
    return [row for row in rows if row[1]]


def _row(ink: Ink, index: int, port: str, said: str, state: str) -> str:
    y = HEAD + ROW * index + 14
    drawn = [ink.text((EDGE - 10, y), port, anchor="end", room=EDGE - 22)]
    if state == "wired":
        drawn.append(ink.circle((EDGE, y - 4.5), 4, "", "ink"))
        drawn.append(ink.line(["M", EDGE, y - 4.5, "h", 20]))
    if state == "taken":
        drawn.append(hatch(ink, (EDGE + 4, y - 11, 14, 13), 5))
    if state == "free":
        drawn.append(ink.circle((EDGE, y - 4.5), 4, weight=THIN + 0.5))
    tone = "ink" if state == "wired" else "soft"
    return group([*drawn, ink.text((EDGE + 26, y), said, tone=tone, room=WIDTH - EDGE - 28)])
