"""Whole sheets for the demo shop: a board, the parts on it, and each lead on a pad."""

from typing import Any

from server.demo.boards import NAMES, parts
from server.trade.sheet import Sheet, from_document

Document = dict[str, Any]


def sheet(
    craft: str,
    board: Document,
    fitted: list[str],
    *,
    cells: int = 6,
    size: float = 5.0,
    props: str = "props-in",
    fault: str = "",
) -> Sheet:
    """A sheet with these parts wired as they should be, or with one fault done to it.

    Faults: `swapped` (the second part's leads on each other's pads), `no-telemetry` (the receiver
    does not hear the board).
    """
    known = parts()
    devices, wires, free = [], [], _free_ports(board)
    for name in fitted:
        part = {"device": NAMES[name], **known[name]}
        devices.append(part)
        wires += _wires(part, free, board)
    document = {
        "sheet": 1,
        "craft": {"name": craft, "size_in": size, "props": props},
        "board": board,
        "devices": devices,
        "wires": _faulted(wires, devices, fault),
        **_drive(cells, board),
    }
    return from_document(document)


def _drive(cells: int, board: Document) -> Document:
    esc: Document = {
        "speaks": ["DShot300", "DShot600"],
        "feedback": True,
        "set_to": "DShot300",
        "use_feedback": True,
        "supply_v": [6.0, 52.2],
        "amps": 50,
        "outputs": {str(n): f"M{n}" for n in range(1, 5)},
    }
    return {
        "esc": esc,
        "motors": {"kv": 1900 if cells > 4 else 2600, "poles": 14, "peak_amps": 36},
        "battery": {"chemistry": "LiPo", "cells": cells, "capacity_mah": 1100},
        "control": {"loop_hz": 4000},
    }


def _free_ports(board: Document) -> list[str]:
    """Numbers of the ports that have both a listening and a talking pad, in board order."""
    talking = {pad["port"] for pad in board["pads"] if pad["signal"] == "tx"}
    return [p["port"].removeprefix("UART") for p in board["ports"] if p["port"] in talking]


def _wires(part: Document, free: list[str], board: Document) -> list[Document]:
    link, device = part["links"][0], part["device"]
    rail = "10V" if part["supply_v"][0] >= 8 else "5V"
    wires = [
        {"device": device, "lead": part["power"], "pad": rail},
        {"device": device, "lead": part["ground"], "pad": "G"},
    ]
    inverted = [pad["pad"] for pad in board["pads"] if pad.get("inverter")]
    if link["speaks"] == ["SBUS"] and inverted:
        return [{"device": device, "lead": link["tx"], "pad": inverted[0]}, *wires]
    number = free.pop(0)
    pads = {"tx": f"R{number}", "rx": f"T{number}", "one_wire": f"T{number}"}
    leads = [(link[side], pads[side]) for side in ("tx", "rx", "one_wire") if side in link]
    return [*({"device": device, "lead": lead, "pad": pad} for lead, pad in leads), *wires]


def _faulted(wires: list[Document], devices: list[Document], fault: str) -> list[Document]:
    if fault == "no-telemetry":
        return [w for w in wires if (w["device"], w["lead"]) != ("receiver", "RX")]
    if fault == "swapped":
        pair = [w for w in wires if w["device"] == devices[1]["device"] and w["lead"] in "TXRX"]
        pair[0]["pad"], pair[1]["pad"] = pair[1]["pad"], pair[0]["pad"]
    return wires
