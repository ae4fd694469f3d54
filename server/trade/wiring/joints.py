"""How one wire stands: whether its lead is on a pad of its kind, and in its place there."""

from dataclasses import dataclass
from enum import StrEnum

from server.trade.sheet import Pad, Wire
from server.trade.wiring.leads import LeadView

SERIAL_PADS = ("rx", "tx")


class WireStatus(StrEnum):
    """What is to be said of one wire by itself."""

    UNUSED = "unused"  # its link is not in use: no rule looks at it, but that the pad must be there
    ADRIFT = "adrift"  # its device, lead or pad is not in the sheet
    WRONG_SIGNAL = "wrong-signal"  # the pad is of another kind
    SWAPPED = "swapped"  # a talking lead on a talking pad, or a listening one on a listening pad
    MISPLACED = "misplaced"  # a half-duplex lead on a listening pad
    SPARE = "spare"  # the protocol does not need the lead, and it does no harm there
    SEATED = "seated"  # in its place


# Standings in which lead and pad are of one kind, so that level and crowding are looked at.
FITTING = frozenset({WireStatus.SWAPPED, WireStatus.MISPLACED, WireStatus.SPARE, WireStatus.SEATED})


@dataclass(frozen=True, slots=True, eq=False)
class Joint:
    """One wire with its lead and pad, each None where the sheet has no such thing."""

    wire: Wire
    lead: LeadView | None
    pad: Pad | None
    standing: WireStatus

    @property
    def fits(self) -> bool:
        """Whether lead and pad are of one kind; both are then there."""
        return self.standing in FITTING

    @property
    def drives(self) -> bool:
        """Whether it fits and the device puts a signal on the pad."""
        return self.fits and self.lead is not None and self.lead.drives

    @property
    def claims(self) -> bool:
        """Whether it is a serial lead in its place, which takes its side of the pad's port."""
        if self.standing is not WireStatus.SEATED or self.lead is None or self.pad is None:
            return False
        return self.lead.serial and self.pad.port is not None

    @property
    def sides(self) -> tuple[str, ...]:
        """The sides of the port it claims: 'rx' where the board listens, 'tx' where it talks."""
        if not self.claims or self.lead is None or self.pad is None:
            return ()
        return SERIAL_PADS if self.lead.half_duplex else (self.pad.signal,)


def stand(lead: LeadView | None, pad: Pad | None) -> WireStatus:
    """How a wire from `lead` to `pad` stands."""
    if lead is not None and not lead.in_use:
        return WireStatus.UNUSED
    if lead is None or pad is None:
        return WireStatus.ADRIFT
    if not _same_kind(lead, pad):
        return WireStatus.WRONG_SIGNAL
    return _serial(lead, pad) if lead.serial and pad.signal in SERIAL_PADS else WireStatus.SEATED


def _same_kind(lead: LeadView, pad: Pad) -> bool:
    if lead.link is None:
        return lead.pad_signal == pad.signal
    link, protocol = lead.link.link, lead.link.protocol
    pulses = protocol is not None and protocol.baud is None
    if pad.signal == "ppm":
        # Without a protocol in force the pad is right for what the link could be set to.
        return pulses or (protocol is None and "PPM" in link.speaks)
    return pad.signal in SERIAL_PADS and not (pulses and lead.needed)


def _serial(lead: LeadView, pad: Pad) -> WireStatus:
    """How a serial lead stands on a port's pad."""
    if lead.half_duplex:
        return WireStatus.SEATED if pad.signal == "tx" else WireStatus.MISPLACED
    if lead.drives:
        if pad.signal == "tx":
            return WireStatus.SWAPPED
        return WireStatus.SEATED if lead.needed else WireStatus.SPARE
    if not lead.needed:
        return WireStatus.SPARE
    return WireStatus.SEATED if pad.signal == "tx" else WireStatus.SWAPPED
