"""Why something stays unsolved, in words."""

from collections.abc import Iterator
from fractions import Fraction

from server.trade.planner.cost import unpacked
from server.trade.planner.facts import SheetIndex, in_force, is_inverted, leads_of
from server.trade.planner.obstacles import obstacle
from server.trade.planner.outcome import Unsolved
from server.trade.planner.rails import RailLoad, Supply, in_range
from server.trade.planner.search.options import PlanOption, PlanRow
from server.trade.planner.supply import Supplied
from server.trade.sheet.parts import Device, Link
from server.trade.tables.serial import SERIAL
from server.trade.wiring.leads import PAD_OF_LEAD

STOPPED = (
    "there are too many ways to wire this to try them all: the plan clears what it does not name"
    " here, and a shorter one may exist"
)
NO_SAFE_ORDER = (
    "no order of its moves is free of a fault in between that bars even the USB lead: make them"
    " all before anything is plugged in"
)
NO_MOTOR_LINK = "no link that the ESC speaks fits the control loop with what is wanted of it"


def no_pad(signal: str) -> str:
    """The words for a lead that finds no pad of its kind."""
    return f"the board has no {signal} pad"


def too_few_motor_pads(facts: SheetIndex) -> str:
    """The words for a motor channel that finds no pad."""
    return f"four channels need four motor pads; the board has {len(facts.of_signal('motor'))}"


def setting_name(facts: SheetIndex, device: str, number: int) -> str:
    """'receiver protocol'; with a lead's name where a device has two links of one role."""
    links = facts.devices[device].links
    role = links[number].role
    if sum(link.role == role for link in links) == 1:
        return f"{role} protocol"
    return f"{role} protocol on {leads_of(links[number])[0][0]}"


def set_aside(
    facts: SheetIndex, row: PlanRow, rows: list[PlanRow], chosen: list[PlanOption]
) -> Unsolved:
    """Why a link or an analogue lead has no place."""
    if row.link is None:
        wanted = PAD_OF_LEAD.get(row.signal, row.signal)
        why = f"the board has no {wanted} pad free that suits it"
        return Unsolved(row.device, f"{row.signal} lead", why)
    link = facts.devices[row.device].links[row.link]
    part = f"{link.role} link"
    if row.options:
        return Unsolved(row.device, part, _crowded_out(facts, row, rows, chosen))
    whys = [f"{word}: {obstacle(facts, link, SERIAL[word])}" for word in link.speaks]
    return Unsolved(row.device, part, "; ".join(whys))


def _crowded_out(
    facts: SheetIndex, row: PlanRow, rows: list[PlanRow], chosen: list[PlanOption]
) -> str:
    """The links that compete with `row`: the closure of who holds what it could use."""
    wanted, rivals = _columns(row), [row]
    grown = True
    while grown:
        grown = False
        for other, option in zip(rows, chosen, strict=True):
            holds = option is not other.aside and option.claim.column // 2 in wanted
            stuck = option is other.aside and other.options and _columns(other) <= wanted
            if other not in rivals and (holds or stuck):
                rivals.append(other)
                wanted |= _columns(other)
                grown = True
    names = [other.device for other in rows if other in rivals]
    places = [_place_name(facts, column) for column in sorted(wanted)]
    return (
        f"{len(names)} links need a port or pad that fits, and the board has {len(places)}"
        f" ({', '.join(places)}) for {', '.join(names)}"
    )


def _columns(row: PlanRow) -> set[int]:
    """The ports that a row could use, by number; pads of their own come after the ports."""
    return {option.claim.column // 2 for option in row.options}


def _place_name(facts: SheetIndex, column: int) -> str:
    ports = list(facts.ports)
    return ports[column] if column < len(ports) else "a pad"


def with_caution(facts: SheetIndex, row: PlanRow, option: PlanOption) -> Iterator[Unsolved]:
    """Which cautions the best place of a link leaves standing, and why."""
    if row.link is None:
        return
    link = facts.devices[row.device].links[row.link]
    protocol = SERIAL[option.protocol] if option.protocol else in_force(link)
    if protocol is None:
        return
    count = unpacked(option.cost).cautions - option.clashes
    if count and is_inverted(link, protocol) and facts.inverts is None:
        why = (
            f"{protocol.name} is inverted, it is not known whether the {facts.sheet.board.mcu} can"
            " invert a port, and no pad with an inverter is free for it"
        )
        yield Unsolved(row.device, f"{link.role} link", why)
        count -= 1
    if count:
        yield Unsolved(row.device, f"{link.role} link", _one_way(link, protocol.name))


def _one_way(link: Link, protocol: str) -> str:
    lost = SERIAL[protocol].lost
    if link.tx is None or link.rx is None:
        return f"the device has no lead for {protocol}'s other way: {lost}"
    return f"no port has both sides free for {protocol}: {lost}"


def not_fed(supply: Supply, device: Device) -> Unsolved:
    """Why a device has no rail."""
    low, high = device.supply_v or (0, 0)
    part = device.power or "power"
    fitting = [
        rail.name for rail in supply.rails if rail.pads and in_range(rail, device) is not None
    ]
    if fitting:
        why = f"its {device.amps} A does not fit on {', '.join(fitting)} beside the other parts"
        return Unsolved(device.device, part, why)
    offered = ", ".join(_offer(rail) for rail in supply.rails if rail.pads) or "no power pad"
    return Unsolved(device.device, part, f"it takes {low} to {high} V; the board has {offered}")


def low_when_empty(supply: Supply, device: Device, at: int) -> Unsolved:
    """Why a device keeps the caution that an empty pack gives it too little."""
    low, need = supply.rails[at].low, (device.supply_v or (0,))[0]
    why = f"{supply.rails[at].name} gives {low} V when empty, it needs {need} V, and no rail suits"
    return Unsolved(device.device, device.power or "power", f"{why} it better")


def _offer(rail: RailLoad) -> str:
    volts = f"{rail.low}" if rail.low == rail.high else f"{rail.low} to {rail.high}"
    return f"{rail.name} ({volts} V)"


def heavy_rails(supplied: Supplied) -> Iterator[Unsolved]:
    """The rails that stay over their rating or near it."""
    draws = supplied.supply.draws
    for at, rail in enumerate(supplied.supply.rails):
        load = sum(draws[device.device] for device, feed in supplied.fed if at in feed.rails)
        if rail.limit is not None and rail.near is not None and load > rail.near:
            share = f"{float(Fraction(load, rail.limit)) * 100:.1f} %" if rail.limit else "all"
            why = f"the parts on it draw {share} of its rating, and no other rail can take enough"
            yield Unsolved(rail.name, "rail", why)
