"""A sheet looked at by its wires: what each lead is, what each pad carries, who has which port.

All facts that more than one rule, the planner, the port map or a drawing needs are worked out here
once, so that no rule waits for another rule's result.
"""

from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction
from functools import cached_property

from server.trade.sheet import PACK, Device, Pad, Port, Rail, Sheet, Wire
from server.trade.tables.motor_links import MOTOR_LINKS, MotorLink
from server.trade.wiring.joints import Joint, WireStatus, stand
from server.trade.wiring.leads import LeadView, LinkView, leads_of, links_of


class Wiring:
    """The indexed view of one sheet. Nothing in it changes.

    `joints` are the sheet's wires in order, each looked up. `links` are the wired links in use, in
    sheet order, and `inside` the built-in ones; `leads` is every lead by (device, lead), those of
    unused links too.
    """

    def __init__(self, sheet: Sheet) -> None:
        self.sheet = sheet
        board = sheet.board
        self.pads: dict[str, Pad] = {pad.pad: pad for pad in board.pads}
        self.ports: dict[str, Port] = {port.port: port for port in board.ports}
        self.rails: dict[str, Rail] = {rail.rail: rail for rail in board.rails}
        self.devices: dict[str, Device] = {part.device: part for part in sheet.devices}
        used: list[LinkView] = []
        self.leads: dict[tuple[str, str], LeadView] = {}
        for part in sheet.devices:
            views = links_of(part)
            used += [view for view in views if view.link.in_use]
            for lead in leads_of(part, views):
                self.leads[part.device, lead.name] = lead
        self.used_links: tuple[LinkView, ...] = tuple(used)
        self.inside: tuple[LinkView, ...] = tuple(v for v in used if v.link.inside is not None)
        self.links: tuple[LinkView, ...] = (
            tuple(v for v in used if v.link.inside is None) if self.inside else self.used_links
        )
        self.joints: tuple[Joint, ...] = tuple(self._joint(wire) for wire in sheet.wires)
        self.pads_of_port: dict[str, list[Pad]] = defaultdict(list)
        self.pads_of_signal: dict[str, list[Pad]] = defaultdict(list)
        for pad in board.pads:
            self.pads_of_signal[pad.signal].append(pad)
            if pad.port is not None:
                self.pads_of_port[pad.port].append(pad)
        self._by_lead: dict[tuple[str, str], list[Joint]] = defaultdict(list)
        self._by_pad: dict[str, list[Joint]] = defaultdict(list)
        for joint in self.joints:
            self._by_lead[joint.wire.device, joint.wire.lead].append(joint)
            self._by_pad[joint.wire.pad].append(joint)

    def _joint(self, wire: Wire) -> Joint:
        lead = self.leads.get((wire.device, wire.lead))
        pad = self.pads.get(wire.pad)
        return Joint(wire, lead, pad, stand(lead, pad))

    def joints_of(self, device: str, lead: str | None) -> list[Joint]:
        """The wires that name this lead, in sheet order; empty for a lead of None."""
        return self._by_lead.get((device, lead), []) if lead is not None else []

    def joints_at(self, pad: str) -> list[Joint]:
        """The wires that name this pad, in sheet order."""
        return self._by_pad.get(pad, [])

    def seats(self, view: LinkView) -> list[Joint]:
        """The link's wires that are in their place on a port, hence claim it."""
        return [
            joint
            for lead in view.leads
            for joint in self.joints_of(view.device.device, lead.name)
            if joint.claims
        ]

    @cached_property
    def claims(self) -> dict[str, list[Joint]]:
        """By port, the wires that claim a side of it: board ports in order, each there."""
        found: dict[str, list[Joint]] = {port: [] for port in self.ports}
        for joint in self.joints:
            if joint.claims and joint.pad is not None and joint.pad.port is not None:
                found[joint.pad.port].append(joint)
        return found

    @cached_property
    def takers(self) -> dict[str, list[LinkView]]:
        """By port, the built-in links in use that are joined to it on the board."""
        found: dict[str, list[LinkView]] = defaultdict(list)
        for view in self.inside:
            if view.link.inside in self.ports:
                found[view.link.inside or ""].append(view)
        return found

    @cached_property
    def fed_by(self) -> dict[str, tuple[str, ...]]:
        """By device with a power lead, the rails that feed it ('pack' too), each once."""
        return {
            name: tuple(dict.fromkeys(self._rails_of(part)))
            for name, part in self.devices.items()
            if part.power is not None
        }

    def _rails_of(self, part: Device) -> Iterable[str]:
        for joint in self.joints_of(part.device, part.power):
            if joint.fits and joint.pad is not None and joint.pad.rail is not None:
                yield joint.pad.rail

    @cached_property
    def _on_rails(self) -> dict[str, list[Device]]:
        found: dict[str, list[Device]] = defaultdict(list)
        for name, rails in self.fed_by.items():
            if len(rails) == 1:
                found[rails[0]].append(self.devices[name])
        return found

    def on_rail(self, rail: str) -> list[Device]:
        """The devices that this rail alone feeds, in sheet order."""
        return self._on_rails.get(rail, [])

    @property
    def motor_link(self) -> MotorLink | None:
        """The ESC link in force; None where none is chosen or the ESC does not speak it."""
        esc = self.sheet.esc
        chosen = esc.set_to or (esc.speaks[0] if len(esc.speaks) == 1 else None)
        return MOTOR_LINKS[chosen] if chosen in esc.speaks else None

    @cached_property
    def frame(self) -> tuple[Fraction, bool] | None:
        """Exact µs of one motor frame, and whether the ESC's reply is in them.

        None where no link is in force or it has no frame. The reply counts where it is wanted
        and both the ESC and the link can give it.
        """
        link, esc = self.motor_link, self.sheet.esc
        if link is None:
            return None
        reply = esc.use_feedback and esc.feedback and link.digital
        us = link.frame_us(reply)
        return None if us is None else (us, reply)

    @cached_property
    def frame_share(self) -> Fraction | None:
        """The frame's exact share of the control loop's period; None where either is not known."""
        loop = self.sheet.control.loop_hz
        if self.frame is None or loop is None:
            return None
        return self.frame[0] * Fraction(loop) / 1_000_000


__all__ = ["PACK", "Joint", "LeadView", "LinkView", "WireStatus", "Wiring"]
