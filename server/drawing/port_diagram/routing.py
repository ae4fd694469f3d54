"""Wires between a column of devices and the board's edge, at right angles, on tracks.

Leads and pads joined by wires are one net. A net that is not straight has one upright piece on a
track. Two nets never share a stretch; one that finds no track becomes flags. After the crossing
cell the leads of a right pair have changed places, so the pair itself needs no track.
"""

from collections.abc import Sequence

from server.drawing.port_diagram.geometry import Net, Side, Trunk, pair
from server.drawing.port_diagram.model import DrawnLead, Model, Run, is_wire

CLEAR = 9.0  # least distance between ends of two upright pieces on one track
SAME = 11.0  # rows closer than this are too near to be told apart


def route(model: Model, side: Side) -> int:
    """Fill `side.nets`, `side.trunks` and `side.flagged`; the number of crossings is returned."""
    while True:
        count = _route(model, side)
        broken = {
            id(block)
            for box in side.boxes
            for block in box.part.blocks
            if any(lead.runs and side.flagged.issuperset(lead.runs) for lead in block)
        }
        if not side.crossed & broken:
            return count
        side.crossed -= broken  # half a pair became a flag: the other half runs straight


def _route(model: Model, side: Side) -> int:
    side.nets, side.flagged = _nets(model, side), set()
    order = _order([net for net in side.nets if not net.straight])
    side.trunks = []
    placed: list[tuple[Net, int]] = []
    for net in order:
        after = [t for other, t in placed if _near(net.reach, other.reach)]
        track = max(after, default=-1) + 1
        bad = any(_overlaps(other, net, t < track) for other, t in placed if t != track)
        if track >= side.channel.capacity or bad:
            _give_up(side, net)
        else:
            placed.append((net, track))
    side.trunks = [Trunk(net, side.channel.track(track)) for net, track in placed]
    return _crossings(side, placed)


def _give_up(side: Side, net: Net) -> None:
    side.nets.remove(net)
    side.flagged |= {run for _, run in net.runs}


def _nets(model: Model, side: Side) -> list[Net]:
    nets: list[Net] = []
    for lead, run, y in _ends(model, side):
        key = (lead.device, lead.name)
        joined = [net for net in nets if key in net.ends or run.pad in net.pads]
        whole = Net([(lead, run)], {key: y}, {run.pad: side.pads[run.pad]})
        for net in joined:
            nets.remove(net)
            whole.runs = [*net.runs, *whole.runs]
            whole.ends |= net.ends
            whole.pads |= net.pads
        nets.append(whole)
    return nets


def _ends(model: Model, side: Side) -> list[tuple[DrawnLead, Run, float]]:
    """Each wire with the height its lead has after the crossing cell."""
    found = []
    for box in side.boxes:
        for block in box.part.blocks:
            swap = {}
            ends = pair(block) if id(block) in side.crossed else None
            if ends:
                swap = {ends[0].name: ends[1].name, ends[1].name: ends[0].name}
            for lead in block:
                y = box.rows[swap.get(lead.name, lead.name)]
                drawn = [run for run in lead.runs if is_wire(model, lead, run)]
                found += [(lead, run, y) for run in drawn]
    return found


def _near(one: tuple[float, float], two: tuple[float, float]) -> bool:
    return one[0] < two[1] + CLEAR and two[0] < one[1] + CLEAR


def _overlaps(one: Net, two: Net, one_first: bool) -> bool:
    """Whether two nets would share a level stretch; the first lies nearer the device."""
    near, far = (one, two) if one_first else (two, one)
    return any(abs(a - b) < SAME for a in far.ends.values() for b in near.pads.values())


def _meet(near: Net, far: Net) -> int:
    """Crossings of two nets, `near` on a track nearer the device than `far`."""
    top, bottom = near.reach
    count = sum(top < y < bottom for y in far.ends.values())
    top, bottom = far.reach
    return count + sum(top < y < bottom for y in near.pads.values())


def _order(nets: list[Net]) -> list[Net]:
    """Nets from the device to the board with few crossings: neighbours change places."""
    order = sorted(nets, key=lambda net: net.reach)
    for _ in range(len(order)):
        moved = False
        for i in range(len(order) - 1):
            one, two = order[i], order[i + 1]
            if _worse(two, one) < _worse(one, two):
                order[i], order[i + 1], moved = two, one, True
        if not moved:
            break
    return order


def _worse(near: Net, far: Net) -> int:
    return _meet(near, far) + 100 * _overlaps(near, far, True)


def _crossings(side: Side, placed: Sequence[tuple[Net, int]]) -> int:
    count = 0
    for i, (net, track) in enumerate(placed):
        for other, second in placed[i + 1 :]:
            if track != second:
                near, far = (net, other) if track < second else (other, net)
                count += _meet(near, far)
        top, bottom = net.reach
        lines = [y for s in side.nets if s.straight for y in s.pads.values()]
        count += sum(top < y < bottom for y in lines)
    return count
