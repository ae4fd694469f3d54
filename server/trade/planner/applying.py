"""A sheet after a plan: the wires moved, the settings changed, all else as it was."""

from collections.abc import Iterable

from server.trade.planner.outcome import Change, Move, Plan
from server.trade.sheet.parts import Device, Esc, Sheet, Wire


class OtherSheet(ValueError):
    """The plan moves a wire that the sheet does not have: it was made for another sheet."""


def apply(sheet: Sheet, plan: Plan) -> Sheet:
    """The sheet as it is once every move and change of the plan is made, all at one time.

    A moved wire keeps its place in the list, a new one comes last. Raises OtherSheet where a wire,
    device or link that the plan names is not there.
    """
    after = moved(sheet, plan.moves)
    return after.model_copy(
        update={
            "devices": _reset(after.devices, plan.changes),
            "esc": _esc(after.esc, (), plan.changes),
        }
    )


def moved(sheet: Sheet, moves: Iterable[Move]) -> Sheet:
    """The sheet once these moves are made, all at one time. Raises OtherSheet."""
    steps = list(moves)
    channels = [move for move in steps if move.channel]
    wires = _rewired(sheet.wires, [move for move in steps if not move.channel])
    esc = _esc(sheet.esc, channels, ())
    return sheet.model_copy(update={"wires": wires, "esc": esc})


def _rewired(wires: tuple[Wire, ...], moves: Iterable[Move]) -> tuple[Wire, ...]:
    changed: list[Wire | None] = list(wires)
    at = {(wire.device, wire.lead, wire.pad): number for number, wire in enumerate(wires)}
    for move in moves:
        new = None
        if move.end is not None:
            new = Wire(device=move.device, lead=move.lead, pad=move.end)
        if move.start is None:
            changed.append(new)
            continue
        number = at.get((move.device, move.lead, move.start))
        if number is None:
            raise OtherSheet(f"There is no wire from {move.device} {move.lead} to {move.start}.")
        changed[number] = new
    return tuple(wire for wire in changed if wire is not None)


def _reset(devices: tuple[Device, ...], changes: Iterable[Change]) -> tuple[Device, ...]:
    wanted = {
        (change.device, change.link): change.end for change in changes if change.link is not None
    }
    known = {(part.device, number) for part in devices for number in range(len(part.links))}
    for device, link in wanted.keys() - known:
        raise OtherSheet(f"There is no link {link} of {device}.")
    return tuple(_device(part, wanted) for part in devices)


def _device(part: Device, wanted: dict[tuple[str, int], str]) -> Device:
    if not any(device == part.device for device, _ in wanted):
        return part
    links = tuple(
        link.model_copy(update={"set_to": wanted[part.device, number]})
        if (part.device, number) in wanted
        else link
        for number, link in enumerate(part.links)
    )
    return part.model_copy(update={"links": links})


def _esc(esc: Esc, channels: Iterable[Move], changes: Iterable[Change]) -> Esc:
    update: dict[str, object] = {}
    ends = {move.lead: move.end for move in channels}
    if ends:
        update["outputs"] = dict(sorted({**esc.outputs, **ends}.items()))
    for change in changes:
        if change.link is None:
            update["set_to"] = change.end
    return esc.model_copy(update=update) if update else esc
