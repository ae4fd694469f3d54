"""The example with every further kind of part fitted, so that every step there is comes up."""

from typing import Any

from server.trade.sheet import Sheet, from_document
from tests import example_sheet

LINKS = (
    ("gnss", "position", "UBX", "UART3"),
    ("picture sender", "video-control", "VTX-9600", "UART7"),
    ("speed controller", "esc-telemetry", "ESC-TLM", "UART8"),
    ("ground radio", "ground-link", "MAVLINK", "UART9"),
    ("rangefinder", "other", "MSP", "UART10"),
)
LEADS = (
    ("beeper", "buzzer"),
    ("compass", "sda"),
    ("airspeed sensor", "analogue"),
    ("lens", "camera"),
)


def document() -> dict[str, Any]:
    """A sheet with no finding at `stop`, the caller's own copy."""
    sheet = example_sheet.document()
    for name, role, protocol, port in LINKS:
        _link(sheet, name, role, protocol, port)
    for name, signal in LEADS:
        sheet["board"]["pads"].append({"pad": signal.upper(), "signal": signal})
        _part(sheet, name, leads=[{"lead": "S", "signal": signal}])
        sheet["wires"].append({"device": name, "lead": "S", "pad": signal.upper()})
    return sheet


def sheet() -> Sheet:
    """The same as a sheet."""
    return from_document(document())


def _link(sheet: dict[str, Any], name: str, role: str, protocol: str, port: str) -> None:
    board = sheet["board"]
    if port not in [row["port"] for row in board["ports"]]:
        board["ports"].append({"port": port})
    hears, talks = f"R{port}", f"T{port}"
    board["pads"] += [
        {"pad": hears, "signal": "rx", "port": port},
        {"pad": talks, "signal": "tx", "port": port},
    ]
    leads = {"tx": "TX", "rx": "RX"}
    if protocol.startswith("VTX"):
        leads = {"one_wire": "CTRL"}
    _part(sheet, name, links=[{"role": role, "speaks": [protocol], **leads}])
    pads = {"TX": hears, "RX": talks, "CTRL": talks}
    for lead in leads.values():
        sheet["wires"].append({"device": name, "lead": lead, "pad": pads[lead]})


def _part(sheet: dict[str, Any], name: str, **more: object) -> None:
    part = {"device": name, "kind": "other", "supply_v": [4.5, 5.5], "amps": 0.02}
    sheet["devices"].append(part | more)
