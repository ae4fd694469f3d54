"""How long a plan takes; printed, not asserted: `pytest tests/bench/test_planner_bench.py -s`."""

from random import Random
from statistics import median
from time import perf_counter, process_time
from typing import Any

from server.trade.planner import Plan, apply, plan
from server.trade.sheet import Sheet, from_document
from tests import example_sheet
from tests.trade.planner.planning import frame, wiring_findings

Document = dict[str, Any]
ROUNDS = 20
SIGNALS = ("led", "led", "buzzer", "sda", "scl", "camera", "analogue")
PARTS: tuple[tuple[str, list[str], tuple[str, ...]], ...] = (
    ("receiver", ["CRSF", "SBUS"], ("tx", "rx")),
    ("video unit", ["MSP"], ("tx", "rx")),
    ("gnss", ["UBX", "NMEA"], ("tx", "rx")),
    ("ground link", ["MAVLINK"], ("tx", "rx")),
    ("range finder", ["NMEA"], ("tx",)),
    ("transmitter", ["VTX-9600"], ("one_wire",)),
    ("second ground link", ["MAVLINK"], ("tx", "rx")),
    ("esc telemetry", ["ESC-TLM"], ("tx",)),
)
PLAIN = (("front light", "led"), ("buzzer", "buzzer"), ("camera", "camera"), ("sensor", "analogue"))


def board_of_40_pads(ports: int = 8) -> Document:
    """Eight ports or fewer, forty pads with the four motor pads that `frame` adds."""
    names = [f"UART{n}" for n in range(1, ports + 1)]
    pads: list[Document] = [
        {"pad": f"{letter}{n}", "signal": signal, "port": f"UART{n}"}
        for n in range(1, ports + 1)
        for letter, signal in (("R", "rx"), ("T", "tx"))
    ]
    pads.append({"pad": "SB", "signal": "rx", "port": "UART2", "inverter": True})
    pads += [{"pad": f"X{n}", "signal": signal} for n, signal in enumerate(SIGNALS)]
    pads += [
        {"pad": f"{rail} {n}", "signal": "power", "rail": rail}
        for rail in ("5V", "10V")
        for n in (1, 2)
    ]
    pads += [{"pad": f"G{n}", "signal": "ground"} for n in range(36 - len(pads))]
    rails = [{"rail": "5V", "volts": 5, "amps": 2}, {"rail": "10V", "volts": 10, "amps": 2}]
    return {"rails": rails, "ports": [{"port": name} for name in names], "pads": pads}


def twelve_parts(seed: int, ports: int = 8) -> Sheet:
    """Twelve parts on forty pads, every lead on a pad drawn by lot."""
    dice = Random(seed)
    devices: list[Document] = []
    wires: list[Document] = []
    board = board_of_40_pads(ports)
    drawn = [pad["pad"] for pad in board["pads"]]
    dice.shuffle(drawn)
    for name, speaks, kinds in PARTS:
        link = {"role": "other", "speaks": speaks, "set_to": speaks[0], **{k: k for k in kinds}}
        devices.append(_part(name, links=[link]))
        wires += [{"device": name, "lead": kind, "pad": drawn.pop()} for kind in kinds]
    for name, signal in PLAIN:
        devices.append(_part(name, leads=[{"lead": "L", "signal": signal}]))
        wires.append({"device": name, "lead": "L", "pad": drawn.pop()})
    for part in devices:
        wires += [
            {"device": part["device"], "lead": lead, "pad": dice.choice(board["pads"])["pad"]}
            for lead in ("V", "G")
        ]
    return from_document(frame(board, devices, wires))


def _part(name: str, **more: object) -> Document:
    return {
        "device": name,
        "kind": "other",
        "supply_v": [4.5, 11],
        "amps": 0.2,
        "power": "V",
        "ground": "G",
        **more,
    }


def crowd(seed: int, ports: int) -> Sheet:
    """Twelve links of any protocol on few ports, two leads each on any pad, forks among them."""
    dice = Random(seed)
    board = board_of_40_pads(ports)
    pads = [pad["pad"] for pad in board["pads"] if "port" in pad]
    words = ["CRSF", "SBUS", "IBUS", "MSP", "NMEA", "UBX", "FPORT", "VTX-4800", "MAVLINK", "GHST"]
    devices: list[Document] = []
    for n in range(12):
        speaks = dice.sample(words, dice.randint(1, 3))
        link = {"role": "other", "speaks": speaks, "set_to": speaks[0], "tx": "tx", "rx": "rx"}
        devices.append(
            {"device": f"part {n}", "kind": "other", "supply_v": [4, 6], "amps": 0, "links": [link]}
        )
    wires = [
        {"device": part["device"], "lead": lead, "pad": dice.choice(pads)}
        for part in devices
        for lead in ("tx", "rx")
    ]
    return from_document(frame(board, devices, wires))


def timed(name: str, sheets: list[Sheet]) -> list[Plan]:
    """The plans, with the time of each printed: wall clock, and processor beside it."""
    plan(sheets[0])
    found, wall, cpu = [], [], []
    for sheet in sheets:
        start, busy = perf_counter(), process_time()
        found.append(plan(sheet))
        cpu.append((process_time() - busy) * 1000)
        wall.append((perf_counter() - start) * 1000)
    nodes = max(each.nodes for each in found)
    print(
        f"\nplan {name}: {len(sheets)} sheets, median {median(wall):.1f} ms,"
        f" longest {max(wall):.1f} ms (processor {median(cpu):.1f} and {max(cpu):.1f} ms),"
        f" up to {nodes} nodes"
    )
    return found


def test_planning_the_example_is_timed() -> None:
    found = timed("example", [example_sheet.sheet()] * ROUNDS)
    assert all(each.moves == () for each in found)


def test_planning_twelve_parts_on_forty_pads_is_timed() -> None:
    sheets = [twelve_parts(seed) for seed in range(ROUNDS)]
    assert {len(sheet.board.pads) for sheet in sheets} == {40}
    assert {len(sheet.devices) for sheet in sheets} == {12}
    for sheet, each in zip(sheets, timed("12 parts, 40 pads", sheets), strict=True):
        assert each.unsolved == ()
        assert wiring_findings(apply(sheet, each)) == []


def test_planning_twelve_parts_with_too_few_ports_is_timed() -> None:
    found = timed("12 parts, 5 ports", [twelve_parts(seed, ports=5) for seed in range(ROUNDS)])
    assert all(each.unsolved for each in found)


def test_planning_a_crowd_is_timed() -> None:
    for ports in (12, 6, 4):
        found = timed(f"12 links by lot, {ports} ports", [crowd(seed, ports) for seed in range(8)])
        assert any(each.unsolved for each in found)
