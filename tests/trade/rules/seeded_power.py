"""Faults on purpose: supply, outputs, motor link and pack."""

from tests.edits import drop, pad, plain_part, put, rewire, unwire
from tests.trade.rules.seeding import NO_FEEDBACK, fault

VIDEO_AMPS, LIGHT_AMPS = "devices/video unit/amps", "devices/tail light/amps"
SUPPLY = [
    fault("receiver on 10 V", rewire("receiver", "5V", "10V"), stop="supply-too-high receiver"),
    fault("receiver on the pack", rewire("receiver", "5V", "VB"), stop="supply-too-high receiver"),
    fault(
        "rail over by a hair",
        put("board/rails/5V/volts", 5.501),
        put("devices/tail light/supply_v", [4, 6]),
        stop="supply-too-high receiver",
    ),
    fault(
        "full pack over by a hair",
        put("devices/video unit/supply_v", [8.0, 25.19]),
        rewire("video unit", "VIN", "VB"),
        stop="supply-too-high video unit",
    ),
    fault("video on 5 V", rewire("video unit", "VIN", "5V"), stop="supply-too-low video unit"),
    fault(
        "rail under by a hair",
        put("devices/video unit/supply_v", [10.001, 26]),
        stop="supply-too-low video unit",
    ),
    fault(
        "empty pack under by a hair",
        put("devices/video unit/supply_v", [19.81, 26]),
        rewire("video unit", "VIN", "VB"),
        caution="supply-too-low video unit",
    ),
    fault(
        "pack too full and too empty",
        put("devices/video unit/supply_v", [20, 25]),
        rewire("video unit", "VIN", "VB"),
        caution="supply-too-low video unit",
        stop="supply-too-high video unit",
    ),
    fault("receiver without power", unwire("receiver", "5V"), stop="supply-missing receiver"),
    fault("video without power", unwire("video unit", "VIN"), stop="supply-missing video unit"),
    fault("light without power", unwire("tail light", "5V"), stop="supply-missing tail light"),
    fault("receiver without ground", unwire("receiver", "GND"), stop="ground-missing receiver"),
    fault("video without ground", unwire("video unit", "GND"), stop="ground-missing video unit"),
    fault("light without ground", unwire("tail light", "G"), stop="ground-missing tail light"),
    fault(
        "neither power nor ground",
        unwire("tail light", "5V"),
        unwire("tail light", "G"),
        stop="supply-missing tail light; ground-missing tail light",
    ),
    fault("rail over its rating", put(LIGHT_AMPS, 1.9), stop="rail-overloaded 5V"),
    fault("rail over by a hair more", put(LIGHT_AMPS, 1.850001), stop="rail-overloaded 5V"),
    fault("rail that gives nothing", put("board/rails/10V/amps", 0), stop="rail-overloaded 10V"),
    fault("rail near its rating", put(VIDEO_AMPS, 1.7), caution="rail-near-limit 10V"),
    fault("rail a hair over 80 %", put(VIDEO_AMPS, 1.600001), caution="rail-near-limit 10V"),
    fault("rail exactly at its rating", put(LIGHT_AMPS, 1.85), caution="rail-near-limit 5V"),
]

OUTPUTS = [
    fault("third channel left out", drop("esc/outputs/3"), stop="output-missing ESC channel 3"),
    fault("first channel left out", drop("esc/outputs/1"), stop="output-missing ESC channel 1"),
    fault(
        "no channel named",
        put("esc/outputs", {}),
        stop="output-missing ESC channel 1; output-missing ESC channel 2;"
        " output-missing ESC channel 3; output-missing ESC channel 4",
    ),
    fault("two channels on M1", put("esc/outputs/2", "M1"), stop="output-doubled M1"),
    fault("two channels on M4", put("esc/outputs/1", "M4"), stop="output-doubled M4"),
    fault(
        "four channels on M2",
        put("esc/outputs", dict.fromkeys("1234", "M2")),
        stop="output-doubled M2",
    ),
    fault(
        "light on a motor's timer", put("board/pads/LED/timer", "TIM3"), caution="timer-clash LED"
    ),
    fault(
        "light on the other timer", put("board/pads/LED/timer", "TIM4"), caution="timer-clash LED"
    ),
    fault(
        "without feedback a caution",
        put("board/pads/LED/timer", "TIM3"),
        NO_FEEDBACK,
        caution="timer-clash LED",
    ),
    fault(
        "two lights on motors' timers",
        put("board/pads/LED/timer", "TIM3"),
        pad("LED2", "led", timer="TIM4"),
        plain_part("lamp", "led", "LED2"),
        NO_FEEDBACK,
        caution="timer-clash LED; timer-clash LED2",
    ),
]

