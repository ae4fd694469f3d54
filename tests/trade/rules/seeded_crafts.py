"""Faults on purpose: built-in parts, pictures, and pads that share a motor's timer."""

from tests.edits import Edit, add, drop, pad, part, plain_part, port, put, wire
from tests.trade.rules.seeding import RECEIVER, UART5, fault, gps, vtx


def inside(name: str, where: str, *speaks: str, role: str = "other", **link: object) -> Edit:
    """A built-in part with one link, inside a port or on SPI."""
    spoken = {"speaks": list(speaks)} if speaks else {}
    whole = {"role": role, **spoken, "inside": where, **link}
    return add("devices", device=name, kind="other", built_in=True, links=[whole])


UART7 = port("UART7", rx="R7", tx="T7", taken_by="chip")

BUILT_IN = [
    fault(
        "wired beside a built-in part",
        UART5,
        inside("chip", "UART5", "NMEA"),
        gps("R5"),
        stop="port-shared gps",
    ),
    fault(
        "wired beside it, on a port marked as its own",
        UART7,
        inside("chip", "UART7", "NMEA"),
        gps("R7"),
        stop="port-shared gps",
    ),
    fault(
        "unset and wired beside an unset built-in part",
        UART5,
        inside("chip", "UART5", "NMEA", "UBX"),
        part("gps", "NMEA", "UBX", leads={"tx": "R5"}),
        stop="port-shared gps",
        caution="protocol-unset gps; protocol-unset chip",
    ),
    fault(
        "two built-in parts in one port",
        UART5,
        inside("chip", "UART5", "NMEA"),
        inside("other chip", "UART5", "MSP"),
        stop="port-shared other chip",
    ),
    fault(
        "built in where another part is",
        UART7,
        inside("radio", "UART7", "NMEA"),
        stop="port-taken UART7",
    ),
    fault(
        "a name that differs in case",
        UART7,
        inside("Chip", "UART7", "NMEA"),
        stop="port-taken UART7",
    ),
    fault(
        "wired to the port of a part that is not in use",
        UART7,
        inside("chip", "UART7", "NMEA", in_use=False),
        gps("R7"),
        stop="port-taken UART7",
    ),
    fault(
        "built in on a port too slow",
        inside("chip", "SOFT1", "MSP"),
        stop="port-too-slow SOFT1",
    ),
    fault(
        "built-in receiver beside a wired one",
        inside("chip", "SPI", role="receiver"),
        stop="receiver-doubled receiver",
    ),
    fault(
        "built-in receiver beside a wired one, in a port",
        UART5,
        inside("chip", "UART5", "CRSF", role="receiver"),
        stop="receiver-doubled receiver",
    ),
    fault(
        "built-in part set to what it does not speak",
        inside("chip", "SPI", "CRSF", set_to="SBUS"),
        stop="protocol-unspoken chip",
    ),
    fault(
        "built-in part of two protocols",
        inside("chip", "SPI", "CRSF", "SBUS"),
        caution="protocol-unset chip",
    ),
    fault(
        "telemetry is no receiver",
        put(f"{RECEIVER}/role", "telemetry"),
        stop="receiver-missing receiver",
    ),
]

CAM, OUT = pad("CAM", "video-in"), pad("VTX", "video-out")
PICTURE = [
    fault(
        "camera on the pad that gives",
        OUT,
        plain_part("camera", "video-out", "VTX"),
        stop="pad-wrong-signal VTX",
    ),
    fault(
        "transmitter on the pad that takes",
        CAM,
        plain_part("transmitter", "video-in", "CAM"),
        stop="pad-wrong-signal CAM",
    ),
    fault(
        "two cameras on one pad",
        CAM,
        plain_part("camera", "video-out", "CAM"),
        plain_part("second", "video-out", "CAM"),
        stop="pad-crowded CAM",
    ),
    fault(
        "camera's picture into a port",
        UART5,
        plain_part("camera", "video-out", "R5"),
        stop="pad-wrong-signal R5",
    ),
    fault(
        "sensor over the analogue pad's 3.3 V",
        pad("CUR", "analogue"),
        plain_part("sensor", "analogue", "CUR"),
        put("devices/sensor/leads/0/level_v", 3.31),
        stop="level-too-high CUR",
    ),
]

