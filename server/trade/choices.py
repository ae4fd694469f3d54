"""What the counter picks from: symptoms, things handed in, and how they look."""

SYMPTOMS = {
    "wiped": "Settings wiped after an update",
    "no-arm": "Does not arm",
    "flips": "Flips at take-off",
    "motor-silent": "A motor silent",
    "no-picture": "No picture",
    "no-overlay": "No overlay",
    "no-radio": "No radio",
    "drifts": "Drifts",
    "never-set-up": "Never set up",
    "other": "Other",
}

ITEMS = {
    "craft": "Craft",
    "battery": "Batteries",
    "radio": "Radio",
    "goggles": "Goggles",
    "props": "Propellers, loose",
    "charger-lead": "Charger lead",
    "case": "Case",
}

BATTERY_LOOKS = {
    "sound": "Sound",
    "worn": "Scuffed or old",
    "unsafe": "Swollen, torn or hot",
    "none": "None handed in",
}

CONDITIONS = {
    "arm-cracked": "Arm cracked",
    "antenna-cut": "Antenna cut",
    "lens-scratched": "Lens scratched",
    "wire-loose": "Wire loose",
    "nothing": "Nothing to note",
}

HOW_AGREED = {
    "counter": "at the counter",
    "telephone": "by telephone",
    "message": "by message",
    "status page": "on their status page",
}
