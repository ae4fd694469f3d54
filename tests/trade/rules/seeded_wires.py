"""Faults on purpose: names, pads, the lines of a link, ports."""

from tests.edits import drop, pad, part, plain_part, put, rewire, wire
from tests.trade.rules.seeding import UART5, VIDEO, fault, gps, vtx

NAMES = [
    fault("serial lead on no pad", rewire("receiver", "TX", "X9"), stop="pad-unknown X9"),
    fault("ground lead on no pad", rewire("receiver", "GND", "G9"), stop="pad-unknown G9"),
    fault("power lead on no pad", rewire("receiver", "5V", "5V2"), stop="pad-unknown 5V2"),
    fault("pad in the wrong case", rewire("receiver", "TX", "r1"), stop="pad-unknown r1"),
    fault("channel on no pad", put("esc/outputs/1", "M9"), stop="pad-unknown M9"),
    fault("unused link on no pad", wire("video unit", "SBUS", "X9"), stop="pad-unknown X9"),
    fault(
        "channel and lead on one missing pad",
        put("esc/outputs/1", "X9"),
        rewire("receiver", "TX", "X9"),
        stop="pad-unknown X9",
    ),
    fault("lead too many", wire("receiver", "TX2", "SB"), stop="lead-unknown receiver"),
    fault("lead of another part", wire("video unit", "DIN", "G"), stop="lead-unknown video unit"),
    fault(
        "lead in the wrong case", wire("tail light", "din", "LED"), stop="lead-unknown tail light"
    ),
    fault(
        "unknown lead on unknown pad",
        wire("receiver", "TX2", "X9"),
        stop="lead-unknown receiver; pad-unknown X9",
    ),
    fault("device not listed", wire("compass", "SDA", "R1"), stop="device-unknown compass"),
    fault("device in the wrong case", wire("Receiver", "TX", "R1"), stop="device-unknown Receiver"),
    fault(
        "device taken off the list",
        drop("devices/tail light"),
        stop="device-unknown tail light",
    ),
    fault(
        "unknown device on unknown pad",
        wire("compass", "SDA", "X9"),
        stop="device-unknown compass; pad-unknown X9",
    ),
]

PADS = [
    fault("two talkers on one pad", gps("R1"), stop="pad-crowded R1"),
    fault(
        "two half-duplex wires on one pad",
        UART5,
        vtx("T5"),
        part("pump", "SRXL2", leads={"one_wire": "T5"}),
        stop="pad-crowded T5",
    ),
    fault(
        "two analogue leads on one pad",
        pad("A1", "analogue"),
        plain_part("gauge", "analogue", "A1"),
        plain_part("probe", "analogue", "A1"),
        stop="pad-crowded A1",
    ),
    fault(
        "unset talker on a talker's pad",
        part("gps", "NMEA", "UBX", leads={"tx": "R1"}),
        stop="pad-crowded R1",
        caution="protocol-unset gps",
    ),
    fault(
        "unneeded talker on a talker's pad",
        UART5,
        part("pump", "FPORT", leads={"one_wire": "T5", "tx": "R1"}),
        stop="pad-crowded R1",
    ),
    fault("talker on a motor pad", rewire("receiver", "TX", "M1"), stop="pad-wrong-signal M1"),
    fault("listener on a ground pad", rewire("receiver", "RX", "G"), stop="pad-wrong-signal G"),
    fault("power lead on a signal pad", rewire("receiver", "5V", "R4"), stop="pad-wrong-signal R4"),
    fault(
        "ground lead on a power pad", rewire("receiver", "GND", "5V"), stop="pad-wrong-signal 5V"
    ),
    fault(
        "light on a listening pad", rewire("tail light", "DIN", "SB"), stop="pad-wrong-signal SB"
    ),
    fault("channel on a light's pad", put("esc/outputs/1", "LED"), stop="pad-wrong-signal LED"),
    fault(
        "two channels on a light's pad",
        put("esc/outputs/1", "LED"),
        put("esc/outputs/2", "LED"),
        stop="pad-wrong-signal LED",
    ),
    fault(
        "half-duplex wire on a camera pad",
        pad("CAM", "camera"),
        vtx("CAM"),
        stop="pad-wrong-signal CAM",
    ),
    fault(
        "pulse train on a listening pad",
        part("sensor", "PPM", leads={"tx": "SB"}),
        stop="pad-wrong-signal SB",
    ),
    fault(
        "serial talker on a pulse-train pad",
        pad("PPM", "ppm"),
        rewire("receiver", "TX", "PPM"),
        stop="pad-wrong-signal PPM",
    ),
    fault(
        "unset serial talker on a pulse-train pad",
        pad("PPM", "ppm"),
        part("sensor", "NMEA", "UBX", leads={"tx": "PPM"}),
        stop="pad-wrong-signal PPM",
        caution="protocol-unset sensor",
    ),
    fault("5 V talker on a 3.3 V pad", put(f"{VIDEO}/level_v", 5.0), stop="level-too-high R4"),
    fault("a hundredth over the level", put("board/pads/R1/max_v", 3.29), stop="level-too-high R1"),
    fault(
        "5 V half-duplex wire on a 3.3 V pad",
        UART5,
        put("board/pads/T5/max_v", 3.3),
        vtx("T5", level_v=5),
        stop="level-too-high T5",
    ),
    fault(
        "level of an unneeded talker",
        UART5,
        put("board/pads/R5/max_v", 3.3),
        part("pump", "SRXL2", leads={"one_wire": "T5", "tx": "R5"}, level_v=5),
        stop="level-too-high R5",
    ),
    fault(
        "level of a pulse train",
        pad("PPM", "ppm", max_v=3.3),
        part("sensor", "PPM", leads={"tx": "PPM"}, level_v=5),
        stop="level-too-high PPM",
    ),
    fault(
        "level of an unset talker",
        part("gps", "NMEA", "UBX", leads={"tx": "SB"}, level_v=5.1),
        stop="level-too-high SB",
        caution="protocol-unset gps",
    ),
]
