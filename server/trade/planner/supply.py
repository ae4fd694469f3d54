"""Power leads: every device on a rail in its range, no rail over its rating.

Branch and bound over the devices, the heaviest first. Draws only add up, so the faults of the
loads so far, and the cheapest place of every device still to come, bound what follows. A rail that
is given a device never ends over its rating: the plan does not propose what the supply rules
forbid.
"""

from dataclasses import dataclass, field
from typing import NamedTuple

from server.trade.planner.cost import PlanCost, decisive
from server.trade.planner.facts import SheetIndex
from server.trade.planner.ground import gather
from server.trade.planner.rails import RailLoad, Supply, in_range, read_supply
from server.trade.planner.shift import Shift
from server.trade.sheet.parts import Device

# Nodes after which the best known is given without its proof: twelve parts on three nearly full
# rails take up to some twenty thousand.
LIMIT = 60_000
UNSOLVED, CAUTION = PlanCost(unsolved=1).packed(), PlanCost(cautions=1).packed()


class Feed(NamedTuple):
    """One way to feed a device: the rails that carry its draw, and whether it comes new to them."""

    cost: int
    rails: tuple[int, ...]
    new: bool
    shifts: tuple[Shift, ...]
    solved: bool = True


class Fed(NamedTuple):
    """What was chosen for a device."""

    device: Device
    feed: Feed


class Supplied(NamedTuple):
    """The cheapest feed of every device with a power lead, in sheet order.

    `nodes` is how many the search looked at; `proven` whether nothing cheaper can exist.
    """

    supply: Supply
    fed: list[Fed]
    nodes: int
    proven: bool


@dataclass(slots=True)
class _Search:
    supply: Supply
    devices: list[Device]
    feeds: list[list[Feed]]
    least: list[int]
    groups: list[tuple[tuple[int, ...], list[int]]]
    best: int
    chosen: list[Feed]
    seen: dict[tuple[int, tuple[int, ...], int], int] = field(default_factory=dict)
    nodes: int = 0


def place_supplies(facts: SheetIndex) -> Supplied:
    """Choose a rail for every device with a power lead."""
    supply = read_supply(facts)
    named = [device for device in facts.sheet.devices if device.power is not None]
    devices = sorted(named, key=lambda device: -supply.draws[device.device])
    feeds = [sorted(feeds_of(facts, supply, device)) for device in devices]
    least = [0] * (len(devices) + 1)
    for at in range(len(devices) - 1, -1, -1):
        least[at] = least[at + 1] + feeds[at][0].cost
    as_it_is = [choices[-1] for choices in feeds]
    worst = PlanCost(unsolved=len(devices) + len(supply.rails) + 1).packed()
    groups = _group(supply, devices, feeds)
    search = _Search(supply, devices, feeds, least, groups, worst, as_it_is)
    _place(search, 0, 0, (0,) * len(supply.rails), 0, [])
    chosen = {device.device: feed for device, feed in zip(devices, search.chosen, strict=True)}
    fed = [Fed(device, chosen[device.device]) for device in named]
    return Supplied(supply, fed, search.nodes, search.nodes <= LIMIT)


def feeds_of(facts: SheetIndex, supply: Supply, device: Device) -> list[Feed]:
    """Every rail in range that has a pad, and last to be left as it is, unsolved."""
    lead = device.power or ""
    wired = facts.wired(device.device, lead)
    rails_now = {supply.rail_of(pad) for pad in wired} - {None}
    feeds = []
    for at, rail in enumerate(supply.rails):
        cautions = in_range(rail, device)
        if rail.pads and cautions is not None:
            moved = gather(lead, wired, list(rail.pads))
            cost = PlanCost(
                cautions=cautions, moves=len(moved), touched=min(1, len(moved)), later_pads=at
            )
            feeds.append(Feed(cost.packed(), (at,), at not in rails_now, moved))
    # A lead on two rails joins them; its draw is then on neither (see the rule on forked leads).
    held = tuple(at for at in rails_now if at is not None and len(rails_now) == 1)
    feeds.append(Feed(UNSOLVED, held, False, (), solved=False))
    return feeds


