"""Several faults on purpose in one sheet."""

from tests.edits import drop, pad, part, put, rewire, unwire, wire
from tests.trade.rules.seeded_power import LIGHT_AMPS, VIDEO_AMPS
from tests.trade.rules.seeding import RECEIVER, SBUS, UART5, fault, vtx

SEVERAL = [
    fault(
        "three parts at fault",
        rewire("receiver", "TX", "T1"),
        unwire("video unit", "GND"),
        put("motors/peak_amps", 60),
        stop="lines-swapped receiver; ground-missing video unit",
        caution="esc-short-of-current ESC",
    ),
    fault(
        "wrong pad and no power",
        rewire("receiver", "TX", "M1"),
        unwire("receiver", "5V"),
        stop="pad-wrong-signal M1; supply-missing receiver",
    ),
    fault(
        "swapped and too high a level",
        put("board/pads/T1/max_v", 3.0),
        rewire("receiver", "TX", "T1"),
        stop="lines-swapped receiver; level-too-high T1",
    ),
    fault(
        "crowded by a swapped lead",
        UART5,
        vtx("T5"),
        part("gps", "NMEA", leads={"tx": "T5"}),
        stop="pad-crowded T5; lines-swapped gps",
    ),
    fault(
        "forked onto the inverter",
        wire("receiver", "TX", "SB"),
        stop="lead-forked receiver; inversion-unwanted SB",
    ),
    fault(
        "split onto a taken port",
        pad("T6", "tx", port="UART6"),
        rewire("receiver", "RX", "T6"),
        stop="link-split receiver; port-taken UART6",
    ),
    fault(
        "incomplete and on the inverter",
        unwire("receiver", "RX"),
        rewire("receiver", "TX", "SB"),
        stop="inversion-unwanted SB",
        caution="link-incomplete receiver",
    ),
    fault(
        "S.BUS slow and uninverted",
        SBUS,
        put("board/mcu", "STM32F405"),
        put("board/ports/UART1/max_baud", 57600),
        stop="inversion-missing R1; port-too-slow UART1",
    ),
    fault(
        "no receiver and no third channel",
        put(f"{RECEIVER}/in_use", False),
        drop("esc/outputs/3"),
        stop="receiver-missing receiver; output-missing ESC channel 3",
    ),
    fault(
        "clash, too slow, no answer",
        put("board/pads/LED/timer", "TIM3"),
        put("esc/feedback", False),
        put("control/loop_hz", 32000),
        stop="feedback-unspoken ESC; motor-link-too-slow ESC",
        caution="timer-clash LED",
    ),
    fault(
        "rail over and voltage wrong",
        rewire("video unit", "VIN", "5V"),
        put(VIDEO_AMPS, 1.7),
        stop="supply-too-low video unit; rail-overloaded 5V",
    ),
    fault(
        "tight, near and near",
        put("esc/set_to", "DShot150"),
        put("motors/peak_amps", 41),
        put(VIDEO_AMPS, 1.9),
        caution="motor-link-tight ESC; rail-near-limit 10V",
        note="esc-near-limit ESC",
    ),
    fault(
        "unset twice",
        drop(f"{RECEIVER}/set_to"),
        drop("esc/set_to"),
        caution="protocol-unset receiver; motor-link-unset ESC",
    ),
    fault(
        "unset, split and taken",
        pad("T6", "tx", port="UART6"),
        drop(f"{RECEIVER}/set_to"),
        rewire("receiver", "RX", "T6"),
        caution="protocol-unset receiver",
        stop="link-split receiver; port-taken UART6",
    ),
    fault(
        "doubled, missing and unknown pad",
        put("esc/outputs", {"1": "M1", "2": "M1", "4": "M9"}),
        stop="output-doubled M1; output-missing ESC channel 3; pad-unknown M9",
    ),
    fault(
        "pack over board, ESC and part",
        put("battery/cells", 8),
        rewire("video unit", "VIN", "VB"),
        stop="pack-too-high board; pack-too-high ESC; supply-too-high video unit",
        note="tip-speed-unlikely motors",
    ),
    fault(
        "misplaced and over the level",
        UART5,
        put("board/pads/R5/max_v", 3.0),
        vtx("R5"),
        stop="one-wire-misplaced vtx; level-too-high R5",
    ),
    fault(
        "rails joined, load judged without it",
        wire("tail light", "5V", "10V"),
        put(LIGHT_AMPS, 9),
        stop="lead-forked tail light",
    ),
]
