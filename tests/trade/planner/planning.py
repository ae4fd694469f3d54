"""Small boards for the planner's tests, and the plan found by trying every placement.

The oracle knows nothing of the planner: it puts every lead on every pad, sets every protocol, asks
the rules, and keeps the cheapest sheet on which they find nothing about the wiring.
"""

from collections.abc import Iterator
from itertools import combinations, product
from typing import Any

from server.trade.finding import Finding
from server.trade.planner import WIRING_CODES, Plan
from server.trade.rules import RULES, check
from server.trade.sheet import Link, Sheet, Wire, from_document
from server.trade.wiring.wiring import Wiring
from tests.strategies import ONE_WIRE, TWO_WIRE, Dice

# Those that see most faults first, for the oracle asks them ten thousand times.
CODES = sorted(
    WIRING_CODES, key=lambda code: (code not in ("link-incomplete", "lines-swapped"), code)
)
Document = dict[str, Any]
Ends = dict[tuple[str, str], tuple[str, ...]]
# The links met on most craft, and one of each kind; PPM has a pad of its own.
WORDS = ("CRSF", "SBUS", "IBUS", "MSP", "UBX", "FPORT", "SRXL2", "PPM", "VTX-4800")
WAYS = {word: {"hear"} for word in WORDS} | {
    word: {"hear", "talk"} for word in (*ONE_WIRE, *TWO_WIRE)
}


def wiring_findings(sheet: Sheet) -> list[Finding]:
    """What the rules find about the wiring."""
    return [found for found in check(sheet) if found.code in WIRING_CODES]


def is_clean(sheet: Sheet) -> bool:
    """Whether no rule about the wiring finds anything; the same as above, sooner answered."""
    wiring = Wiring(sheet)
    return not any(True for code in CODES for _ in RULES[code].find(wiring))


def frame(board: Document, devices: list[Document], wires: list[Document]) -> Document:
    """A sheet around a board and its parts on which the rest is in order."""
    motors = [
        {"pad": f"M{n}", "signal": "motor", "output": n, "timer": "TIM1"} for n in range(1, 5)
    ]
    whole = {"model": "Brindle", "mcu": "STM32F405", "supply_v": [9, 30], "rails": [], **board}
    whole["pads"] = [*whole["pads"], *motors]
    return {
        "sheet": 1,
        "craft": {"name": "Kittiwake", "props": "props-in"},
        "board": whole,
        "devices": devices,
        "wires": wires,
        "esc": {
            "speaks": ["DShot300"],
            "supply_v": [9, 30],
            "amps": 50,
            "outputs": {str(n): f"M{n}" for n in range(1, 5)},
        },
        "motors": {"kv": 1900, "poles": 14, "peak_amps": 20},
        "battery": {"chemistry": "LiPo", "cells": 4},
        "control": {"loop_hz": 4000},
    }


def small_document(seed: int, links: int = 2) -> Document:
    """A board of two or three ports with a few links on it, wired anyhow."""
    dice = Dice(seed)
    board = _small_board(dice)
    names = [pad["pad"] for pad in board["pads"]]
    devices = [_small_part(dice, f"part {n}") for n in range(1, links + 1)]
    wires = []
    for part in devices:
        for kind in ("tx", "rx", "one_wire"):
            if kind in part["links"][0]:
                count = dice.choice((0, 1, 1, 1, 1, 2))
                for name in dice.some([*names, "M1", "no pad"], count, count):
                    wires.append({"device": part["device"], "lead": kind, "pad": name})
    return frame(board, devices, wires)


def _small_board(dice: Dice) -> Document:
    ports, pads = [], []
    for n in range(1, dice.randint(2, 3) + 1):
        slow = {"max_baud": dice.choice((19200, 115200))} if dice.random() < 0.2 else {}
        taken = {"taken_by": "wireless chip"} if dice.random() < 0.1 else {}
        ports.append({"port": f"UART{n}", **slow, **taken})
        for signal, letter in (("rx", "R"), ("tx", "T")):
            if dice.random() < 0.9:
                low = {"max_v": 3.0} if dice.random() < 0.1 else {}
                inverter = {"inverter": True} if dice.random() < 0.1 else {}
                pads.append(
                    {"pad": f"{letter}{n}", "signal": signal, "port": f"UART{n}", **low, **inverter}
                )
    if dice.random() < 0.5:
        pads.append({"pad": "SB", "signal": "rx", "port": "UART2", "inverter": True})
    if dice.random() < 0.3:
        pads.append({"pad": "PPM", "signal": "ppm"})
    mcu = dice.choice(("STM32F405", "STM32F722", "XMC4700"))
    return {"mcu": mcu, "ports": ports, "pads": pads}