def _group(
    supply: Supply, devices: list[Device], feeds: list[list[Feed]]
) -> list[tuple[tuple[int, ...], list[int]]]:
    """Rails that share a device that could be on either, with the draws still to come.

    The draws are those of the group's devices from each number in `devices` on.
    """
    groups: list[tuple[set[int], set[int]]] = []
    for number, choices in enumerate(feeds):
        rails = {feed.rails[0] for feed in choices if feed.solved}
        members = {number} if rails else set()
        for group in [group for group in groups if group[0] & rails]:
            groups.remove(group)
            rails, members = rails | group[0], members | group[1]
        groups.append((rails, members))
    return [(tuple(sorted(rails)), _to_come(supply, devices, own)) for rails, own in groups]


def _to_come(supply: Supply, devices: list[Device], members: set[int]) -> list[int]:
    draws = [
        supply.draws[device.device] if number in members else 0
        for number, device in enumerate(devices)
    ]
    return [sum(draws[at:]) for at in range(len(draws) + 1)]


def _unavoidable(search: _Search, at: int, loads: tuple[int, ...]) -> int:
    """Faults that the devices from `at` on are bound to add, by the room that is left.

    Where a group's draws are over the room below its ratings, something will stay unsolved (and a
    rail near its limit may turn into one over it). Else, over the room below 80 %, some rail comes
    near its limit, and the rails with the most room beyond go furthest to spare the others.
    """
    total = 0
    for rails, draws in search.groups:
        over, gains = draws[at], []
        for number in rails:
            rail, load = search.supply.rails[number], loads[number]
            if rail.limit is None or rail.near is None or load > rail.limit:
                break  # the pack, or a rail that is lost already: it takes any load
            if load > rail.near:
                over -= rail.limit - load
            else:
                over -= rail.near - load
                gains.append(rail.limit - rail.near)
        else:
            total += _shortfall(over, sorted(gains, reverse=True), len(rails))
    return total


def _shortfall(over: int, gains: list[int], rails: int) -> int:
    """The least faults of a group that is still to draw `over` more than it has good room for."""
    if over > sum(gains):
        return UNSOLVED - CAUTION * rails
    count = 0
    while over > 0:
        over -= gains[count]
        count += 1
    return CAUTION * count


def _place(
    search: _Search, at: int, cost: int, loads: tuple[int, ...], given: int, path: list[Feed]
) -> None:
    search.nodes += 1
    faults = _rail_faults(search.supply.rails, loads)
    bound = cost + faults + search.least[at] + _unavoidable(search, at, loads)
    if decisive(bound) >= decisive(search.best) or search.nodes > LIMIT:
        return
    if at == len(search.devices):
        search.best, search.chosen = cost + faults, list(path)
        return
    state = (at, loads, given)
    if search.seen.get(state, cost + 1) <= cost:
        return
    search.seen[state] = cost
    draw = search.supply.draws[search.devices[at].device]
    for feed in search.feeds[at]:
        now = _loaded(loads, feed, draw)
        rails_given = given | (1 << feed.rails[0] if feed.new else 0)
        if not _spoilt(search.supply.rails, now, rails_given):
            _place(search, at + 1, cost + feed.cost, now, rails_given, [*path, feed])


def _loaded(loads: tuple[int, ...], feed: Feed, draw: int) -> tuple[int, ...]:
    return tuple(load + draw if at in feed.rails else load for at, load in enumerate(loads))


def _spoilt(rails: tuple[RailLoad, ...], loads: tuple[int, ...], given: int) -> bool:
    """Whether a rail that was given a device is over its rating."""
    return any(
        given >> at & 1 and rail.limit is not None and loads[at] > rail.limit
        for at, rail in enumerate(rails)
    )


def _rail_faults(rails: tuple[RailLoad, ...], loads: tuple[int, ...]) -> int:
    total = 0
    for rail, load in zip(rails, loads, strict=True):
        if rail.limit is not None and rail.near is not None and load > rail.near:
            total += UNSOLVED if load > rail.limit else CAUTION
    return total
