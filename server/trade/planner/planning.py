"""The plan: each part of the wiring solved by itself, for no pad can serve two of them."""

from collections.abc import Iterable, Iterator, Sequence

from server.trade.planner import reasons, timers
from server.trade.planner.applying import apply
from server.trade.planner.cost import unpacked
from server.trade.planner.facts import SheetIndex
from server.trade.planner.ground import place_grounds
from server.trade.planner.inside import built_in
from server.trade.planner.lights import place_timed
from server.trade.planner.links import rows_of_links
from server.trade.planner.motor_setting import proposed_motor_link
from server.trade.planner.ordering import ordered
from server.trade.planner.outcome import ESC, MOTOR_LINK, Change, Move, Plan, Unsolved
from server.trade.planner.search.options import PlanOption, PlanRow
from server.trade.planner.search.search import pushed_off, solve
from server.trade.planner.shift import Shift
from server.trade.planner.singles import place_singles, rows_of_driving_leads
from server.trade.planner.strays import strays
from server.trade.planner.supply import Supplied, place_supplies
from server.trade.sheet.parts import Sheet
from server.trade.wiring.portmap import port_map

Item = Move | Change | Unsolved


def plan(sheet: Sheet) -> Plan:
    """The fewest lead moves, then the fewest setting changes, that clear the wiring findings.

    Where not all can be cleared, first as few links, leads and rails as possible stay unsolved,
    then as few cautions. The same sheet always gets the same plan. The moves stand in an order in
    which no step makes a new finding that bars power; where a lead has none, `unsolved` says so.
    """
    facts = SheetIndex(sheet)
    if timers.matter(facts):
        _expect_channels(facts)
    rows = [*rows_of_links(facts), *rows_of_driving_leads(facts)]
    placed, supplied = solve(rows), place_supplies(facts)
    found = [
        *_strays(facts),
        *_rows(facts, rows, placed.chosen),
        *built_in(facts),
        *_singles(facts),
        *_supplies(supplied),
        *_grounds(facts),
        *_motor_link(facts),
    ]
    found += _timed(facts, found)
    if not (placed.proven and supplied.proven):
        found.append(Unsolved(sheet.craft.name, "plan", reasons.STOPPED))
    moves, unsafe = ordered(sheet, _by_device(facts, _moves_among(found)))
    found += [Unsolved(move.device, move.lead, reasons.NO_SAFE_ORDER) for move in unsafe]
    return Plan(
        ports=port_map(sheet),
        moves=moves,
        changes=tuple(item for item in found if isinstance(item, Change)),
        unsolved=tuple(item for item in found if isinstance(item, Unsolved)),
        nodes=placed.nodes + supplied.nodes,
    )


def _by_device(facts: SheetIndex, moves: Iterable[Move]) -> list[Move]:
    """A device's moves together, in sheet order; unknown devices first, the ESC's channels last."""
    order = {name: at for at, name in enumerate(facts.devices)}
    last = len(order)
    return sorted(moves, key=lambda move: last if move.channel else order.get(move.device, -1))


def _moves(device: str, shifts: Iterable[Shift]) -> Iterator[Move]:
    return (Move(device, shift.lead, shift.start, shift.end) for shift in shifts)


def _strays(facts: SheetIndex) -> Iterator[Item]:
    return (Move(device, *shift) for device, shift in strays(facts))


def _rows(facts: SheetIndex, rows: list[PlanRow], chosen: list[PlanOption]) -> Iterator[Item]:
    """The moves and changes of links and analogue leads, and why some stay unsolved."""
    for at, number, _ in pushed_off(rows, chosen):
        stay = rows[at].stays[number]
        yield Move(rows[at].device, stay.lead, stay.pad, None)
    for row, option in zip(rows, chosen, strict=True):
        yield from _moves(row.device, option.shifts)
        if option is row.aside:
            yield reasons.set_aside(facts, row, rows, chosen)
        elif unpacked(option.cost).cautions:
            yield from reasons.with_caution(facts, row, option)
        if row.link is not None and option.protocol is not None:
            yield _link_change(facts, row.device, row.link, option.protocol)


def _link_change(facts: SheetIndex, device: str, number: int, protocol: str) -> Change:
    link = facts.devices[device].links[number]
    return Change(
        device, reasons.setting_name(facts, device, number), link.set_to, protocol, number
    )


def _singles(facts: SheetIndex) -> Iterator[Item]:
    for device, lead, signal, shifts, found in place_singles(facts):
        yield from _moves(device, shifts)
        if not found:
            yield Unsolved(device, lead, reasons.no_pad(signal))


def _expect_channels(facts: SheetIndex) -> None:
    """Count with the motor pads that channels will have, for the places of the links."""
    outputs = dict(facts.sheet.esc.outputs)
    outputs.update({channel: end for channel, _, end in place_timed(facts).outputs if end})
    facts.motor_timers = facts.timers_of(outputs.values())


def _timed(facts: SheetIndex, others: Sequence[Item]) -> list[Item]:
    """Lights and channels, once it is known which other pads with a timer are in use."""
    shared = timers.matter(facts)
    still = timers.still(_after(facts, others)) if shared else []
    timed = place_timed(facts, still)
    found: list[Item] = []
    for light, shifts, end in timed.lights:
        found += _moves(light.device, shifts)
        if end is None:
            found.append(Unsolved(light.device, light.lead, reasons.no_pad("led")))
    for channel, start, end in timed.outputs:
        found.append(Move(ESC, channel, start, end, channel=True))
    for channel in timed.left_out:
        why = reasons.too_few_motor_pads(facts)
        found.append(Unsolved(ESC, f"channel {channel}", why))
    if shared:
        found += timers.clashing(_after(facts, [*others, *found]))
    return found


def _after(facts: SheetIndex, items: Sequence[Item]) -> Sheet:
    """The sheet with the moves and changes among these made."""
    changes = tuple(item for item in items if isinstance(item, Change))
    return apply(facts.sheet, Plan((), tuple(_moves_among(items)), changes))


def _moves_among(items: Iterable[Item]) -> Iterator[Move]:
    return (item for item in items if isinstance(item, Move))


def _supplies(supplied: Supplied) -> Iterator[Item]:
    for device, feed in supplied.fed:
        yield from _moves(device.device, feed.shifts)
        if not feed.solved:
            yield reasons.not_fed(supplied.supply, device)
        elif unpacked(feed.cost).cautions:
            yield reasons.low_when_empty(supplied.supply, device, feed.rails[0])
    yield from reasons.heavy_rails(supplied)


def _grounds(facts: SheetIndex) -> Iterator[Item]:
    for device, lead, shifts, found in place_grounds(facts):
        yield from _moves(device, shifts)
        if not found:
            yield Unsolved(device, lead, reasons.no_pad("ground"))


def _motor_link(facts: SheetIndex) -> Iterator[Item]:
    esc = facts.sheet.esc
    if esc.set_to is not None or len(esc.speaks) == 1:
        return
    proposed = proposed_motor_link(facts)
    if proposed is None:
        yield Unsolved(ESC, MOTOR_LINK, reasons.NO_MOTOR_LINK)
    else:
        link, why = proposed
        yield Change(ESC, MOTOR_LINK, None, link, why=why)
