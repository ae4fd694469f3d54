"""What of the sheet decides whether a symptom or a cause can be there at all."""

from collections.abc import Callable

from server.trade.sheet import Link, Sheet
from server.trade.tables.motor_links import MOTOR_LINKS
from server.trade.tables.serial import SERIAL
from server.trade.wiring.leads import protocol_in_force

Condition = Callable[[Sheet], bool]


def links(sheet: Sheet, role: str) -> list[Link]:
    """The links in use of this role."""
    return [li for part in sheet.devices for li in part.links if li.in_use and li.role == role]


def has_link(role: str) -> Condition:
    """Whether a link of this role is in use."""
    return lambda sheet: bool(links(sheet, role))


def has_lead(signal: str) -> Condition:
    """Whether a part has a lead of this signal."""
    return lambda sheet: any(lead.signal == signal for d in sheet.devices for lead in d.leads)


def _two_wires(role: str) -> Condition:
    return lambda sheet: any(link.tx and link.rx for link in links(sheet, role))


def _inverted(sheet: Sheet) -> bool:
    """A receiver that is set to an inverted protocol, or has none chosen and speaks one."""
    for link in links(sheet, "receiver"):
        chosen = protocol_in_force(link)
        if any(p.inverted for p in ([chosen] if chosen else [SERIAL[n] for n in link.speaks])):
            return True
    return False


def _pulses(sheet: Sheet) -> bool:
    """An ESC that is, or may be, driven by analogue pulses, whose ends it has to be taught."""
    esc = sheet.esc
    names = [esc.set_to] if esc.set_to else esc.speaks
    return any(MOTOR_LINKS[name].pulse_us for name in names)


CONDITIONS: dict[str, tuple[str, Condition]] = {
    "overlay": ("an overlay link in use", has_link("overlay")),
    "overlay-pair": ("an overlay link with both wires", _two_wires("overlay")),
    "video-control": ("a control link of a video transmitter", has_link("video-control")),
    "position": ("a position unit's link in use", has_link("position")),
    "position-pair": ("a position unit with both wires", _two_wires("position")),
    "receiver-pair": ("a receiver with both wires", _two_wires("receiver")),
    "inverted": ("a receiver that may speak an inverted protocol", _inverted),
    "pulses": ("an ESC that may be driven by analogue pulses", _pulses),
    "light": ("a light on a pad of the board", has_lead("led")),
}


def met(name: str, sheet: Sheet | None) -> bool:
    """Whether the sheet allows it; without a condition, or before there is a sheet, it does."""
    return not name or sheet is None or CONDITIONS[name][1](sheet)
