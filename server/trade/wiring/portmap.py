"""The port map: which link has each port of the board, as wired."""

from dataclasses import asdict, dataclass

from server.trade.sheet import Port, Sheet
from server.trade.wiring.joints import Joint
from server.trade.wiring.leads import LinkView
from server.trade.wiring.wiring import Wiring

BOTH = " + "


@dataclass(frozen=True, slots=True)
class PortRow:
    """One port. None where nothing is wired in its place, or no protocol is in force.

    `line` is rate and frame, '420000 8N1'. `hears_…` is where the board listens, `talks_…` where it
    talks; a half-duplex wire is on both. A built-in link has neither pads nor leads, and stands
    before those that are wired to its port. Where several links are on one port, their names are
    joined with ' + '.
    """

    port: str
    taken_by: str | None
    device: str | None = None
    role: str | None = None
    protocol: str | None = None
    line: str | None = None
    hears_pad: str | None = None
    hears_lead: str | None = None
    talks_pad: str | None = None
    talks_lead: str | None = None

    def as_json(self) -> dict[str, str | None]:
        """The row as the command line prints it."""
        return asdict(self)


def port_map(sheet: Sheet) -> tuple[PortRow, ...]:
    """One row for each port of the board, in board order."""
    wiring = Wiring(sheet)
    return tuple(
        _row(port, wiring.claims[port.port], wiring.takers.get(port.port, []))
        for port in sheet.board.ports
    )


def _row(port: Port, claims: list[Joint], takers: list[LinkView]) -> PortRow:
    wired = (j.lead.link for j in claims if j.lead is not None and j.lead.link)
    views = list(dict.fromkeys([*takers, *wired]))
    protocols = [view.protocol for view in views]
    hears = [joint for joint in claims if "rx" in joint.sides]
    talks = [joint for joint in claims if "tx" in joint.sides]
    return PortRow(
        port=port.port,
        taken_by=port.taken_by,
        device=_joined([view.device.device for view in views]),
        role=_joined([view.link.role for view in views]),
        protocol=_joined([protocol.name for protocol in protocols if protocol]),
        line=_joined([protocol.line for protocol in protocols if protocol]),
        hears_pad=_joined([joint.wire.pad for joint in hears]),
        hears_lead=_joined([joint.wire.lead for joint in hears]),
        talks_pad=_joined([joint.wire.pad for joint in talks]),
        talks_lead=_joined([joint.wire.lead for joint in talks]),
    )


def _joined(names: list[str]) -> str | None:
    return BOTH.join(dict.fromkeys(names)) or None
