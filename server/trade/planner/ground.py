"""Ground leads: any ground pad will do, and it may be shared."""

from collections.abc import Iterator

from server.trade.planner.facts import SheetIndex
from server.trade.planner.shift import Shift


def place_grounds(facts: SheetIndex) -> Iterator[tuple[str, str, tuple[Shift, ...], bool]]:
    """(device, lead, moves, whether there is a ground pad) of every device with a ground lead."""
    grounds = [pad.pad for pad in facts.of_signal("ground")]
    for device in facts.sheet.devices:
        if device.ground is not None:
            wired = facts.wired(device.device, device.ground)
            moved = gather(device.ground, wired, grounds)
            yield device.device, device.ground, moved, bool(grounds)


def gather(lead: str, wired: tuple[str, ...], allowed: list[str]) -> tuple[Shift, ...]:
    """The fewest moves that leave `lead` on pads of `allowed` only, on one at least.

    Wires on several allowed pads all stay. Where nothing is allowed, nothing is moved.
    """
    wrong = [pad for pad in wired if pad not in allowed]
    if not allowed:
        return ()
    if len(wrong) < len(wired):
        return tuple(Shift(lead, pad, None) for pad in wrong)
    first, *rest = tuple(wired) or (None,)
    return (Shift(lead, first, allowed[0]), *(Shift(lead, pad, None) for pad in rest))