def _small_part(dice: Dice, name: str) -> Document:
    speaks = dice.some(WORDS, 1, 2)
    kinds = {"tx", "rx"} if dice.random() < 0.7 else set(dice.some(("tx", "rx", "one_wire"), 1, 2))
    link: Document = {"role": "other", "speaks": speaks, **{kind: kind for kind in sorted(kinds)}}
    if dice.random() < 0.8:
        link["set_to"] = dice.choice(speaks)
    return {"device": name, "kind": "other", "supply_v": [3, 6], "amps": 0, "links": [link]}


def cost(plan: Plan, sheet: Sheet) -> tuple[int, int, int]:
    """What the plan gives up, moves and changes, the weightiest first."""
    links = {part.device: part.links for part in sheet.devices}
    given_up = sum(
        _given_up(links[change.device][change.link], change.end)
        for change in plan.changes
        if change.link is not None
    )
    return given_up, len(plan.moves), len(plan.changes)


def _given_up(link: Link, word: str) -> int:
    """The ways that a link has under its protocol in force and would not have under `word`."""
    now = link.set_to or (link.speaks[0] if len(link.speaks) == 1 else None)
    if now is None or now not in link.speaks:
        return 0
    return len(_ways(link, now) - _ways(link, word))


def _ways(link: Link, word: str) -> set[str]:
    if word in ONE_WIRE:
        return WAYS[word] if link.one_wire or link.tx else set()
    return WAYS[word] & ({"hear"} if link.tx else set()) | WAYS[word] & (
        {"talk"} if link.rx else set()
    )


def best_by_trying(
    sheet: Sheet, below: tuple[int, int, int] | None = None
) -> tuple[int, int, int] | None:
    """The least (given up, moves, changes) of a sheet without a wiring finding; None if none is.

    Every lead goes on every serial or ppm pad, or on none, or keeps its fork. With `below` only
    what is cheaper than that is tried.
    """
    pads = [pad.pad for pad in sheet.board.pads if pad.signal in ("rx", "tx", "ppm")]
    now: Ends = {}
    for wire in sheet.wires:
        now[wire.device, wire.lead] = (*now.get((wire.device, wire.lead), ()), wire.pad)
    leads = [
        (part.device, lead)
        for part in sheet.devices
        for link in part.links
        for lead in (link.tx, link.rx, link.one_wire)
        if lead is not None
    ]
    settings = sorted(_settings(sheet), key=lambda found: found[:2])
    best = below
    for moves in range(2 * len(leads) + 1):
        for given_up, changes, devices in settings:
            if best is not None and (given_up, moves, changes) >= best:
                continue
            for ends in _placements(leads, pads, now, moves):
                if is_clean(_rewired(sheet, ends, devices)):
                    best = (given_up, moves, changes)
                    break
    return best if best != below else None


def _settings(sheet: Sheet) -> Iterator[tuple[int, int, tuple[Any, ...]]]:
    """(given up, changes, devices) for every way to set the protocols, and to leave them."""
    choices = [[None, *part.links[0].speaks] if part.links else [None] for part in sheet.devices]
    for words in product(*choices):
        devices, changes, given_up = [], 0, 0
        for part, word in zip(sheet.devices, words, strict=True):
            if word is not None:
                changes += 1
                given_up += _given_up(part.links[0], word)
                link = part.links[0].model_copy(update={"set_to": word})
                part = part.model_copy(update={"links": (link,)})
            devices.append(part)
        yield given_up, changes, tuple(devices)


def _placements(
    leads: list[tuple[str, str]], pads: list[str], now: Ends, moves: int
) -> Iterator[Ends]:
    """Every wiring that is exactly `moves` lead moves away, each wire of a fork one."""
    for size in range(min(moves, len(leads)) + 1):
        for moved in combinations(leads, size):
            for ends in product([(), *((pad,) for pad in pads)], repeat=size):
                changed = dict(zip(moved, ends, strict=True))
                if sum(_count(now.get(lead, ()), end) for lead, end in changed.items()) == moves:
                    yield {**now, **changed}


def _count(before: tuple[str, ...], after: tuple[str, ...]) -> int:
    return max(len(set(before) - set(after)), len(set(after) - set(before)))


def _rewired(sheet: Sheet, ends: Ends, devices: tuple[Any, ...]) -> Sheet:
    wires = tuple(
        Wire(device=device, lead=lead, pad=pad)
        for (device, lead), pads in ends.items()
        for pad in pads
    )
    return sheet.model_copy(update={"wires": wires, "devices": devices})


def small_sheet(seed: int, links: int = 2) -> Sheet:
    """The same as a sheet."""
    return from_document(small_document(seed, links))
