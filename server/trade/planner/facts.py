"""What the planner looks up in a sheet, indexed once."""

from collections.abc import Iterable, Iterator

from server.trade.sheet.parts import Device, Link, Pad, Port, Sheet
from server.trade.tables.chips import inversion
from server.trade.tables.serial import SERIAL, Need, SerialLink

TIMED = ("led", "ppm", "camera")


class SheetIndex:
    """An index of one sheet: pads, ports and wires by name, in the order of the sheet."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.pads: dict[str, Pad] = {pad.pad: pad for pad in sheet.board.pads}
        self.pad_at = {name: at for at, name in enumerate(self.pads)}
        self.ports: dict[str, Port] = {port.port: port for port in sheet.board.ports}
        self.port_at = {name: at for at, name in enumerate(self.ports)}
        self.inverts = inversion(sheet.board.mcu)
        self.devices: dict[str, Device] = {part.device: part for part in sheet.devices}
        self.held = {link.inside for part in sheet.devices for link in part.links if link.in_use}
        self.motor_timers = self.timers_of(sheet.esc.outputs.values())
        self._wires: dict[tuple[str, str], list[str]] = {}
        self._users: dict[str, set[tuple[str, str]]] = {}
        self._ports_of: dict[str, set[str | None]] = {}
        for wire in sheet.wires:
            if wire.pad in self.pads:
                self._ports_of.setdefault(wire.device, set()).add(self.pads[wire.pad].port)
            self._wires.setdefault((wire.device, wire.lead), []).append(wire.pad)
            self._users.setdefault(wire.pad, set()).add((wire.device, wire.lead))
        self._of_port: dict[tuple[str, str], list[Pad]] = {}
        for pad in sheet.board.pads:
            self._of_port.setdefault((pad.port or "", pad.signal), []).append(pad)

    def wired(self, device: str, lead: str | None) -> tuple[str, ...]:
        """The pads that a lead is wired to, unknown ones too, in the order of the sheet."""
        return () if lead is None else tuple(self._wires.get((device, lead), ()))

    def shared(self, device: str, pad: str) -> bool:
        """Whether a lead of another device is wired to `pad`."""
        return any(user != device for user, _ in self._users.get(pad, ()))

    def new_port(self, device: str, pad: str) -> bool:
        """Whether `pad` is of a port that no lead of the device is wired to now."""
        port = self.pads[pad].port
        return port is not None and port not in self._ports_of.get(device, ())

    def of_port(self, port: str, signal: str) -> list[Pad]:
        """The pads of one side of a port, in board order."""
        return self._of_port.get((port, signal), [])

    def of_signal(self, signal: str) -> list[Pad]:
        """All pads of one signal, in board order."""
        return [pad for pad in self.pads.values() if pad.signal == signal]

    def timers_of(self, outputs: Iterable[str]) -> set[str | None]:
        """The timers of those pads among `outputs` that drive a motor."""
        pads = (self.pads.get(name) for name in outputs)
        return {pad.timer for pad in pads if pad and pad.signal == "motor"} - {None}

    def links(self) -> Iterator[tuple[Device, int, Link]]:
        """Every wired link that is in use, with its number in its device."""
        for device in self.sheet.devices:
            for number, link in enumerate(device.links):
                if link.in_use and link.inside is None:
                    yield device, number, link

    def built_in(self) -> Iterator[tuple[Device, int, Link]]:
        """Every built-in link that is in use, with its number in its device."""
        for device in self.sheet.devices:
            for number, link in enumerate(device.links):
                if link.in_use and link.inside is not None:
                    yield device, number, link

    def is_free(self, port: Port) -> bool:
        """Whether neither a part of the board nor a built-in link has the port."""
        return port.taken_by is None and port.port not in self.held

    def software(self, pad: Pad) -> bool:
        """Whether the pad is of a software port."""
        return pad.port is not None and self.ports[pad.port].software

    def clashes(self, pad: Pad) -> int:
        """1 where a motor pad that drives a channel has the timer by which this pad works."""
        timed = pad.signal in TIMED or self.software(pad)
        return int(timed and pad.timer in self.motor_timers)


def in_force(link: Link) -> SerialLink | None:
    """The protocol that a link runs; None where none is chosen, or one that it does not speak."""
    if link.set_to is not None:
        return SERIAL[link.set_to] if link.set_to in link.speaks else None
    return SERIAL[link.speaks[0]] if len(link.speaks) == 1 else None


def is_inverted(link: Link, protocol: SerialLink) -> bool:
    """Whether the link's line comes inverted: as the part has it, else as the protocol does."""
    return protocol.inverted if link.inverted is None else link.inverted


def ways(link: Link, protocol: SerialLink) -> frozenset[str]:
    """What a protocol carries over the leads that the link has: `hear`, `talk`, both, or none."""
    if protocol.one_wire:
        wired = link.one_wire is not None or link.tx is not None
        return frozenset({"hear", "talk"}) if wired else frozenset()
    hear = protocol.hear is not Need.NO and link.tx is not None
    talk = protocol.talk is not Need.NO and link.rx is not None
    return frozenset({"hear"} if hear else ()) | frozenset({"talk"} if talk else ())


def leads_of(link: Link) -> list[tuple[str, bool]]:
    """The leads that a link has, and whether each drives its pad."""
    drives = ((link.tx, True), (link.rx, False), (link.one_wire, True))
    return [(lead, driving) for lead, driving in drives if lead is not None]
