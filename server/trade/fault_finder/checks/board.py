"""Checks of board, USB, settings and battery readings. Common practice, no source."""

from server.trade.card.stages.hazards import LIPO, PROPELLERS
from server.trade.fault_finder.model import COLD, LIVE, SET, USB, Check

METER = "Unplug everything. Set the meter to ohms."

ROWS = (
    Check(
        "usb-other-lead", "Is the board seen with a lead that is known to carry data?",
        ("Use the lead that served another board today.",), USB,
        {"seen": "Yes", "same": "No"}, (2, 98),
        {"usb-lead-bad": (97, 3), "usb-socket-bad": (15, 85)},
    ),
    Check(
        "usb-other-computer", "Is the board seen by another computer?",
        ("Same lead, the shop’s second computer.",), USB,
        {"seen": "Yes", "same": "No"}, (2, 98), {"usb-driver": (94, 6), "usb-socket-bad": (8, 92)},
    ),
    Check(
        "board-lights", "What do the board’s lights do on USB?",
        ("Look for 5 s.",), USB,
        {"run": "They do as ever", "hold": "One is lit and holds", "dark": "All dark"}, (92, 6, 2),
        {"board-in-loader": (8, 86, 6), "board-unpowered": (1, 7, 92), "board-dead": (15, 35, 50),
         "usb-socket-bad": (55, 5, 40)},
    ),
    Check(
        "rail-volts", "What does the board’s 3.3 V rail read on USB?",
        ("Measure from the rail’s pad to ground.",), USB,
        {"right": "3.2 to 3.4 V", "low": "Less, or nothing"}, (96, 4),
        {"board-unpowered": (2, 98), "board-dead": (85, 15), "usb-socket-bad": (60, 40),
         "usb-lead-bad": (80, 20)},
    ),
    Check(
        "usb-socket", "Is the board’s USB socket clean and firm?",
        ("Unplug everything.", "Look into it through the glass, and move its shell."), COLD,
        {"firm": "Yes", "loose": "No"}, (96, 4), {"usb-socket-bad": (15, 85)},
    ),
    Check(
        "rails-to-ground", "Is a rail of the board shorted to ground?",
        (METER, "Measure from each rail’s pad to ground."), COLD,
        {"none": "None", "short": "One reads under 5 Ω"}, (98, 2),
        {"board-unpowered": (25, 75), "part-shorted": (12, 88), "short-solder": (60, 40),
         "board-dead": (70, 30)},
    ),
    Check(
        "kept-by-hand", "Change one value, save, wait for the restart: does it stand?",
        ("Change one value that harms nothing.", "Save, and do not unplug before the restart."),
        SET,
        {"stands": "It stands", "gone": "It is gone"}, (88, 12),
        {"not-saved": (98, 2), "port-cleared": (88, 12), "memory-bad": (4, 96),
         "firmware-unlike": (55, 45)},
    ),
    Check(
        "ports-after-restart", "Enter the port rows, save, restart: which rows stand?",
        ("Enter every row of the map, then save.", "After the restart read every row."), SET,
        {"all": "All", "some": "Some are cleared", "none": "All are gone"}, (94, 4, 2),
        {"port-cleared": (3, 93, 4), "not-saved": (96, 2, 2), "memory-bad": (6, 12, 82),
         "firmware-unlike": (45, 35, 20)},
    ),
    Check(
        "firmware-name", "Is the firmware one for exactly this board?",
        ("Read the board’s name in the firmware.", "Compare it with the print on the board."), SET,
        {"yes": "Yes", "no": "No"}, (97, 3),
        {"firmware-unlike": (3, 97), "sensor-unheard": (55, 45)},
    ),
    Check(
        "meter-against", "Meter against screen: how do the two voltages differ?",
        ("Measure the battery at its plug.", "Read the voltage on the screen."), LIVE,
        {"alike": "Within 1 %", "share": "Off by a share", "nothing": "The screen shows nothing"},
        (80, 14, 6),
        {"volts-scale": (2, 96, 2), "volts-source": (1, 7, 92), "divider-bad": (2, 62, 36),
         "cells-wrong": (94, 5, 1), "pack-reading-bars": (45, 35, 20)}, LIPO,
    ),
    Check(
        "scale-holds", "Enter a new scale: do two packs read right with it?",
        ("Enter the scale from the battery readings step.",
         "Measure a full and a used pack, one after the other."), LIVE,
        {"both": "Both within 1 %", "one": "Only one, or neither"}, (30, 70),
        {"volts-scale": (95, 5), "divider-bad": (15, 85), "volts-source": (2, 98)}, LIPO,
    ),
    Check(
        "cells-read", "Is the number of cells on the screen the pack’s?",
        ("Read it on the screen.", "Read the pack’s label."), LIVE,
        {"yes": "Yes", "no": "No"}, (96, 4), {"cells-wrong": (3, 97), "volts-scale": (75, 25)},
        PROPELLERS,
    ),
    Check(
        "volts-row", "Is the board’s own battery input chosen as the source?",
        ("Read the source of the voltage in the set-up.",), SET,
        {"yes": "Yes", "no": "No"}, (97, 3), {"volts-source": (2, 98)},
    ),
)  # fmt: skip
