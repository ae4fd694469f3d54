"""Lights and the ESC's channels together, since a timer hardly serves both.

Other pads that work by a timer (pulses in, camera control, a software port's) stand still here:
they are where the rest of the plan has put them.

Which channels keep their pad, and which timers the moved ones come to use, is tried in full: four
channels give 16 cases, and a board has few timers. What the lights then need follows.
"""

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import NamedTuple

from server.trade.planner.cost import PlanCost
from server.trade.planner.facts import SheetIndex
from server.trade.planner.shift import Shift, shifts
from server.trade.planner.singles import LIGHT, kept_or_first, wired_leads
from server.trade.sheet.parts import CHANNELS, Pad

ALIKE = 5  # timers with equally many free motor pads that are worth trying, see _worth_trying


class Light(NamedTuple):
    """A lead that needs a `led` pad, and where it is wired."""

    device: str
    lead: str
    wired: tuple[str, ...]


class Timed(NamedTuple):
    """What becomes of lights and channels. `end` None: no pad was found."""

    cost: int
    outputs: tuple[tuple[str, str | None, str | None], ...]
    lights: tuple[tuple[Light, tuple[Shift, ...], str | None], ...]
    left_out: tuple[str, ...]


def place_timed(facts: SheetIndex, still: Sequence[Pad] = ()) -> Timed:
    """The cheapest arrangement of the wired lights and of channels 1 to 4.

    `still` are the other pads in use that work by a timer.
    """
    lights = [
        Light(device.device, lead.lead, wired) for device, lead, wired in wired_leads(facts, LIGHT)
    ]
    timers = [pad.timer for pad in still if pad.timer is not None]
    motors = facts.of_signal("motor")
    best: Timed | None = None
    for kept in _keepable(facts, motors):
        for pads in _pads_for_the_rest(facts, motors, kept, lights, timers):
            tried = _judged(facts, lights, kept, pads, timers)
            if best is None or tried.cost < best.cost:
                best = tried
        if best is not None and best.cost == 0:
            break
    assert best is not None  # keeping no channel is always among the cases
    return best


def _keepable(facts: SheetIndex, motors: Sequence[Pad]) -> Iterator[dict[str, Pad]]:
    """Every set of channels that may stay where they are, the largest first."""
    names = {pad.pad: pad for pad in motors}
    outputs = facts.sheet.esc.outputs
    sound = [channel for channel in CHANNELS if outputs.get(channel) in names]
    for size in range(len(sound), -1, -1):
        for channels in combinations(sound, size):
            kept = {channel: names[outputs[channel]] for channel in channels}
            if len({pad.pad for pad in kept.values()}) == size:
                yield kept


def _pads_for_the_rest(
    facts: SheetIndex,
    motors: Sequence[Pad],
    kept: dict[str, Pad],
    lights: Sequence[Light],
    still: Sequence[str],
) -> Iterator[list[Pad]]:
    """Pads for the channels that do not stay, one list for every set of timers worth trying."""
    held = {pad.pad for pad in kept.values()}
    busy = {pad.timer for pad in kept.values()}
    free = [pad for pad in motors if pad.pad not in held]
    wanted = min(len(CHANNELS) - len(kept), len(free))
    # Only a timer that other pads have too, and that no channel uses yet, can cost anything.
    contested = ({pad.timer for pad in facts.of_signal(LIGHT)} | set(still)) - busy - {None}
    timers = _worth_trying(facts, [pad for pad in free if pad.timer in contested], lights, still)
    for size in range(min(wanted, len(timers)) + 1):
        for chosen in combinations(timers, size):
            usable = [pad for pad in free if pad.timer in chosen or pad.timer not in contested]
            if len(usable) >= wanted:
                yield sorted(usable, key=lambda pad: pad.timer in contested)[:wanted]


def _worth_trying(
    facts: SheetIndex, free: Sequence[Pad], lights: Sequence[Light], still: Sequence[str]
) -> list[str]:
    """The timers of the contested pads in `free`, those with the fewest users first.

    Of timers with equally many free pads (four or more count alike) the first ALIKE are enough: a
    choice uses four at most, and one of the two left can stand in for any other timer, whichever
    timer the lights move to.
    """
    timers = [pad.timer for pad in free if pad.timer is not None]
    lit = [facts.pads[name].timer for light in lights for name in light.wired if name in facts.pads]
    lit += still
    ranked = sorted(set(timers), key=lambda timer: (lit.count(timer), timer))
    alike: dict[int, list[str]] = {}
    for timer in ranked:
        alike.setdefault(min(timers.count(timer), len(CHANNELS)), []).append(timer)
    enough = {timer for group in alike.values() for timer in group[:ALIKE]}
    return [timer for timer in ranked if timer in enough]


def _judged(
    facts: SheetIndex,
    lights: Sequence[Light],
    kept: dict[str, Pad],
    pads: Sequence[Pad],
    still: Sequence[str],
) -> Timed:
    outputs = facts.sheet.esc.outputs
    rest = [channel for channel in CHANNELS if channel not in kept]
    moved = tuple(
        (channel, outputs.get(channel), pad.pad) for channel, pad in zip(rest, pads, strict=False)
    )
    busy = {pad.timer for pad in (*kept.values(), *pads)} - {None}
    quiet = [pad for pad in facts.of_signal(LIGHT) if pad.timer not in busy]
    placed = []
    clashing = set()
    for light in lights:
        end = kept_or_first(light.wired, quiet)
        if end is None:
            end = kept_or_first(light.wired, facts.of_signal(LIGHT))
            clashing |= set() if end is None else {end}
        placed.append((light, shifts(light.lead, light.wired, end), end))
    left_out = tuple(rest[len(pads) :])
    lost = sum(end is None for _, _, end in placed)
    cost = PlanCost(
        unsolved=len(left_out) + lost,
        cautions=len(clashing) + sum(timer in busy for timer in still),
        moves=len(moved) + sum(len(moves) for _, moves, _ in placed),
        touched=len(moved),
        later_pads=sum(facts.pad_at[end] for _, moves, end in placed if moves and end),
    )
    return Timed(cost.packed(), moved, tuple(placed), left_out)
