"""The symptoms, each with its causes by how usual they are: of a hundred. Common practice."""

from server.trade.fault_finder.model import OTHER, Symptom

ROWS = (
    Symptom("no-motor", "No motor turns, battery on", {
        "motor-link-unlike": 22, "outputs-unset": 18, "arming-barred": 18, "esc-plug-off": 16,
        "no-pack-power": 14, "esc-dead": 5, "endpoints-untaught": 2, OTHER: 5,
    }),
    Symptom("one-motor", "One motor does not turn", {
        "signal-lead-off": 26, "motor-lead-off": 20, "esc-channel-dead": 16,
        "output-row-wrong": 12, "motor-dead": 8, "timer-taken": 8, "screw-in-winding": 5, OTHER: 5,
    }, words=("motor-silent",)),
    Symptom("stutter", "A motor stutters", {
        "motor-lead-off": 34, "idle-too-low": 16, "screw-in-winding": 14, "signal-lead-off": 10,
        "motor-dead": 10, "esc-channel-dead": 8, "motor-worn": 3, OTHER: 5,
    }),
    Symptom("two-turn", "Two motors turn on one output", {
        "output-row-wrong": 40, "signal-bridged": 35, "signal-forked": 15, OTHER: 10,
    }),
    Symptom("no-arm", "Does not arm", {
        "arm-range-wrong": 22, "arm-switch-unset": 16, "throttle-high": 13, "radio-unheard": 12,
        "level-unset": 10, "lead-bars": 6, "pack-reading-bars": 6, "position-awaited": 5,
        "sensor-unheard": 3, "loop-late": 2, OTHER: 5,
    }, words=("no-arm",)),
    Symptom("flips", "Flips at take-off", {
        "motor-order": 32, "motor-direction": 20, "props-wrong": 16, "mounting-untold": 12,
        "plan-unlike": 6, "motor-lead-off": 4, "esc-channel-dead": 3, "channels-crossed": 3,
        OTHER: 4,
    }, words=("flips",)),
    Symptom("drifts", "Drifts, or does not hold level", {
        "level-unset": 34, "radio-centre-off": 20, "prop-damaged": 12, "mounting-crooked": 10,
        "motor-worn": 10, "frame-bent": 6, "board-loose": 5, OTHER: 3,
    }, words=("drifts",)),
    Symptom("no-radio", "The sticks move nothing on the screen", {
        "receiver-unbound": 22, "receiver-port-off": 20, "receiver-protocol-unlike": 14,
        "receiver-swapped": 10, "receiver-lead-off": 10, "receiver-unpowered": 8,
        "radio-other-model": 6, "inversion-wrong": 5, "receiver-dead": 2, OTHER: 3,
    }, words=("no-radio",)),
    Symptom("radio-drops", "The radio is lost now and then", {
        "antenna-off": 40, "receiver-lead-off": 15, "receiver-unpowered": 15, "radio-noise": 15,
        "radio-other-model": 5, "receiver-dead": 5, OTHER: 5,
    }),
    Symptom("no-picture", "No picture", {
        "video-channel-unlike": 26, "video-unpowered": 18, "camera-lead-off": 16,
        "camera-dead": 10, "video-unbound": 8, "video-dead": 8, "video-antenna-off": 6,
        "video-control-off": 5, OTHER: 3,
    }, words=("no-picture",)),
    Symptom("no-overlay", "A picture, but no figures on it", {
        "overlay-port-off": 32, "overlay-none-placed": 20, "overlay-swapped": 16,
        "overlay-lead-off": 13, "overlay-kind-unlike": 12, OTHER: 7,
    }, words=("no-overlay",), only="overlay"),
    Symptom("no-position", "No position fix", {
        "position-sky": 28, "position-port-off": 20, "position-swapped": 14,
        "position-protocol-unlike": 12, "position-unpowered": 8, "position-lead-off": 8,
        "position-noise": 7, OTHER: 3,
    }, only="position"),
    Symptom("no-usb", "The computer does not see the board", {
        "usb-lead-bad": 38, "usb-driver": 20, "board-in-loader": 14, "usb-socket-bad": 12,
        "board-unpowered": 8, "board-dead": 5, OTHER: 3,
    }),
    Symptom("not-kept", "Settings are gone after a restart", {
        "not-saved": 36, "port-cleared": 30, "firmware-unlike": 14, "memory-bad": 12, OTHER: 8,
    }),
    Symptom("volts-wrong", "The battery reading is wrong", {
        "volts-scale": 50, "volts-source": 20, "cells-wrong": 16, "divider-bad": 6, OTHER: 8,
    }),
    Symptom("draws-much", "Draws too much at first power, or trips the limiter", {
        "short-solder": 30, "esc-shorted": 16, "part-shorted": 16, "pack-reversed": 14,
        "rail-wrong": 12, "limiter-small": 7, OTHER: 5,
    }),
)  # fmt: skip

SYMPTOMS: dict[str, Symptom] = {row.code: row for row in ROWS}
