"""Faults on purpose: the leads of a link, its port, its inversion, what it is set to."""

from tests.edits import drop, pad, part, port, put, rewire, unwire, wire
from tests.trade.rules.seeding import RECEIVER, SBUS, UART5, VIDEO, fault, gps, vtx

LINES = [
    fault(
        "both lines swapped",
        rewire("receiver", "TX", "T1"),
        rewire("receiver", "RX", "R1"),
        stop="lines-swapped receiver",
    ),
    fault(
        "talker on a talking pad", rewire("video unit", "TX", "T4"), stop="lines-swapped video unit"
    ),
    fault(
        "listener on a listening pad", rewire("receiver", "RX", "R4"), stop="lines-swapped receiver"
    ),
    fault(
        "swapped lead is not inverted",
        rewire("receiver", "RX", "SB"),
        stop="lines-swapped receiver",
    ),
    fault(
        "unneeded half-duplex wire on a talking pad",
        UART5,
        put(f"{VIDEO}/one_wire", "BUS"),
        wire("video unit", "BUS", "T5"),
        stop="lines-swapped video unit",
    ),
    fault(
        "unset and swapped",
        drop(f"{RECEIVER}/set_to"),
        rewire("receiver", "TX", "T1"),
        rewire("receiver", "RX", "R1"),
        stop="lines-swapped receiver",
        caution="protocol-unset receiver",
    ),
    fault("half-duplex wire on a listening pad", UART5, vtx("R5"), stop="one-wire-misplaced vtx"),
    fault(
        "single talking wire on a listening pad",
        UART5,
        vtx("R5", "SRXL2", kind="tx"),
        stop="one-wire-misplaced vtx",
    ),
    fault(
        "inverted half-duplex wire on a listening pad",
        UART5,
        vtx("R5", "FPORT"),
        put("board/mcu", "STM32F405RGT6"),
        stop="one-wire-misplaced vtx",
    ),
    fault(
        "unset half-duplex wire on a listening pad",
        UART5,
        vtx("R5", "VTX-4800", "VTX-9600"),
        stop="one-wire-misplaced vtx",
        caution="protocol-unset vtx",
    ),
    fault("talker on two ports", UART5, wire("receiver", "TX", "R5"), stop="lead-forked receiver"),
    fault(
        "listener on two ports", UART5, wire("receiver", "RX", "T5"), stop="lead-forked receiver"
    ),
    fault(
        "light on two pads",
        pad("LED2", "led"),
        wire("tail light", "DIN", "LED2"),
        stop="lead-forked tail light",
    ),
    fault("power lead joins two rails", wire("receiver", "5V", "10V"), stop="lead-forked receiver"),
    fault(
        "power lead joins rail and pack", wire("receiver", "5V", "VB"), stop="lead-forked receiver"
    ),
    fault(
        "listener on another port",
        UART5,
        rewire("receiver", "RX", "T5"),
        stop="link-split receiver",
    ),
    fault(
        "talker on another port",
        UART5,
        rewire("video unit", "TX", "R5"),
        stop="link-split video unit",
    ),
    fault(
        "unset link on two ports",
        UART5,
        drop(f"{RECEIVER}/set_to"),
        rewire("receiver", "RX", "T5"),
        stop="link-split receiver",
        caution="protocol-unset receiver",
    ),
    fault("no back channel", unwire("receiver", "RX"), caution="link-incomplete receiver"),
    fault("receiver not heard", unwire("receiver", "TX"), stop="link-incomplete receiver"),
    fault("overlay not heard", unwire("video unit", "TX"), caution="link-incomplete video unit"),
    fault("overlay not talked to", unwire("video unit", "RX"), stop="link-incomplete video unit"),
    fault(
        "both leads of a link missing, once",
        unwire("receiver", "TX"),
        unwire("receiver", "RX"),
        stop="link-incomplete receiver",
    ),
    fault(
        "no lead for what the protocol needs",
        drop(f"{VIDEO}/rx"),
        drop("wires/8"),
        stop="lead-unknown video unit; link-incomplete video unit",
    ),
    fault("half-duplex wire loose", vtx(), stop="link-incomplete vtx"),
    fault(
        "no talking lead at all",
        part("gps", "UBX", leads={"rx": "T9"}),
        port("U9", tx="T9"),
        stop="link-incomplete gps",
    ),
    fault(
        "only a half-duplex wire for two",
        UART5,
        part("gps", "NMEA", leads={"one_wire": "R5"}),
        stop="link-incomplete gps",
    ),
]

