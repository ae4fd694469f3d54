"""Pads that no wire fixed, and ports that the board itself uses: into the gaps that are left."""

from collections.abc import Container, Iterable, Sequence

from server.drawing.ink import TEXT
from server.drawing.metrics import wrap
from server.drawing.port_diagram.geometry import BLOCK_GAP, PITCH, Side
from server.drawing.port_diagram.model import PadGroup
from server.trade.sheet import Port

Span = tuple[float, float]


def fill(sides: Sequence[Side], groups: Iterable[PadGroup], top: float) -> None:
    """Put each group on the side where it stands highest, no higher than `top`."""
    for group in groups:
        spots = [(_spot(side, group, top), i) for i, side in enumerate(sides)]
        y, i = min(spots)
        sides[i].groups.append(group)
        for row, pad in enumerate(group.pads):
            sides[i].pads[pad.pad] = y + row * PITCH


def _spot(side: Side, group: PadGroup, top: float) -> float:
    tall = (len(group.pads) - 1) * PITCH
    rows = [y for box in side.boxes for y in box.rows.values()]
    below = [y + gap for y in side.pads.values() for gap in (PITCH, BLOCK_GAP)]
    past = [y + 15 for y in (*side.marked, *(trunk.net.reach[1] for trunk in side.trunks))]
    tried = [top, *rows, *below, *past]
    tried.append(max(tried) + BLOCK_GAP)  # below everything it always fits
    return next(y for y in sorted(tried) if y >= top and _free(side, group, (y, y + tall)))


def _free(side: Side, group: PadGroup, span: Span) -> bool:
    near = PITCH if group.port is None else BLOCK_GAP
    mates = {pad.pad for other in side.groups if other.port for pad in other.pads}
    for name, y in side.pads.items():
        least = BLOCK_GAP if name in mates else near
        if span[0] - least < y < span[1] + least:
            return False
    if group.pads[0].signal not in ("power", "ground") and any(
        span[0] - 14 < y < span[1] + 14 for y in side.marked
    ):
        return False  # 'free' would stand on a mark
    spans = [trunk.net.reach for trunk in side.trunks]
    return not any(span[0] - 14 < bottom and top < span[1] + 14 for top, bottom in spans)


def place_taken(
    ports: Sequence[Port], busy: Sequence[Span], top: float, width: float
) -> list[tuple[Port, Span]]:
    """Top and bottom of each taken port's box: the first gap in the board, or below everything."""
    placed: list[tuple[Port, Span]] = []
    held = list(busy)
    for port in ports:
        tall = 24 + 15 * (1 + len(reason(port, width)))
        tops = sorted([top, *(bottom + 4 for _, bottom in held)])
        y = next(t for t in tops if t >= top and _clear(held, (t, t + tall)))
        held.append((y, y + tall))
        placed.append((port, (y, y + tall)))
    return placed


def reason(port: Port, width: float) -> tuple[str, ...]:
    """Why a port is taken, in at most three lines of a box `width` wide."""
    return wrap(port.taken_by or "", width - 20, TEXT, 3)


def _clear(held: Sequence[Span], span: Span) -> bool:
    return not any(span[0] < bottom and top < span[1] for top, bottom in held)


def label_spans(sides: Sequence[Side], marked: Container[str], every_pad: bool) -> list[Span]:
    """Stretches of the board's inside that names of ports, marks, or all pads take up."""
    spans = []
    for side in sides:
        for group in side.groups:
            ys = [side.pads[pad.pad] for pad in group.pads]
            if every_pad or group.port is not None or group.pads[0].pad in marked:
                spans.append((min(ys) - 12, max(ys) + 12))
    return spans
