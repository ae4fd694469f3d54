"""Build sheets for laws: `sheets()` valid but wired anyhow, `clean_sheets()` without a fault.

A sheet is thrown by dice from a seed, as a document, and then read, so that every sheet has passed
the reader. Hypothesis chooses the seed: a sheet of some hundred single draws would cost a tenth of
a second each, and the laws would see fewer of them.
"""

from collections.abc import Sequence
from decimal import Decimal
from random import Random
from typing import Any, TypeVar

from hypothesis import strategies as st

from server.trade.sheet import Sheet, from_document

Document = dict[str, Any]
Item = TypeVar("Item")

PROTOCOLS = (
    "CRSF",
    "SBUS",
    "FPORT",
    "IBUS",
    "SUMD",
    "SRXL2",
    "DSM",
    "GHST",
    "PPM",
    "MSP",
    "MAVLINK",
    "NMEA",
    "UBX",
    "ESC-TLM",
    "VTX-4800",
    "VTX-9600",
    "SPORT",
    "EXBUS",
)
ONE_WIRE = ("FPORT", "SRXL2", "GHST", "VTX-4800", "VTX-9600", "SPORT", "EXBUS")
TWO_WIRE = ("CRSF", "MSP", "MAVLINK", "UBX")
HEARD_ONLY = ("SBUS", "IBUS", "SUMD", "DSM", "NMEA", "ESC-TLM")
ROLES = (
    "telemetry",
    "overlay",
    "video-control",
    "position",
    "esc-telemetry",
    "ground-link",
    "other",
)
MCUS = ("STM32F405", "STM32F722", "stm32h743vit6", "AT32F435", "RP2350A", "XMC4700", "STM32G474")
INVERTING = ("STM32F722", "stm32h743vit6", "RP2350A", "STM32G474", "STM32F303")
MOTOR_LINKS = (
    "PWM",
    "OneShot125",
    "OneShot42",
    "Multishot",
    "DShot150",
    "DShot300",
    "DShot600",
    "brushed",
)
NAMES = ("gps", "Receiver", "video unit", "Kamera ä", "光", "a b", "5V", "R1", "x" * 60, "#")

# Ends of ranges and shares lie among these on purpose, so that laws meet the boundaries.
VOLTS = [Decimal(text) for text in ("3.3", "5", "5.0", "9", "10.00", "12", "25.2", "25.20000001")]
AMPS = [Decimal(text) for text in ("0", "0.1", "0.15", "1.6", "2", "2.0000000000000000001", "45")]
LOOPS = (475, 1000, 3990, 4000, 8000, 32000, 10**9)
LEAD_SIGNALS = (
    "led",
    "buzzer",
    "camera",
    "sda",
    "scl",
    "analogue",
    "video-in",
    "video-out",
)
PAD_SIGNALS = (*LEAD_SIGNALS, "power", "ground", "motor", "ppm")


class Dice(Random):
    """Throws for the parts of a sheet."""

    def some(self, items: Sequence[Item], low: int, high: int) -> list[Item]:
        """From `low` to `high` different items, in any order."""
        return self.sample(items, min(self.randint(low, high), len(items)))

    def coin(self) -> bool:
        """Even chances."""
        return self.random() < 0.5

    def quantity(self) -> Decimal:
        """An exact number above zero, from very small to very large."""
        if self.coin():
            return self.choice(VOLTS)
        return Decimal(self.randint(1, 10 ** self.randint(1, 30))).scaleb(self.randint(-40, 6))

    def span(self) -> list[Decimal]:
        """Low and high."""
        return sorted([self.quantity(), self.quantity()])

    def maybe(self, **values: object) -> Document:
        """Each key there or left out."""
        return {key: value for key, value in values.items() if self.coin()}


def quantities() -> st.SearchStrategy[Decimal]:
    """Exact numbers above zero, from very small to very large."""
    return st.integers(0, 2**32).map(lambda seed: Dice(seed).quantity())


def _pad(dice: Dice, name: str, ports: list[str], rails: list[str]) -> Document:
    signal = dice.choice(("rx", "tx") if ports and dice.coin() else PAD_SIGNALS)
    document: Document = {"pad": name, "signal": signal}
    if signal in ("rx", "tx"):
        document["port"] = dice.choice(ports)
    if signal == "power":
        document["rail"] = dice.choice([*rails, "pack"])
    if signal == "motor":
        document["output"] = dice.randint(1, 8)
    return document | dice.maybe(
        timer=dice.choice(("TIM1", "TIM2")), max_v=dice.choice(VOLTS), inverter=dice.coin()
    )