PORTS = [
    fault(
        "two talkers on one port",
        pad("R1b", "rx", port="UART1"),
        gps("R1b"),
        stop="port-shared UART1",
    ),
    fault(
        "two listeners on one pad",
        part("logger", "MSP", leads={"rx": "T4"}),
        stop="port-shared UART4",
        caution="link-incomplete logger",
    ),
    fault(
        "both sides with unlike rates",
        UART5,
        gps("R5"),
        part("logger", "MAVLINK", leads={"rx": "T5"}),
        stop="port-shared UART5",
        caution="link-incomplete logger",
    ),
    fault(
        "both sides alike are no sharing",
        UART5,
        gps("R5"),
        part("logger", "MSP", leads={"rx": "T5"}),
        caution="link-incomplete logger",
    ),
    fault(
        "half-duplex wire beside a talker", UART5, gps("R5"), vtx("T5"), stop="port-shared UART5"
    ),
    fault(
        "half-duplex wire on a listener's pad",
        vtx("T4"),
        stop="port-shared UART4",
    ),
    fault(
        "crowded at one side, shared at the other",
        part("second", "MSP", leads={"tx": "R4", "rx": "T4"}),
        stop="pad-crowded R4; port-shared UART4",
    ),
    fault(
        "on the wireless chip's port",
        pad("R6", "rx", port="UART6"),
        gps("R6"),
        stop="port-taken UART6",
    ),
    fault(
        "half-duplex on the wireless chip's port",
        pad("T6", "tx", port="UART6"),
        vtx("T6"),
        stop="port-taken UART6",
    ),
    fault(
        "unset link on a taken port",
        pad("R6", "rx", port="UART6"),
        part("gps", "NMEA", "UBX", leads={"tx": "R6"}),
        stop="port-taken UART6",
        caution="protocol-unset gps",
    ),
    fault(
        "receiver's port taken", put("board/ports/UART1/taken_by", "USB"), stop="port-taken UART1"
    ),
    fault(
        "one baud too few", put("board/ports/UART1/max_baud", 419999), stop="port-too-slow UART1"
    ),
    fault(
        "a hair too few", put("board/ports/UART1/max_baud", 419999.99), stop="port-too-slow UART1"
    ),
    fault(
        "software port too slow",
        pad("RS", "rx", port="SOFT1"),
        gps("RS"),
        stop="port-too-slow SOFT1",
    ),
    fault(
        "half-duplex port too slow",
        port("SLOW", tx="TS", max_baud=9599),
        vtx("TS"),
        stop="port-too-slow SLOW",
    ),
]

INVERSION = [
    fault("S.BUS on an F405", SBUS, put("board/mcu", "STM32F405"), stop="inversion-missing R1"),
    fault(
        "S.BUS on an F411 part number",
        SBUS,
        put("board/mcu", "stm32f411ceu6"),
        stop="inversion-missing R1",
        note="ports-beyond-chip board",
    ),
    fault(
        "S.BUS on an AT32F435", SBUS, put("board/mcu", "AT32F435RGT7"), stop="inversion-missing R1"
    ),
    fault(
        "half-duplex inverted on an F405",
        UART5,
        vtx("T5", "FPORT"),
        put("board/mcu", "STM32F405"),
        stop="inversion-missing T5",
    ),
    fault(
        "S.BUS on an unknown chip",
        SBUS,
        put("board/mcu", "XMC4700"),
        caution="inversion-unknown R1",
    ),
    fault(
        "S.BUS on an unlisted family",
        SBUS,
        put("board/mcu", "STM32L476"),
        caution="inversion-unknown R1",
    ),
    fault(
        "half-duplex inverted on an unknown chip",
        UART5,
        vtx("T5", "FPORT"),
        put("board/mcu", "RP2040"),
        caution="inversion-unknown T5",
    ),
    fault("upright on the inverter's pad", gps("SB"), stop="inversion-unwanted SB"),
    fault(
        "inverter at the receiver",
        put("board/pads/R1/inverter", True),
        stop="inversion-unwanted R1",
    ),
    fault(
        "inverter at a talking pad",
        put("board/pads/T4/inverter", True),
        stop="inversion-unwanted T4",
    ),
]

PROTOCOLS = [
    fault(
        "set to the unspoken", put(f"{RECEIVER}/set_to", "SUMD"), stop="protocol-unspoken receiver"
    ),
    fault(
        "sole protocol overruled",
        put(f"{VIDEO}/set_to", "MAVLINK"),
        stop="protocol-unspoken video unit",
    ),
    fault(
        "unspoken is not judged for inversion",
        put(f"{RECEIVER}/set_to", "FPORT"),
        put("board/mcu", "STM32F405"),
        stop="protocol-unspoken receiver",
    ),
    fault("none chosen", drop(f"{RECEIVER}/set_to"), caution="protocol-unset receiver"),
    fault(
        "none chosen for position",
        part("gps", "NMEA", "UBX", leads={"tx": "SB"}),
        caution="protocol-unset gps",
    ),
    fault(
        "none chosen is not judged for speed",
        drop(f"{RECEIVER}/set_to"),
        put("board/ports/UART1/max_baud", 9600),
        caution="protocol-unset receiver",
    ),
    fault(
        "receiver left unused", put(f"{RECEIVER}/in_use", False), stop="receiver-missing receiver"
    ),
    fault(
        "receiver of another role",
        put(f"{RECEIVER}/role", "other"),
        stop="receiver-missing receiver",
    ),
    fault(
        "no receiver at all",
        drop("devices/receiver"),
        drop("wires/0"),
        drop("wires/0"),
        drop("wires/0"),
        drop("wires/0"),
        stop="receiver-missing receiver",
    ),
    fault(
        "built-in receiver in use too",
        put("devices/video unit/links/1/in_use", True),
        wire("video unit", "SBUS", "SB"),
        stop="receiver-doubled receiver",
    ),
    fault(
        "second receiver",
        UART5,
        part("spare", "IBUS", role="receiver", leads={"tx": "R5"}),
        stop="receiver-doubled receiver",
    ),
    fault(
        "overlay called a receiver",
        put(f"{VIDEO}/role", "receiver"),
        stop="receiver-doubled receiver",
    ),
]
