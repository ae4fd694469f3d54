"""What the counter picks from: symptoms, things handed in, how they look, and how people agreed.

Each once: forms check against them, templates list them, and the database holds to them.
"""

from enum import StrEnum


class Trouble(StrEnum):
    """What the customer says is wrong."""

    WIPED = "wiped"
    NO_ARM = "no-arm"
    FLIPS = "flips"
    MOTOR_SILENT = "motor-silent"
    NO_PICTURE = "no-picture"
    NO_OVERLAY = "no-overlay"
    NO_RADIO = "no-radio"
    DRIFTS = "drifts"
    NEVER_SET_UP = "never-set-up"
    OTHER = "other"


class HandedIn(StrEnum):
    """What may come over the counter."""

    CRAFT = "craft"
    BATTERY = "battery"
    RADIO = "radio"
    GOGGLES = "goggles"
    PROPS = "props"
    CHARGER_LEAD = "charger-lead"
    CASE = "case"


class BatteryLook(StrEnum):
    """How the batteries look; `UNSAFE` ones stay off the bench."""

    SOUND = "sound"
    WORN = "worn"
    UNSAFE = "unsafe"
    NONE = "none"


class Wear(StrEnum):
    """What is seen on the craft. `NOTHING` stands alone."""

    ARM_CRACKED = "arm-cracked"
    ANTENNA_CUT = "antenna-cut"
    LENS_SCRATCHED = "lens-scratched"
    WIRE_LOOSE = "wire-loose"
    NOTHING = "nothing"


class HowAgreed(StrEnum):
    """How the customer said yes to the estimate."""

    COUNTER = "counter"
    TELEPHONE = "telephone"
    MESSAGE = "message"
    STATUS_PAGE = "status page"


SYMPTOMS: dict[str, str] = {
    Trouble.WIPED: "Settings wiped after an update",
    Trouble.NO_ARM: "Does not arm",
    Trouble.FLIPS: "Flips at take-off",
    Trouble.MOTOR_SILENT: "A motor silent",
    Trouble.NO_PICTURE: "No picture",
    Trouble.NO_OVERLAY: "No overlay",
    Trouble.NO_RADIO: "No radio",
    Trouble.DRIFTS: "Drifts",
    Trouble.NEVER_SET_UP: "Never set up",
    Trouble.OTHER: "Other",
}

ITEMS: dict[str, str] = {
    HandedIn.CRAFT: "Craft",
    HandedIn.BATTERY: "Batteries",
    HandedIn.RADIO: "Radio",
    HandedIn.GOGGLES: "Goggles",
    HandedIn.PROPS: "Propellers, loose",
    HandedIn.CHARGER_LEAD: "Charger lead",
    HandedIn.CASE: "Case",
}

BATTERY_LOOKS: dict[str, str] = {
    BatteryLook.SOUND: "Sound",
    BatteryLook.WORN: "Scuffed or old",
    BatteryLook.UNSAFE: "Swollen, torn or hot",
    BatteryLook.NONE: "None handed in",
}

CONDITIONS: dict[str, str] = {
    Wear.ARM_CRACKED: "Arm cracked",
    Wear.ANTENNA_CUT: "Antenna cut",
    Wear.LENS_SCRATCHED: "Lens scratched",
    Wear.WIRE_LOOSE: "Wire loose",
    Wear.NOTHING: "Nothing to note",
}

HOW_AGREED: dict[str, str] = {
    HowAgreed.COUNTER: "at the counter",
    HowAgreed.TELEPHONE: "by telephone",
    HowAgreed.MESSAGE: "by message",
    HowAgreed.STATUS_PAGE: "on their status page",
}
# What the shop itself writes down; the customer's own page is the fourth.
TOLD_THE_SHOP = (HowAgreed.COUNTER, HowAgreed.TELEPHONE, HowAgreed.MESSAGE)
