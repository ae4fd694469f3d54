"""Sheets that a drawing must cope with, made from the format's own example."""

from typing import Any

from server.trade.finding import Finding, Severity, bars_of
from server.trade.sheet import Sheet, from_document
from tests import example_sheet

Document = dict[str, Any]


def finding(code: str, subject: str, severity: Severity = Severity.STOP, says: str = "") -> Finding:
    """A finding made by hand."""
    return Finding(
        code=code,
        severity=severity,
        bars=bars_of(severity),
        subject=subject,
        says=says,
        do="",
        source="made by hand for a test",
    )


def swapped() -> Sheet:
    """The video unit's two wires on each other's pads."""
    document = example_sheet.document()
    for wire in document["wires"]:
        if wire["device"] == "video unit" and wire["lead"] in ("TX", "RX"):
            wire["pad"] = {"TX": "T4", "RX": "R4"}[wire["lead"]]
    return from_document(document)


def loose() -> Sheet:
    """The receiver's RX without a wire."""
    document = example_sheet.document()
    document["wires"] = [
        w for w in document["wires"] if (w["device"], w["lead"]) != ("receiver", "RX")
    ]
    return from_document(document)


def bare() -> Sheet:
    """A board with nothing wired to it."""
    document = example_sheet.document()
    document["devices"], document["wires"], document["esc"]["outputs"] = [], [], {}
    return from_document(document)


def rude() -> Sheet:
    """Names with markup in them, names too long to show, wires to what is not there."""
    document = example_sheet.document()
    name = "<b>&\"'" + "w" * 50
    document["devices"][1]["device"] = name
    document["board"]["model"] = "<script>" + "M" * 50
    document["board"]["ports"][3]["taken_by"] = "a reason " * 6
    for wire in document["wires"]:
        if wire["device"] == "video unit":
            wire["device"] = name
    document["wires"] += [
        {"device": "nobody", "lead": "TX", "pad": "R4"},
        {"device": "receiver", "lead": "AUX", "pad": "no such pad"},
        {"device": "receiver", "lead": "TX", "pad": "R4"},
        {"device": "tail light", "lead": "DIN", "pad": "SB"},
    ]
    document["esc"]["outputs"] = {"1": "M1", "2": "M1", "3": "LED"}
    return from_document(document)


def big() -> Sheet:
    """Twelve devices on a board of forty pads."""
    document = example_sheet.document()
    board = document["board"]
    board["ports"] = [{"port": f"UART{n}"} for n in range(1, 9)]
    board["ports"] += [{"port": "UART9", "taken_by": "wireless chip"}]
    board["pads"] = _forty_pads()
    document["devices"], document["wires"] = [], []
    for name, links, leads, wires in TWELVE:
        _add(document, name, links, leads, wires)
    return from_document(document)


def _forty_pads() -> list[Document]:
    pads: list[Document] = []
    for n in range(1, 9):
        pads += [{"pad": f"R{n}", "signal": "rx", "port": f"UART{n}"}]
        pads += [{"pad": f"T{n}", "signal": "tx", "port": f"UART{n}"}]
    pads += [{"pad": f"M{n}", "signal": "motor", "output": n} for n in range(1, 9)]
    pads += [{"pad": rail, "signal": "power", "rail": rail} for rail in ("5V", "10V", "3V3")]
    pads += [{"pad": "VB", "signal": "power", "rail": "pack"}]
    pads += [{"pad": f"G{n or ''}", "signal": "ground"} for n in (0, 2, 3, 4, 5)]
    single = {"LED": "led", "BZ": "buzzer", "SDA": "sda", "SCL": "scl", "CC": "camera"}
    single |= {"RSSI": "analogue", "PPM": "ppm"}
    return pads + [{"pad": name, "signal": signal} for name, signal in single.items()]


BUS = [{"lead": "SDA", "signal": "sda"}, {"lead": "SCL", "signal": "scl"}]
ON_BUS = {"SDA": "SDA", "SCL": "SCL"}
DIN = [{"lead": "DIN", "signal": "led"}]


def _pair(role: str, protocol: str) -> list[Document]:
    return [{"role": role, "speaks": [protocol], "tx": "TX", "rx": "RX"}]


TWELVE: list[tuple[str, list[Document], list[Document], dict[str, str]]] = [
    ("receiver", _pair("receiver", "CRSF"), [], {"TX": "R1", "RX": "T1"}),
    (
        "video unit",
        [*_pair("overlay", "MSP"), {"role": "other", "speaks": ["SBUS"], "tx": "SBUS"}],
        [],
        {"TX": "R2", "RX": "T2", "SBUS": "R3"},
    ),
    ("position unit", _pair("position", "UBX"), BUS, {"TX": "R4", "RX": "T4", **ON_BUS}),
    ("compass", [], BUS, ON_BUS),
    ("barometer", [], BUS, ON_BUS),
    ("tail light", [], DIN, {"DIN": "LED"}),
    ("arm lights", [], DIN, {"DIN": "LED"}),
    ("buzzer", [], [{"lead": "BZ-", "signal": "buzzer"}], {"BZ-": "BZ"}),
    ("camera", [], [{"lead": "CC", "signal": "camera"}], {"CC": "CC"}),
    (
        "ESC telemetry",
        [{"role": "esc-telemetry", "speaks": ["ESC-TLM"], "tx": "TLM"}],
        [],
        {"TLM": "R5"},
    ),
    (
        "transmitter with a name that goes on for long",
        [{"role": "video-control", "speaks": ["VTX-9600"], "one_wire": "ONE WIRE CONTROL"}],
        [],
        {"ONE WIRE CONTROL": "T6"},
    ),
    ("ground link", _pair("ground-link", "MAVLINK"), [], {"TX": "R7", "RX": "T7"}),
]


def _add(
    document: Document,
    name: str,
    links: list[Document],
    leads: list[Document],
    wires: dict[str, str],
) -> None:
    device = {"device": name, "kind": name, "supply_v": [4.5, 26], "amps": 0.1, "links": links}
    document["devices"].append(device | {"leads": leads, "power": "5V", "ground": "GND"})
    for lead, pad in (wires | {"5V": "5V", "GND": "G"}).items():
        document["wires"].append({"device": name, "lead": lead, "pad": pad})