SOFT = (pad("SS", "rx", port="SOFT1", timer="TIM3"), pad("ST", "tx", port="SOFT1", timer="TIM3"))
TIMERS = [
    fault(
        "pulse train on a motor's timer",
        pad("PPM", "ppm", timer="TIM3"),
        part("old", "PPM", leads={"tx": "PPM"}),
        caution="timer-clash PPM",
    ),
    fault(
        "camera control on a motor's timer",
        pad("CC", "camera", timer="TIM4"),
        plain_part("camera", "camera", "CC"),
        caution="timer-clash CC",
    ),
    fault("software port on a motor's timer", *SOFT, vtx("ST"), caution="timer-clash ST"),
    fault(
        "S.BUS too fast for a software port",
        *SOFT[:1],
        put("board/pads/SS/timer", "TIM9"),
        part("old", "SBUS", leads={"tx": "SS"}),
        stop="port-too-slow SOFT1",
    ),
    fault(
        "upright by its own, on the inverter's pad",
        put("board/mcu", "STM32F405"),
        part("old", "SBUS", leads={"tx": "SB"}, inverted=False),
        stop="inversion-unwanted SB",
    ),
    fault(
        "inverted by its own, on a chip that cannot",
        UART5,
        put("board/mcu", "STM32F405"),
        gps("R5", inverted=True),
        stop="inversion-missing R5",
    ),
    fault(
        "unlike inversion on two sides of a port",
        UART5,
        gps("R5", inverted=True),
        part("logger", "MSP", leads={"rx": "T5"}),
        stop="port-shared UART5",
        caution="link-incomplete logger",
    ),
]

CLEAN_CRAFTS: list[tuple[str, tuple[Edit, ...]]] = [
    ("a built-in part in a port of its own", (UART5, inside("chip", "UART5", "CRSF"))),
    ("a built-in part in the port marked as its own", (UART7, inside("chip", "UART7", "NMEA"))),
    ("a built-in part on SPI", (inside("chip", "SPI"),)),
    (
        "a built-in part without a link",
        (add("devices", device="chip", kind="other", built_in=True, links=[]),),
    ),
    (
        "a built-in receiver alone",
        (
            drop("devices/receiver"),
            drop("wires/0"),
            drop("wires/0"),
            drop("wires/0"),
            drop("wires/0"),
            inside("chip", "SPI", role="receiver"),
        ),
    ),
    ("camera into the board", (CAM, plain_part("camera", "video-out", "CAM"))),
    (
        "two transmitters take one picture",
        (OUT, plain_part("one", "video-in", "VTX"), plain_part("two", "video-in", "VTX")),
    ),
    ("sensor of exactly 3.3 V", (pad("CUR", "analogue"), plain_part("sensor", "analogue", "CUR"))),
    (
        "a software port inverts by itself",
        (
            put("board/mcu", "STM32F405"),
            pad("ST", "tx", port="SOFT1"),
            vtx("ST", inverted=True),
        ),
    ),
    (
        "an upright S.BUS pad on a chip that cannot invert",
        (
            UART5,
            put("board/mcu", "STM32F405"),
            part("old", "SBUS", leads={"tx": "R5"}, inverted=False),
        ),
    ),
    (
        "one wire both ways through the pad's inverter",
        (
            put("board/mcu", "STM32F405"),
            port("UART5"),
            pad("T5", "tx", port="UART5", inverter=True),
            vtx("T5", "SPORT"),
        ),
    ),
    ("an unused lead on a motor's timer", (*SOFT, vtx("ST", in_use=False))),
    (
        "an idle camera pad on a motor's timer",
        (pad("CC", "camera", timer="TIM4"), wire("video unit", "SBUS", "CC")),
    ),
]
