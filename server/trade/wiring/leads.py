"""What each lead of a device is for, as its link's protocol has it."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

from server.trade.sheet import Device, Link
from server.trade.tables.serial import SERIAL, Need, SerialLink

SERIAL_KINDS = ("tx", "rx", "one_wire")
# What drives its wire: the device's own talking. A listening lead and a bus lead do not.
DRIVING = frozenset({"tx", "one_wire", "analogue", "video-out"})
# A picture goes from a lead that gives it to a pad that takes it; other signals keep their name.
PAD_OF_LEAD = {"video-out": "video-in", "video-in": "video-out"}


@dataclass(frozen=True, slots=True, eq=False)
class LinkView:
    """One link of a device, with the protocol in force.

    `protocol` is None where several are spoken and none is chosen, or what is set is not spoken.
    `index` counts within the device.
    """

    device: Device
    index: int
    link: Link
    protocol: SerialLink | None
    single: str | None
    leads: tuple["LeadView", ...] = field(init=False, repr=False)

    def __post_init__(self) -> None:
        names = ((kind, getattr(self.link, kind)) for kind in SERIAL_KINDS)
        leads = tuple(LeadView(self.device, name, kind, self) for kind, name in names if name)
        object.__setattr__(self, "leads", leads)

    @property
    def name(self) -> str:
        """The link as a sentence calls it: 'the receiver', or with its role where it differs."""
        part, role = self.device.device, self.link.role
        return part if role == part or len(self.device.links) == 1 else f"{part} ({role} link)"

    @property
    def inverted(self) -> bool:
        """Whether the line comes inverted: as the part has it, else as its protocol does."""
        own = self.link.inverted
        return own if own is not None else self.protocol is not None and self.protocol.inverted

    @property
    def line(self) -> tuple[int | None, str, bool] | None:
        """Rate, frame and inversion, as two links on one port must share them."""
        protocol = self.protocol
        return None if protocol is None else (protocol.baud, protocol.frame, self.inverted)

    def need(self, kind: str) -> Need:
        """How badly the protocol in force needs the lead of this kind; NO without a protocol."""
        if self.protocol is None:
            return Need.NO
        if self.protocol.one_wire:
            return Need.MUST if kind == self.single else Need.NO
        return {"tx": self.protocol.hear, "rx": self.protocol.talk}.get(kind, Need.NO)

    def lead(self, kind: str) -> str | None:
        """The name of the lead of this kind: 'tx', 'rx' or 'one_wire'."""
        name: str | None = getattr(self.link, kind)
        return name


@dataclass(frozen=True, slots=True, eq=False)
class LeadView:
    """One lead. `kind` is 'tx', 'rx', 'one_wire', 'power', 'ground' or the lead's own signal."""

    device: Device
    name: str
    kind: str
    link: LinkView | None = None

    @property
    def in_use(self) -> bool:
        """Whether the build uses it: false for a lead of a link that is left unused."""
        return self.link is None or self.link.link.in_use

    @property
    def serial(self) -> bool:
        """Whether it belongs to a serial link."""
        return self.link is not None

    @property
    def drives(self) -> bool:
        """Whether the device puts a signal on it."""
        return self.kind in DRIVING

    @property
    def needed(self) -> bool:
        """Whether its link has work for it; true for a link without a protocol in force."""
        if self.link is None or self.link.protocol is None:
            return True
        return self.link.need(self.kind) is not Need.NO

    @property
    def pad_signal(self) -> str:
        """The signal of the pads that a lead of no serial link belongs on."""
        return PAD_OF_LEAD.get(self.kind, self.kind)

    @property
    def half_duplex(self) -> bool:
        """Whether it is the single wire of a half-duplex link."""
        return self.link is not None and self.kind == self.link.single

    @property
    def says(self) -> str:
        """The lead as a sentence calls it: "the receiver's TX"."""
        return f"the {self.device.device}'s {self.name}"


def protocol_in_force(link: Link) -> SerialLink | None:
    """What the link is set to, or the only protocol it speaks; None where neither holds."""
    chosen = link.set_to or (link.speaks[0] if len(link.speaks) == 1 else None)
    return SERIAL[chosen] if chosen in link.speaks else None


def links_of(part: Device) -> list[LinkView]:
    """Every link of the device, unused ones too."""
    return [_view(part, index, link) for index, link in enumerate(part.links)]


def _view(part: Device, index: int, link: Link) -> LinkView:
    protocol = protocol_in_force(link)
    return LinkView(part, index, link, protocol, _single(link, protocol))


def _single(link: Link, protocol: SerialLink | None) -> str | None:
    """The kind of the half-duplex lead: 'one_wire', 'tx' where there is none, or None.

    Without a protocol in force a `one_wire` lead is what it is called, and a talking lead is the
    single wire where every protocol that the link speaks is of one wire.
    """
    if link.inside is not None:
        return None
    if protocol is None:
        if link.one_wire is not None:
            return "one_wire"
        return "tx" if all(SERIAL[name].one_wire for name in link.speaks) else None
    if not protocol.one_wire:
        return None
    return "tx" if link.one_wire is None else "one_wire"


def leads_of(part: Device, links: Iterable[LinkView]) -> Iterator[LeadView]:
    """Every lead of the device: of its `links`, its other leads, power and ground."""
    for view in links:
        yield from view.leads
    for lead in part.leads:
        yield LeadView(part, lead.lead, lead.signal)
    for kind, name in (("power", part.power), ("ground", part.ground)):
        if name is not None:
            yield LeadView(part, name, kind)