def _board(dice: Dice) -> Document:
    ports = [f"UART{n}" for n in range(1, dice.randint(0, 4) + 1)]
    rails = [f"rail {n}" for n in range(dice.randint(0, 2))]
    bauds = (9600, 115200, 420000, Decimal("115199.9"))
    taken = {"taken_by": "wireless chip"}
    names = dice.some([f"P{n}" for n in range(16)], 0, 16)
    return {
        "model": "Brindle",
        "mcu": dice.choice(MCUS),
        "supply_v": dice.span(),
        "rails": [
            {"rail": n, "volts": dice.choice(VOLTS)} | _known(dice, amps=dice.choice(AMPS))
            for n in rails
        ],
        "ports": [
            {"port": name}
            | dice.maybe(max_baud=dice.choice(bauds))
            | ({"software": True} if dice.random() < 0.2 else {})
            | (taken if dice.coin() else {})
            for name in ports
        ],
        "pads": [_pad(dice, name, ports, rails) for name in names],
        **dice.maybe(usb_feeds=dice.some([*rails, "pack"], 0, 2)),
    }


def _known(dice: Dice, **values: object) -> Document:
    """Each key there, but for one in five."""
    return {key: value for key, value in values.items() if dice.random() < 0.8}


def _link(dice: Dice, index: int) -> Document:
    speaks = dice.some(PROTOCOLS, 1, 2)
    document: Document = {"role": dice.choice(("receiver", *ROLES)), "speaks": speaks}
    kinds = dice.some(("tx", "rx", "one_wire"), 1, 3)
    document |= {kind: f"{kind}{index}" for kind in kinds}
    chosen = dice.choice((*speaks, dice.choice(PROTOCOLS)))
    used = {"in_use": False} if dice.random() < 0.2 else {}
    own = {"inverted": dice.coin()} if dice.random() < 0.2 else {}
    return document | used | own | dice.maybe(set_to=chosen, level_v=dice.choice(VOLTS))


def _device(dice: Dice, name: str) -> Document:
    signals = dice.choice((*((signal,) for signal in LEAD_SIGNALS), ("sda", "scl")))
    leads: list[Document] = [{"lead": f"L{n}", "signal": s} for n, s in enumerate(signals)]
    for lead in leads:
        if lead["signal"] == "analogue":
            lead |= dice.maybe(level_v=dice.choice(VOLTS))
    return {
        "device": name,
        "kind": dice.choice(("other", "receiver", "video")),
        "supply_v": dice.span(),
        **_known(dice, amps=dice.choice(AMPS)),
        "links": [_link(dice, n) for n in range(dice.randint(0, 2))],
        **dice.maybe(leads=leads, power="V+", ground="GND"),
    }


def _built_in(dice: Dice, name: str, ports: list[Document]) -> Document:
    """A part that sits on the board, on SPI or in a port that is marked as its own, or is not."""
    port = dice.choice([*ports, None])
    words = [word for word in PROTOCOLS if word != "PPM"]
    link: Document = {"role": dice.choice(("receiver", *ROLES)), "inside": "SPI"}
    if port is not None:
        link |= {"inside": port["port"], "speaks": dice.some(words, 1, 2)}
        link |= dice.maybe(set_to=dice.choice(words))
        if dice.coin():
            port["taken_by"] = name
    if dice.random() < 0.2:
        link["in_use"] = False
    return {"device": name, "kind": "other", "built_in": True, "links": [link]}


def lead_names(device: Document) -> list[str]:
    """Every lead of a device's document."""
    kinds = ("tx", "rx", "one_wire")
    links = [link[kind] for link in device.get("links", []) for kind in kinds if kind in link]
    others = [lead["lead"] for lead in device.get("leads", [])]
    return links + others + [device[key] for key in ("power", "ground") if key in device]


def _wires(dice: Dice, devices: list[Document], pads: list[str]) -> list[Document]:
    ends = [(device["device"], lead) for device in devices for lead in lead_names(device)]
    strays = [("nobody", "TX")] + [(device["device"], "no lead") for device in devices[:1]]
    found = set()
    for _ in range(dice.randint(0, 16)):
        device, lead = dice.choice(ends if ends and dice.random() < 0.9 else strays)
        pad = dice.choice(pads) if pads and dice.random() < 0.9 else "no pad"
        found.add((device, lead, pad))
    return [{"device": device, "lead": lead, "pad": pad} for device, lead, pad in sorted(found)]


def _esc(dice: Dice, pads: list[str]) -> Document:
    channels = dice.some("1234", 0, 4)
    return {
        "speaks": dice.some(MOTOR_LINKS, 1, 3),
        "supply_v": dice.span(),
        **_known(dice, amps=dice.choice(AMPS)),
        "outputs": {channel: dice.choice([*pads, "no pad"]) for channel in channels},
        **dice.maybe(
            set_to=dice.choice(MOTOR_LINKS), feedback=dice.coin(), use_feedback=dice.coin()
        ),
    }


