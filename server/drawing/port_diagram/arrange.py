"""Rows of leads and pads down one side, so that a wire finds its pad at its own height.

Devices that share a port or pad form a cluster. Within it the order of devices with the fewest
crossings is taken; a link's pads are put beside its leads, and boxes stretch to let them.
"""

from collections.abc import Iterable, Sequence
from itertools import permutations

from server.drawing.port_diagram.geometry import (
    BLOCK_GAP,
    BOX_GAP,
    FIRST,
    LAST,
    PITCH,
    Box,
    RoutingChannel,
    Side,
    pair,
)
from server.drawing.port_diagram.model import Block, DrawnPart, Model, PadGroup, routed
from server.drawing.port_diagram.routing import route

TRIED = 4  # clusters up to this size are tried in every order


class Cluster:
    """Parts that share pads, and those pads' groups in the board's order."""

    def __init__(self, model: Model, parts: list[DrawnPart], groups: list[PadGroup]) -> None:
        self.parts = sorted(parts, key=lambda part: _rank(model, part))
        self.groups = groups
        self.rank = min((_rank(model, part) for part in parts), default=(1e9, 0.0))

    def height(self) -> float:
        """About how tall it will be, for balancing two columns."""
        rows = sum(len(part.leads) for part in self.parts)
        return len(self.parts) * (FIRST + LAST + BOX_GAP) + rows * PITCH


def _rank(model: Model, part: DrawnPart) -> tuple[float, float]:
    order = {pad.pad: i for i, group in enumerate(model.groups) for pad in group.pads}
    places = [order[pad] for lead in part.leads for pad in routed(model, lead)]
    mean = sum(places) / len(places) if places else 1e9
    return (min(places, default=1e9), mean)


def clusters(model: Model) -> list[Cluster]:
    """All parts, in clusters, in the order of the board's ports."""
    home = {pad.pad: i for i, group in enumerate(model.groups) for pad in group.pads}
    parts: list[tuple[set[int], list[DrawnPart]]] = []
    for part in model.parts:
        touched = {home[pad] for lead in part.leads for pad in routed(model, lead)}
        joined = [entry for entry in parts if entry[0] & touched]
        parts = [entry for entry in parts if not entry[0] & touched]
        merged = [p for entry in joined for p in entry[1]]
        parts.append((touched.union(*(entry[0] for entry in joined)), [*merged, part]))
    made = [Cluster(model, ps, [model.groups[i] for i in sorted(gs)]) for gs, ps in parts]
    return sorted(made, key=lambda cluster: cluster.rank)


def column(model: Model, groups: Sequence[Cluster], channel: RoutingChannel, top: float) -> Side:
    """One side laid out and routed; `top` is the least y of the first box."""
    order: list[DrawnPart] = []
    for cluster in groups:
        order += _best(model, cluster, channel)
    side = _place(model, order, channel, top)
    route(model, side)
    return side


def _best(model: Model, cluster: Cluster, channel: RoutingChannel) -> Sequence[DrawnPart]:
    if len(cluster.parts) == 1 or len(cluster.parts) > TRIED:
        return cluster.parts
    return min(permutations(cluster.parts), key=lambda order: _cost(model, order, channel))


def _cost(model: Model, order: Sequence[DrawnPart], channel: RoutingChannel) -> tuple[float, ...]:
    side = _place(model, order, channel, 0.0)
    crossings = route(model, side)
    return (len(side.flagged), crossings, len(side.trunks), side.bottom)


def _place(model: Model, order: Iterable[DrawnPart], channel: RoutingChannel, top: float) -> Side:
    side = Side(channel)
    placer = _Placer(model, side, top)
    for part in order:
        placer.add(part)
    return side


class _Placer:
    """Walks down one side with two cursors: the next box's top and the next free pad row."""

    def __init__(self, model: Model, side: Side, top: float) -> None:
        self.model, self.side = model, side
        self.box_top = top
        self.pad_row = top + FIRST
        self.home = {pad.pad: group for group in model.groups for pad in group.pads}

    def add(self, part: DrawnPart) -> None:
        """One box and the pads that belong beside it."""
        rows: dict[str, float] = {}
        row = self.box_top + FIRST
        for block in part.blocks:
            row = self._block(block, row)
            for lead in block:
                rows[lead.name] = row
                row += PITCH
            row += BLOCK_GAP - PITCH
        first = min(rows.values(), default=self.box_top + FIRST)
        last = max(rows.values(), default=first)
        self.side.boxes.append(Box(part, first - FIRST, last + LAST, rows))
        self.box_top = last + LAST + BOX_GAP

    def _block(self, block: Block, row: float) -> float:
        """The row of the block's first lead, its pads placed beside it."""
        pads = [(i, pad) for i, lead in enumerate(block) for pad in routed(self.model, lead)]
        if _crosses(self.model, block):
            self.side.crossed.add(id(block))
        for i, pad in pads:
            group = self.home[pad]
            if group in self.side.groups:
                continue
            start = row + (self._anchor(block, i, group, pad)) * PITCH
            if start < self.pad_row:
                if not self._only_new(block):
                    start = self.pad_row
                else:
                    row, start = row + self.pad_row - start, self.pad_row
            self._put(group, start)
        return row

    def _only_new(self, block: Block) -> bool:
        """Whether no pad of the block is fixed yet, so that the block may still move down."""
        pads = [pad for lead in block for pad in routed(self.model, lead)]
        return all(pad not in self.side.pads for pad in pads)

    def _anchor(self, block: Block, i: int, group: PadGroup, pad: str) -> int:
        """By how many rows the group's first pad lies below the block's first lead."""
        index = [p.pad for p in group.pads].index(pad)
        if id(block) in self.side.crossed:
            i = {0: 1, 1: 0}.get(i, i)
        return i - index

    def _put(self, group: PadGroup, start: float) -> None:
        self.side.groups.append(group)
        for i, pad in enumerate(group.pads):
            self.side.pads[pad.pad] = start + i * PITCH
        self.pad_row = start + (len(group.pads) - 1) * PITCH + BLOCK_GAP


def _crosses(model: Model, block: Block) -> bool:
    """A pair crosses where a lead goes to its opposite and none to its like, or to a flag."""
    ends = pair(block)
    if ends is None or any(lead.runs and not routed(model, lead) for lead in ends):
        return False
    met = [(lead.shape, model.shape(pad)) for lead in ends for pad in routed(model, lead)]
    likes = [a == b for a, b in met if b in ("talk", "listen")]
    return bool(likes) and not any(likes)
