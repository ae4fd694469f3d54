"""Checks of picture, overlay and position. Common practice, no source."""

from server.trade.card.stages.hazards import ANTENNA
from server.trade.fault_finder.model import COLD, LIVE, SET, USB, Check

LOOK = "Unplug everything."

ROWS = (
    Check(
        "video-antenna", "Is the video antenna fitted and whole?",
        (LOOK, "Look at plug and end."), COLD, {"whole": "Yes", "off": "No"}, (98, 2),
        {"video-antenna-off": (3, 97)}, ANTENNA,
    ),
    Check(
        "camera-lead", "Is the camera’s lead seated and whole?",
        (LOOK, "Look at both ends, and pull at each lead."), COLD,
        {"sound": "Yes", "off": "No"}, (96, 4), {"camera-lead-off": (10, 90)},
    ),
    Check(
        "video-light", "After half a minute: is the video unit lit and warm?",
        ("Antenna on, then connect.", "Wait 30 s, look, and feel beside it."), LIVE,
        {"alive": "Lit, or warm", "cold": "Dark and cold"}, (97, 3),
        {"video-unpowered": (3, 97), "video-dead": (40, 60), "video-control-off": (75, 25)},
        ANTENNA,
    ),
    Check(
        "video-volts", "What does the video unit’s supply read?",
        ("Antenna on, then connect.", "Measure at the unit’s own pads."), LIVE,
        {"right": "As on the map", "low": "Too low", "none": "Nothing"}, (97, 2, 1),
        {"video-unpowered": (3, 22, 75)}, ANTENNA,
    ),
    Check(
        "channels-stepped", "Is the picture on another channel of the goggles?",
        ("Antenna on, then connect.", "Step through every channel."), LIVE,
        {"yes": "Yes", "no": "No"}, (3, 97), {"video-channel-unlike": (95, 5)}, ANTENNA,
    ),
    Check(
        "video-linked-anew", "Is there a picture after linking goggles and unit anew?",
        ("Antenna on, then connect.", "Link the two, as their maker says."), LIVE,
        {"yes": "Yes", "no": "No"}, (3, 97), {"video-unbound": (93, 7)}, ANTENNA,
    ),
    Check(
        "video-rows", "Do band, channel and power stand in the set-up?",
        ("Read the three values in the set-up.",), SET,
        {"yes": "Yes, and power is not off", "no": "No"}, (96, 4), {"video-control-off": (4, 96)},
    ),
    Check(
        "other-camera", "Is there a picture with a camera that is known to work?",
        ("Cold: fit the other camera.", "Antenna on, then connect."), LIVE,
        {"yes": "Yes", "no": "No"}, (4, 96),
        {"camera-dead": (96, 4), "camera-lead-off": (72, 28)}, ANTENNA,
    ),
    Check(
        "overlay-port", "Is the overlay’s port set to the overlay?",
        ("Read the port row of the map’s port in the set-up.",), SET,
        {"yes": "Yes", "no": "No, or another port is"}, (97, 3), {"overlay-port-off": (2, 98)},
    ),
    Check(
        "overlay-wires", "Are the overlay’s wires on the pads of the map?",
        (LOOK, "Follow each wire from the unit to its pad.", "Pull at each lead."), COLD,
        {"as-map": "All, and firm", "swapped": "The two data wires are swapped",
         "off": "One is off or broken"}, (97, 1, 2),
        {"overlay-swapped": (3, 95, 2), "overlay-lead-off": (14, 1, 85)},
    ),
    Check(
        "figures", "Are figures chosen, and inside the picture?",
        ("Look at the overlay’s page in the set-up.",), SET,
        {"inside": "Yes", "none": "None is chosen", "outside": "They lie outside"}, (96, 2, 2),
        {"overlay-none-placed": (2, 58, 40)},
    ),
    Check(
        "overlay-kind", "Is the kind of overlay the one that the video unit shows?",
        ("Read the kind in the set-up.", "Compare it with the unit’s label."), SET,
        {"yes": "Yes", "no": "No"}, (97, 3), {"overlay-kind-unlike": (3, 97)},
    ),
    Check(
        "satellites", "What does the screen show of the position unit?",
        ("Put the craft at a window, and wait 2 min.",), SET,
        {"some": "Satellites, no fix", "zero": "It is there, with none", "gone": "It is not there"},
        (40, 30, 30),
        {"position-sky": (60, 39, 1), "position-noise": (50, 49, 1),
         "position-port-off": (0, 2, 98), "position-swapped": (0, 2, 98),
         "position-lead-off": (0, 4, 96), "position-unpowered": (0, 1, 99),
         "position-protocol-unlike": (1, 9, 90)},
    ),
    Check(
        "open-sky", "Does it fix under the open sky?",
        ("Carry the craft out, on a USB power bank.", "Wait 5 min."), USB,
        {"fix": "It fixes", "none": "It does not"}, (3, 97),
        {"position-sky": (95, 5), "position-noise": (25, 75)},
    ),
    Check(
        "position-port", "Is the position unit’s port set to it?",
        ("Read the port row of the map’s port in the set-up.",), SET,
        {"yes": "Yes", "no": "No, or another port is"}, (97, 3), {"position-port-off": (2, 98)},
    ),
    Check(
        "position-protocol", "Are protocol and rate those that the unit speaks?",
        ("Read both in the set-up.", "Compare them with the map."), SET,
        {"yes": "Yes", "no": "No"}, (97, 3), {"position-protocol-unlike": (6, 94)},
    ),
    Check(
        "position-wires", "Are the position unit’s wires on the pads of the map?",
        (LOOK, "Follow each wire from the unit to its pad.", "Pull at each lead."), COLD,
        {"as-map": "All, and firm", "swapped": "The two data wires are swapped",
         "off": "One is off or broken"}, (97, 1, 2),
        {"position-swapped": (3, 95, 2), "position-lead-off": (14, 1, 85),
         "position-unpowered": (60, 1, 39)},
    ),
    Check(
        "position-light", "Is the position unit lit?",
        ("Look at its light.",), SET, {"lit": "Lit", "dark": "Dark"}, (97, 3),
        {"position-unpowered": (4, 96)},
    ),
)  # fmt: skip