def any_document(seed: int) -> Document:
    """A valid sheet as a document, wired anyhow: most have several faults."""
    dice = Dice(seed)
    board = _board(dice)
    pads = [pad["pad"] for pad in board["pads"]]
    names = dice.some(NAMES, 0, 4)
    devices = [_device(dice, name) for name in names]
    wires = _wires(dice, devices, pads)
    if dice.random() < 0.3:  # one at most: of two in one port the order says which is at fault
        name = next(name for name in NAMES if name not in names)
        devices.append(_built_in(dice, name, board["ports"]))
    return {
        "sheet": 1,
        "craft": {"name": dice.choice(NAMES), "props": "props-in"},
        "board": board,
        "devices": devices,
        "wires": wires,
        "esc": _esc(dice, pads),
        "motors": _known(dice, kv=1900, poles=dice.choice((13, 14)), peak_amps=dice.quantity()),
        "battery": {
            "chemistry": dice.choice(("LiPo", "LiHV", "Li-ion")),
            "cells": dice.randint(1, 14),
        },
        "control": _known(dice, loop_hz=dice.choice(LOOPS)),
    }


def documents() -> st.SearchStrategy[Document]:
    """Valid sheets as documents, wired anyhow."""
    return st.integers(0, 2**32).map(any_document)


def sheets() -> st.SearchStrategy[Sheet]:
    """Valid sheets with arbitrary wiring, faulty in most ways that a sheet can be."""
    return documents().map(from_document)


def _own_port(index: int, protocol: str) -> tuple[list[Document], dict[str, str]]:
    """The pads of one link's own port, and the pad of each kind of lead."""
    port, rx, tx = f"UART{index}", f"R{index}", f"T{index}"
    pads: list[Document] = [
        {"pad": rx, "signal": "rx", "port": port},
        {"pad": tx, "signal": "tx", "port": port},
    ]
    if protocol in ONE_WIRE:
        return pads, {"one_wire": tx}
    return pads, {"tx": rx} if protocol in HEARD_ONLY else {"tx": rx, "rx": tx}


def _bare_and_clean(dice: Dice) -> Document:
    cells = dice.randint(1, 14)
    span = [Decimal("3.3") * cells, Decimal("4.20") * cells]
    motors = [
        {"pad": f"M{n}", "signal": "motor", "output": n, "timer": "TIM1"} for n in range(1, 5)
    ]
    power = [{"pad": "5V", "signal": "power", "rail": "5V"}, {"pad": "G", "signal": "ground"}]
    order = dice.sample(["M1", "M2", "M3", "M4"], 4)
    return {
        "sheet": 1,
        "craft": {"name": "Kittiwake", "props": dice.choice(("props-in", "props-out"))},
        "board": {
            "model": "Brindle",
            "mcu": dice.choice(INVERTING),
            "supply_v": span,
            "rails": [{"rail": "5V", "volts": 5, "amps": dice.choice((Decimal("1.5"), 2))}],
            "ports": [],
            "pads": [*power, *motors],
        },
        "devices": [],
        "wires": [],
        "esc": {
            "speaks": ["DShot300", "DShot600"],
            "set_to": "DShot600",
            "feedback": True,
            "use_feedback": dice.coin(),
            "supply_v": span,
            "amps": 50,
            "outputs": dict(zip("1234", order, strict=True)),
        },
        "motors": {"kv": 1900, "poles": 14, "peak_amps": dice.choice((10, 40))},
        "battery": {"chemistry": "LiPo", "cells": cells},
        "control": {"loop_hz": dice.choice((1000, 4000, 8000))},
    }


def _seat(dice: Dice, document: Document, index: int, protocol: str) -> None:
    """One more part, on a port of its own and fed from the 5 V rail."""
    pads, leads = _own_port(index, protocol)
    document["board"]["ports"].append({"port": f"UART{index}"})
    document["board"]["pads"] += pads
    role = "receiver" if index == 1 else dice.choice(ROLES)
    name = f"{dice.choice(('part', 'Gerät', 'unit'))} {index}"
    document["devices"].append(
        {
            "device": name,
            "kind": "other",
            "supply_v": [Decimal("4.5"), Decimal("5.5")],
            "amps": dice.choice((0, Decimal("0.1"), Decimal("0.2"))),
            "links": [{"role": role, "speaks": [protocol], **{kind: kind for kind in leads}}],
            "power": "5V",
            "ground": "GND",
        }
    )
    ends = {**leads, "5V": "5V", "GND": "G"}
    document["wires"] += [{"device": name, "lead": end, "pad": pad} for end, pad in ends.items()]


def clean_document(seed: int) -> Document:
    """A sheet without a stop or a caution: each link on a port of its own, everything fed."""
    dice = Dice(seed)
    document = _bare_and_clean(dice)
    protocols = dice.some([*TWO_WIRE, *HEARD_ONLY, *ONE_WIRE], 1, 6)
    for index, protocol in enumerate(protocols, start=1):
        _seat(dice, document, index, protocol)
    dice.shuffle(document["wires"])
    return document


def clean_documents() -> st.SearchStrategy[Document]:
    """Sheets as documents, on which no rule finds anything."""
    return st.integers(0, 2**32).map(clean_document)


def clean_sheets() -> st.SearchStrategy[Sheet]:
    """Sheets on which no rule finds anything, on boards with some pads to spare."""
    return clean_documents().map(from_document)
