"""Sheets just inside a limit, or right in a way that is easily taken for wrong."""

from tests.edits import Edit, drop, pad, part, plain_part, put, rewire, unwire, wire
from tests.trade.rules.seeded_crafts import CLEAN_CRAFTS
from tests.trade.rules.seeded_likely import CLEAN_LIKELY
from tests.trade.rules.seeded_power import BOARD_V, ESC_V, VIDEO_AMPS
from tests.trade.rules.seeding import NO_FEEDBACK, SBUS, UART5, gps, vtx

CLEAN: list[tuple[str, tuple[Edit, ...]]] = [
    *CLEAN_CRAFTS,
    *CLEAN_LIKELY,
    ("the example as it is", ()),
    ("rail at exactly 80 %", (put(VIDEO_AMPS, 1.6),)),
    (
        "nothing known of motors, loop and draws",
        (
            put("motors", {}),
            put("control", {}),
            drop("esc/amps"),
            drop("devices/video unit/amps"),
            drop("board/rails/10V/amps"),
        ),
    ),
    ("a rail of no known rating", (put(VIDEO_AMPS, 99), drop("board/rails/10V/amps"))),
    ("motor at exactly 80 % of the burst", (put("esc/amps", 20), put("esc/burst_amps", 47.5))),
    ("motor at exactly 80 %", (put("motors/peak_amps", 40),)),
    ("rail at the part's highest", (put("board/rails/5V/volts", 5.5),)),
    ("rail at the part's lowest", (put("board/rails/5V/volts", 4.5),)),
    ("full pack at the range's end", (put(BOARD_V, [9, 25.2]), put(ESC_V, [11, 25.2]))),
    ("empty pack at the range's end", (put(BOARD_V, [19.8, 26]), put(ESC_V, [19.8, 26]))),
    (
        "part on the pack, ends included",
        (put("devices/video unit/supply_v", [19.8, 25.2]), rewire("video unit", "VIN", "VB")),
    ),
    (
        "the pack is never overloaded",
        (put("devices/video unit/amps", 99), rewire("video unit", "VIN", "VB")),
    ),
    ("a part that draws nothing", (put("board/rails/10V/amps", 0), put(VIDEO_AMPS, 0))),
    ("level at exactly the pad's", (put("board/pads/R1/max_v", 3.3),)),
    (
        "frame at exactly 95 %",
        (put("esc/speaks", ["PWM"]), drop("esc/set_to"), NO_FEEDBACK, put("control/loop_hz", 475)),
    ),
    ("a link chosen for 8 kHz", (put("esc/set_to", "DShot600"), put("control/loop_hz", 8000))),
    (
        "brushed has no frame time",
        (
            put("esc/speaks", ["brushed"]),
            drop("esc/set_to"),
            NO_FEEDBACK,
            put("control/loop_hz", 1000000),
        ),
    ),
    ("one spoken link needs no setting", (put("esc/speaks", ["DShot600"]), drop("esc/set_to"))),
    ("baud at exactly the port's", (put("board/ports/UART1/max_baud", 420000),)),
    ("slow link on the software port", (pad("TS", "tx", port="SOFT1"), vtx("TS"))),
    (
        "S.BUS on the inverter's pad of an F405",
        (SBUS, put("board/mcu", "STM32F405"), rewire("receiver", "TX", "SB")),
    ),
    ("S.BUS inverted by the chip", (SBUS,)),
    ("S.BUS inverted by the RP2350", (SBUS, put("board/mcu", "rp2350b"))),
    ("S.BUS leaves its listening lead idle", (SBUS, rewire("receiver", "RX", "SB"))),
    ("upright on an unknown chip", (put("board/mcu", "XMC4700"),)),
    ("pulse train on its own pad", (pad("PPM", "ppm"), part("sensor", "PPM", leads={"tx": "PPM"}))),
    ("an unused link claims nothing", (wire("video unit", "SBUS", "R1"),)),
    ("an unused link on another kind of pad", (wire("video unit", "SBUS", "M1"),)),
    ("two strips on one light pad", (plain_part("strip", "led", "LED"),)),
    (
        "two parts on one bus pad",
        (
            pad("SDA", "sda"),
            plain_part("compass", "sda", "SDA"),
            plain_part("barometer", "sda", "SDA"),
        ),
    ),
    ("light on a timer no motor drives", (put("board/pads/LED/timer", "TIM5"),)),
    ("light on an idle motor pad's timer", (pad("M5", "motor", output=5, timer="TIM8"),)),
    (
        "clashing light pad without a wire",
        (put("board/pads/LED/timer", "TIM3"), unwire("tail light", "DIN")),
    ),
    (
        "power lead on two pads of one rail",
        (pad("5V2", "power", rail="5V"), wire("receiver", "5V", "5V2")),
    ),
    ("ground lead on two ground pads", (pad("G2", "ground"), wire("receiver", "GND", "G2"))),
    (
        "fed by another part",
        (
            gps(),
            unwire("receiver", "GND"),
            drop("devices/receiver/ground"),
            put("devices/gps/links/0/in_use", False),
        ),
    ),
    ("talking wire as the single wire", (UART5, vtx("T5", "SRXL2", kind="tx"))),
    (
        "unneeded leads beside a single wire",
        (UART5, part("pump", "SRXL2", leads={"one_wire": "T5"}, rx="RX"), wire("pump", "RX", "R5")),
    ),
    (
        "unneeded listener beside another's",
        (part("gps", "NMEA", leads={"tx": "", "rx": "T4"}), UART5, wire("gps", "TX", "R5")),
    ),
]