MOTOR_LINK = [
    fault("set to the unspoken link", put("esc/set_to", "PWM"), stop="motor-link-unspoken ESC"),
    fault("sole link overruled", put("esc/speaks", ["DShot600"]), stop="motor-link-unspoken ESC"),
    fault(
        "unspoken is not timed",
        put("esc/set_to", "PWM"),
        put("control/loop_hz", 32000),
        stop="motor-link-unspoken ESC",
    ),
    fault("none of three chosen", drop("esc/set_to"), caution="motor-link-unset ESC"),
    fault(
        "none of two chosen",
        put("esc/speaks", ["PWM", "Multishot"]),
        drop("esc/set_to"),
        NO_FEEDBACK,
        caution="motor-link-unset ESC",
    ),
    fault(
        "unset is not timed",
        drop("esc/set_to"),
        put("control/loop_hz", 64000),
        caution="motor-link-unset ESC",
    ),
    fault("ESC cannot answer", put("esc/feedback", False), stop="feedback-unspoken ESC"),
    fault(
        "pulses cannot answer",
        put("esc/speaks", ["Multishot"]),
        put("esc/set_to", "Multishot"),
        stop="feedback-unspoken ESC",
    ),
    fault(
        "brushed cannot answer",
        put("esc/speaks", ["brushed"]),
        drop("esc/set_to"),
        stop="feedback-unspoken ESC",
    ),
    fault(
        "unset, and cannot answer",
        drop("esc/set_to"),
        drop("esc/feedback"),
        stop="feedback-unspoken ESC",
        caution="motor-link-unset ESC",
    ),
    fault(
        "judged without the reply",
        put("esc/feedback", False),
        put("control/loop_hz", 17000),
        stop="feedback-unspoken ESC",
    ),
    # REF: DShot300 with its reply takes 139.33 µs, 111.5 % of 125 µs.
    fault("300 with reply at 8 kHz", put("control/loop_hz", 8000), stop="motor-link-too-slow ESC"),
    fault(
        "PWM at 501 Hz",
        put("esc/speaks", ["PWM"]),
        put("esc/set_to", "PWM"),
        NO_FEEDBACK,
        put("control/loop_hz", 501),
        stop="motor-link-too-slow ESC",
    ),
    fault(
        "a hair longer than the period",
        put("esc/speaks", ["OneShot125"]),
        drop("esc/set_to"),
        NO_FEEDBACK,
        put("control/loop_hz", 4000.001),
        stop="motor-link-too-slow ESC",
    ),
    # REF: DShot150 with its reply takes 248.67 µs, 99.5 % of 250 µs.
    fault("150 with reply at 4 kHz", put("esc/set_to", "DShot150"), caution="motor-link-tight ESC"),
    fault(
        "as long as the period",
        put("esc/speaks", ["OneShot125"]),
        drop("esc/set_to"),
        NO_FEEDBACK,
        caution="motor-link-tight ESC",
    ),
    fault(
        "a hair over 95 %",
        put("esc/speaks", ["PWM"]),
        drop("esc/set_to"),
        NO_FEEDBACK,
        put("control/loop_hz", 475.001),
        caution="motor-link-tight ESC",
    ),
]

BOARD_V, ESC_V = "board/supply_v", "esc/supply_v"
PACK = [
    fault(
        "LiHV over both",
        put("battery/chemistry", "LiHV"),
        caution="pack-too-high board; pack-too-high ESC",
    ),
    fault(
        "LiHV too high even at 4.20 V",
        put("battery/chemistry", "LiHV"),
        put(BOARD_V, [9, 25.1]),
        stop="pack-too-high board",
        caution="pack-too-high ESC",
    ),
    fault("full pack over the ESC", put(ESC_V, [11, 25.19]), stop="pack-too-high ESC"),
    fault("full pack over the board", put(BOARD_V, [9, 25.1999]), stop="pack-too-high board"),
    fault("empty pack under the ESC", put(ESC_V, [19.8001, 26]), caution="pack-too-low ESC"),
    fault("empty pack under the board", put(BOARD_V, [19.81, 26]), caution="pack-too-low board"),
    fault(
        "two cells under both", put("battery/cells", 2), stop="pack-too-low board; pack-too-low ESC"
    ),
    fault(
        "Li-ion runs lower",
        put("battery/chemistry", "Li-ion"),
        put(ESC_V, [16.81, 26]),
        caution="pack-too-low ESC",
    ),
    fault("motor over the ESC", put("motors/peak_amps", 50.01), caution="esc-short-of-current ESC"),
    fault("ESC under the motor", put("esc/amps", 37.999), caution="esc-short-of-current ESC"),
    fault("ESC that gives nothing", put("esc/amps", 0), caution="esc-short-of-current ESC"),
    fault(
        "motor over the ESC's burst",
        put("esc/amps", 35),
        put("esc/burst_amps", 37.9),
        caution="esc-short-of-current ESC",
    ),
    fault(
        "motor near the ESC's burst",
        put("esc/amps", 35),
        put("esc/burst_amps", 47.4),
        note="esc-near-limit ESC",
    ),
    fault("motor near the ESC", put("motors/peak_amps", 45), note="esc-near-limit ESC"),
    fault("motor a hair over 80 %", put("motors/peak_amps", 40.0001), note="esc-near-limit ESC"),
    fault("motor exactly at the ESC", put("motors/peak_amps", 50), note="esc-near-limit ESC"),
]
