"""One sheet as the stages look at it, and the draft that a stage gives for each step."""

import hashlib
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from server.trade.card.model import Hazard
from server.trade.card.spec import Spec
from server.trade.power import Power
from server.trade.sheet import Device, Link, Pad, Sheet
from server.trade.wiring.leads import protocol_in_force
from server.trade.wiring.portmap import PortRow, port_map

COLD = frozenset({Power.COLD})
# Settings take the USB lead; the limiter serves where a board does not wake on USB.
SETTING = frozenset({Power.USB, Power.LIMITED})
SEEN_ANYHOW = frozenset({Power.USB, Power.LIMITED, Power.BATTERY})
LIMITED = frozenset({Power.LIMITED})
LIVE = frozenset({Power.LIMITED, Power.BATTERY})
BATTERY = frozenset({Power.BATTERY})

ROLE_WORDS = {
    "receiver": "receiver input",
    "overlay": "overlay",
    "video-control": "video transmitter control",
    "position": "position unit",
    "esc-telemetry": "ESC telemetry",
    "ground-link": "ground link",
}
FIRST_POWER = "motors/first-power"
ORDER = "motors/order"
PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Draft:
    """A step before it has its number; fields as in `model.Step`, `parts` is the basis.

    `off_bench` is what needs open sky or a flight: the whole check does not wait for it.
    """

    key: str
    title: str
    do: tuple[str, ...]
    target: str
    why: str
    states: frozenset[Power]
    evidence: Spec
    parts: Mapping[str, str] = field(default_factory=dict)
    source: str = PRACTICE
    hazard: Hazard | None = None
    setting: str | None = None
    after: tuple[str, ...] = ()
    reads: tuple[str, ...] = ()
    joints: bool = False
    off_bench: bool = False


@dataclass(frozen=True, slots=True)
class Chapter:
    """A stage before it is derived; `drafts` gives only the steps that the craft needs.

    In a `whole` one each step comes after every step that stands before it, but for those that are
    done `off_bench`.
    """

    key: str
    title: str
    short: str
    drafts: Callable[["SheetView"], Iterator[Draft]]
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Joined:
    """A link in use of one device, with the pads that its leads are wired to."""

    device: str
    role: str
    protocol: str | None
    hears: tuple[str, ...]
    talks: tuple[str, ...]

    @property
    def parts(self) -> dict[str, str]:
        """The link as a basis: protocol and pads."""
        return {
            f"{self.device} protocol": self.protocol or "not chosen",
            f"board hears {self.device} on": ", ".join(self.hears) or "nothing",
            f"board talks to {self.device} on": ", ".join(self.talks) or "nothing",
        }


def slug(name: str) -> str:
    """A name as part of a step's key: safe in an address, and not the same for two names."""
    words = name.split(" ")
    if all(word.isascii() and word.isalnum() for word in words):
        return "-".join(words)
    readable = "-".join(re.findall("[A-Za-z0-9]+", name))[:40]
    # '~' cannot come from the branch above; 40 bits tell apart the few names of one sheet.
    return f"{readable}~{hashlib.sha256(name.encode()).hexdigest()[:10]}"


class SheetView:
    """Look-ups over one sheet that more than one stage asks for."""

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        self.rows: tuple[PortRow, ...] = port_map(sheet)
        self.pads: dict[str, Pad] = {pad.pad: pad for pad in sheet.board.pads}
        self._pads_of: dict[tuple[str, str], list[str]] = {}
        for wire in sorted((w.device, w.lead, w.pad) for w in sheet.wires):
            self._pads_of.setdefault(wire[:2], []).append(wire[2])

    def pads_of(self, device: str, lead: str | None) -> tuple[str, ...]:
        """The pads that a lead is wired to, by name; none for a lead that is not there."""
        return tuple(self._pads_of.get((device, lead), ())) if lead else ()

    @cached_property
    def links(self) -> tuple[Joined, ...]:
        """Every link in use, by device, role and pads, whatever the sheet's own order."""
        joined = [
            self._joined(d, link) for d in self.sheet.devices for link in d.links if link.in_use
        ]
        return tuple(
            sorted(joined, key=lambda j: (j.device, j.role, j.hears, j.talks, j.protocol or ""))
        )

    def of_role(self, *roles: str) -> tuple[Joined, ...]:
        """The links in use of these roles."""
        return tuple(link for link in self.links if link.role in roles)

    def leads_of(self, *signals: str) -> tuple[tuple[str, str, str, tuple[str, ...]], ...]:
        """Wired leads that belong to no serial link: device, lead, signal, pads; sorted."""
        return tuple(
            sorted(
                (device.device, lead.lead, lead.signal, pads)
                for device in self.sheet.devices
                for lead in device.leads
                if lead.signal in signals and (pads := self.pads_of(device.device, lead.lead))
            )
        )

    @property
    def receiver(self) -> Joined | None:
        """The receiver link that the radio's steps speak of: a wired one before one that is not."""
        return min(self.of_role("receiver"), key=lambda j: not (j.hears or j.talks), default=None)

    @property
    def receiver_parts(self) -> dict[str, str]:
        """The receiver as a basis, with its port."""
        link = self.receiver
        if link is None:
            return {"receiver": "none in the map"}
        ports = {pad.port for name in link.hears if (pad := self.pads.get(name)) and pad.port}
        return link.parts | {"receiver's port": ", ".join(sorted(ports)) or "none"}

    @cached_property
    def wire_parts(self) -> dict[str, str]:
        """Every lead with its pads, the ESC's signal leads too, as a basis: what has to be looked
        at after soldering."""
        leads = [(f"{device} {lead}", ", ".join(p)) for (device, lead), p in self._pads_of.items()]
        parts: dict[str, str] = {}
        for name, pads in (*leads, *self.output_parts.items()):
            # 'a' with lead 'b c' and 'a b' with lead 'c' are written alike: neither may be lost.
            parts[name] = "; ".join(filter(None, (parts.get(name), pads)))
        return parts

    @cached_property
    def joint_parts(self) -> dict[str, str]:
        """Board and leads, as a basis: on another board every joint is a new one."""
        return self.board_parts | self.wire_parts

    @cached_property
    def board_parts(self) -> dict[str, str]:
        """Which board it is."""
        board = self.sheet.board
        return {"board": " ".join(filter(None, (board.maker, board.model))), "chip": board.mcu}

    @cached_property
    def outputs(self) -> tuple[int, ...]:
        """The four motor outputs in use, by the board's own numbers.

        Where the sheet does not give four different ones (a finding at `stop`), 1 to 4.
        """
        used = {
            pad.output
            for name in self.sheet.esc.outputs.values()
            if (pad := self.pads.get(name)) and pad.output is not None
        }
        return tuple(sorted(used)) if len(used) == 4 else (1, 2, 3, 4)

    @cached_property
    def output_parts(self) -> dict[str, str]:
        """Which pad drives each channel of the ESC."""
        return {
            f"ESC channel {channel}": pad for channel, pad in sorted(self.sheet.esc.outputs.items())
        }

    def _joined(self, device: Device, link: Link) -> Joined:
        one = self.pads_of(device.device, link.one_wire)
        return Joined(
            device.device,
            link.role,
            protocol.name if (protocol := protocol_in_force(link)) else None,
            self.pads_of(device.device, link.tx) + one,
            self.pads_of(device.device, link.rx) + one,
        )
