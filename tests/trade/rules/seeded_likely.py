"""Faults on purpose: half a bus, and what is hardly ever right."""

from tests.edits import Edit, add, pad, port, put, wire
from tests.trade.rules.seeding import fault

BUS_PADS = (pad("SDA", "sda"), pad("SCL", "scl"))


def compass(*wires: Edit) -> tuple[Edit, ...]:
    """A part with both bus leads, and these wires."""
    leads = [{"lead": "D", "signal": "sda"}, {"lead": "C", "signal": "scl"}]
    whole = add("devices", device="compass", kind="compass", supply_v=[3, 6], leads=leads)
    return (*BUS_PADS, whole, *wires)


BUSES = [
    fault("no clock", *compass(wire("compass", "D", "SDA")), stop="bus-incomplete compass"),
    fault("no data", *compass(wire("compass", "C", "SCL")), stop="bus-incomplete compass"),
    fault(
        "no clock, and the data on a missing pad",
        *compass(wire("compass", "D", "X9")),
        stop="bus-incomplete compass; pad-unknown X9",
    ),
    fault(
        "both on wrong pads is no half bus",
        *compass(wire("compass", "D", "SCL"), wire("compass", "C", "SDA")),
        stop="pad-wrong-signal SCL; pad-wrong-signal SDA",
    ),
]

LIKELY = [
    fault(
        "four ports on a chip of three",
        put("board/mcu", "STM32F411CEU6"),
        note="ports-beyond-chip board",
    ),
    fault(
        "six ports on a chip of five",
        *(port(f"X{n}") for n in range(2)),
        put("board/mcu", "STM32F303"),
        note="ports-beyond-chip board",
    ),
    # REF-A6: eight and one low-power.
    fault(
        "ten ports on an H743",
        *(port(f"X{n}") for n in range(6)),
        put("board/mcu", "stm32h743"),
        note="ports-beyond-chip board",
    ),
    fault("kind misspelt", put("devices/receiver/kind", "reciever"), note="kind-unknown receiver"),
    fault(
        "kind in capitals", put("devices/video unit/kind", "Video"), note="kind-unknown video unit"
    ),
    fault(
        "kind of no table",
        put("devices/tail light/kind", "parachute"),
        note="kind-unknown tail light",
    ),
    fault("thirteen poles", put("motors/poles", 13), note="poles-odd motors"),
    fault("three poles", put("motors/poles", 3), note="poles-odd motors"),
    fault("fifty-nine poles", put("motors/poles", 59), note="poles-odd motors"),
    # pi * 5 in * 0.0254 m * kv * 25.2 V / 60 passes 400 m/s between 2387 and 2388 KV.
    fault("tips a hair over 400 m/s", put("motors/kv", 2388), note="tip-speed-unlikely motors"),
    fault("two digits too many", put("motors/kv", 190000), note="tip-speed-unlikely motors"),
    fault("size in centimetres", put("craft/size_in", 12.7), note="tip-speed-unlikely motors"),
]

CLEAN_LIKELY: list[tuple[str, tuple[Edit, ...]]] = [
    ("a whole bus", compass(wire("compass", "D", "SDA"), wire("compass", "C", "SCL"))),
    ("a bus of which nothing is wired", compass()),
    ("tips a hair under 400 m/s", (put("motors/kv", 2387),)),
    ("nine ports on an H743", (*(port(f"X{n}") for n in range(5)), put("board/mcu", "STM32H743"))),
    (
        "many ports on a chip with state machines",
        (*(port(f"X{n}") for n in range(9)), put("board/mcu", "RP2350")),
    ),
    (
        "many ports on a chip of no table",
        (*(port(f"X{n}") for n in range(19)), put("board/mcu", "XMC4700")),
    ),
    ("two poles", (put("motors/poles", 2),)),
]
