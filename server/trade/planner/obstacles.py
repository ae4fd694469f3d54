"""Why one protocol of one link has no place on a board, even on an empty one."""

from server.trade.planner.facts import SheetIndex, is_inverted
from server.trade.planner.places import fits_port, inversion_at
from server.trade.sheet.parts import Link, Pad, Port
from server.trade.tables.serial import Need, SerialLink


def obstacle(facts: SheetIndex, link: Link, protocol: SerialLink) -> str:
    """The first thing in the way, as the end of a sentence. For a link that has no place."""
    if protocol.baud is None:
        return _no_ppm(facts, link)
    missing = _missing_lead(link, protocol)
    if missing is not None:
        return missing
    free = [port for port in facts.ports.values() if facts.is_free(port)]
    if not free:
        return "the board has no free port"
    ports = [port for port in free if fits_port(facts, port, protocol)]
    if not ports:
        return f"no free port is fast enough for {protocol.baud} Bd"
    return _no_pad(facts, link, protocol, ports)


def _no_ppm(facts: SheetIndex, link: Link) -> str:
    if link.tx is None:
        return "the device has no lead that it talks on"
    if not facts.of_signal("ppm"):
        return "the board has no ppm pad"
    return f"its {link.level_v} V is more than a ppm pad takes"


def _missing_lead(link: Link, protocol: SerialLink) -> str | None:
    if protocol.one_wire:
        lacks = link.one_wire is None and link.tx is None
        return "the device has no single-wire lead for it" if lacks else None
    if protocol.hear is Need.MUST and link.tx is None:
        return "the device has no lead that it talks on"
    if protocol.talk is Need.MUST and link.rx is None:
        return "the device has no lead that it listens on"
    return None


def _no_pad(facts: SheetIndex, link: Link, protocol: SerialLink, ports: list[Port]) -> str:
    """What is wrong with the pads of the free, fast ports, one side after the other."""
    sides = [("tx", True)] if protocol.one_wire else _needed_sides(protocol)
    for signal, driven in sides:
        pads = [pad for port in ports for pad in facts.of_port(port.port, signal)]
        if not pads:
            return (
                f"no free port has an {signal} pad"
                if signal == "rx"
                else "no free port has a tx pad"
            )
        level = [pad for pad in pads if inversion_at(facts, pad, link, protocol) is not None]
        if not level:
            return _wrong_level(facts, link, protocol)
        if driven and all(_too_high(link, pad) for pad in level):
            return f"its {link.level_v} V is more than the pads of the free ports take"
    return "no free port has all the pads that it needs"


def _needed_sides(protocol: SerialLink) -> list[tuple[str, bool]]:
    sides = [("rx", True, protocol.hear), ("tx", False, protocol.talk)]
    return [(signal, driven) for signal, driven, need in sides if need is Need.MUST]


def _too_high(link: Link, pad: Pad) -> bool:
    return link.level_v > pad.max_v


def _wrong_level(facts: SheetIndex, link: Link, protocol: SerialLink) -> str:
    if is_inverted(link, protocol):
        return (
            f"it is inverted, the {facts.sheet.board.mcu} cannot invert a port, and no free port"
            " has a pad with an inverter"
        )
    return "it is not inverted, and every pad of the free ports has a fixed inverter"
