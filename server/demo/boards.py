"""Twelve flight controllers of our own invention, on chips that exist; and parts to fit on them."""

from typing import Any

Document = dict[str, Any]

# Maker, model, chip, ports that bring out both sides, a pad with a fixed inverter (port, pad),
# a port that a part of the board takes, timers of the motor pads, supply.
_BOARDS: tuple[tuple[str, str, str, str, str, str, str, tuple[float, float]], ...] = (
    ("Alder & Finch", "Brindle F7", "STM32F722", "1 3 4", "", "6 wireless chip", "3344", (9, 26)),
    (
        "Alder & Finch",
        "Brindle F7 rev B",
        "STM32F722",
        "1 2 3 4",
        "",
        "6 wireless chip",
        "3344",
        (9, 26),
    ),
    ("Alder & Finch", "Brindle Mini", "STM32F411", "1 2", "", "", "1122", (6, 18)),
    ("Wicket Works", "Wicket F4", "STM32F405", "1 3 4 6", "2 SB", "", "3388", (7, 26)),
    ("Wicket Works", "Wicket F4 mini", "STM32F405", "1 3 4", "2 SB", "", "3388", (7, 18)),
    ("Wicket Works", "Wicket H7", "STM32H743", "1 2 3 4 6 7 8", "", "", "3355", (10, 52)),
    ("Tessera", "Tessera H7", "STM32H743", "1 2 3 4 6 8", "", "7 bluetooth chip", "2244", (9, 36)),
    ("Tessera", "Tessera G4", "STM32G474", "1 2 3 4", "", "", "1133", (6, 26)),
    ("Tessera", "Tessera AT", "AT32F435", "1 2 3 5 7", "8 SB", "", "3344", (7, 26)),
    ("Moss Lane", "Moss F745", "STM32F745", "1 2 3 4 7", "", "", "3344", (9, 30)),
    ("Moss Lane", "Moss F3", "STM32F303", "1 2 3", "", "", "2233", (6, 18)),
    ("Moss Lane", "Moss RP", "RP2350", "1 2", "", "", "1122", (6, 26)),
)


def boards() -> list[Document]:
    """Each as the `board` of a sheet."""
    return [_board(*row) for row in _BOARDS]


def _board(
    maker: str,
    model: str,
    mcu: str,
    both: str,
    inverted: str,
    taken: str,
    timers: str,
    supply: tuple[float, float],
) -> Document:
    ports: list[Document] = []
    pads: list[Document] = []
    for number in both.split():
        port = f"UART{number}"
        ports.append({"port": port})
        pads += [
            {"pad": f"R{number}", "signal": "rx", "port": port},
            {"pad": f"T{number}", "signal": "tx", "port": port},
        ]
    if inverted:
        number, pad = inverted.split()
        ports.append({"port": f"UART{number}"})
        pads.append({"pad": pad, "signal": "rx", "port": f"UART{number}", "inverter": True})
    if taken:
        number, by = taken.split(maxsplit=1)
        ports.append({"port": f"UART{number}", "taken_by": by})
    pads += [
        {"pad": "5V", "signal": "power", "rail": "5V"},
        {"pad": "10V", "signal": "power", "rail": "10V"},
        {"pad": "3V3", "signal": "power", "rail": "3V3"},
        {"pad": "VB", "signal": "power", "rail": "pack"},
        {"pad": "G", "signal": "ground"},
        {"pad": "G2", "signal": "ground"},
        *(
            {"pad": f"M{n}", "signal": "motor", "output": n, "timer": f"TIM{timers[n - 1]}"}
            for n in range(1, 5)
        ),
        {"pad": "LED", "signal": "led", "timer": "TIM17"},
        {"pad": "BZ", "signal": "buzzer"},
        {"pad": "CAM", "signal": "camera"},
    ]
    return {
        "maker": maker,
        "model": model,
        "mcu": mcu,
        "supply_v": list(supply),
        "rails": [
            {"rail": "5V", "volts": 5.0, "amps": 2.0},
            {"rail": "10V", "volts": 10.0, "amps": 2.0},
            {"rail": "3V3", "volts": 3.3, "amps": 0.3},
        ],
        "ports": ports,
        "pads": pads,
    }


def _part(
    kind: str,
    maker: str,
    model: str,
    low: float,
    high: float,
    amps: float,
    link: Document | None,
    power: str = "5V",
) -> Document:
    links = {"links": [link]} if link else {}
    return {
        "kind": kind,
        "maker": maker,
        "model": model,
        "supply_v": [low, high],
        "amps": amps,
        **links,
        "power": power,
        "ground": "GND",
    }


def parts() -> dict[str, Document]:
    """Parts by a short name, each an entry of `devices` without the device's own name."""
    both = {"tx": "TX", "rx": "RX"}
    return {
        "lark": _part(
            "receiver",
            "Alder & Finch",
            "Lark Nano",
            4.5,
            5.5,
            0.15,
            {"role": "receiver", "speaks": ["CRSF", "SBUS"], "set_to": "CRSF"} | both,
        ),
        "wren": _part(
            "receiver",
            "Tessera",
            "Wren S",
            4.5,
            5.5,
            0.1,
            {"role": "receiver", "speaks": ["SBUS"], "tx": "SBUS"},
        ),
        "linnet": _part(
            "receiver",
            "Moss Lane",
            "Linnet",
            4.5,
            8.4,
            0.12,
            {"role": "receiver", "speaks": ["GHST"], "one_wire": "SIG"},
        ),
        "pipit": _part(
            "video",
            "Alder & Finch",
            "Pipit",
            8.0,
            26.0,
            0.9,
            {"role": "overlay", "speaks": ["MSP"]} | both,
            power="VIN",
        ),
        "heron": _part(
            "video",
            "Tessera",
            "Heron A",
            4.5,
            5.5,
            0.6,
            {"role": "video-control", "speaks": ["VTX-4800"], "one_wire": "CTL"},
        ),
        "sedge": _part(
            "position",
            "Wicket Works",
            "Sedge",
            4.5,
            5.5,
            0.09,
            {"role": "position", "speaks": ["UBX", "NMEA"], "set_to": "UBX"} | both,
        ),
        "tern": _part(
            "radio-link",
            "Moss Lane",
            "Tern",
            4.5,
            5.5,
            0.2,
            {"role": "ground-link", "speaks": ["MAVLINK"]} | both,
        ),
    }


NAMES = {
    "lark": "receiver",
    "wren": "receiver",
    "linnet": "receiver",
    "pipit": "video unit",
    "heron": "video transmitter",
    "sedge": "position unit",
    "tern": "ground link",
}
