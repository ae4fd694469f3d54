"""Checks of arming, level, sticks and the build of the craft. Common practice, no source."""

from server.trade.fault_finder.model import COLD, SET, Check

LOOK = "Unplug everything."

ROWS = (
    Check(
        "arming-list", "What does the board say that bars arming?",
        ("Radio on, throttle low, craft flat.", "Read what the board lists."), SET,
        {"nothing": "Nothing", "radio": "The radio", "throttle": "The throttle",
         "switch": "The arm switch", "level": "The craft is not level",
         "pack": "The battery", "position": "No position fix", "sensor": "The motion sensor",
         "late": "The loop", "lead": "The set-up program’s connection"},
        (60, 5, 5, 5, 5, 5, 3, 3, 3, 6),
        {"arming-barred": (4, 15, 17, 23, 12, 8, 6, 4, 3, 8),
         "arm-range-wrong": (73, 3, 3, 14, 2, 1, 1, 1, 1, 1),
         "arm-switch-unset": (68, 3, 3, 19, 2, 1, 1, 1, 1, 1),
         "throttle-high": (4, 2, 88, 1, 1, 1, 1, 1, 0, 1),
         "radio-unheard": (2, 90, 2, 1, 1, 1, 1, 1, 0, 1),
         "level-unset": (3, 1, 1, 1, 90, 1, 1, 1, 0, 1),
         "lead-bars": (4, 1, 1, 1, 1, 1, 1, 1, 1, 88),
         "pack-reading-bars": (5, 1, 1, 1, 1, 88, 1, 1, 0, 1),
         "position-awaited": (4, 1, 1, 1, 1, 1, 89, 1, 0, 1),
         "sensor-unheard": (3, 1, 1, 1, 2, 1, 1, 88, 1, 1),
         "loop-late": (4, 1, 1, 1, 1, 1, 1, 2, 87, 1)}, of=("no-arm", "no-motor"),
    ),
    Check(
        "throttle-low", "Throttle stick down: what does its channel read?",
        ("Radio on, throttle stick all the way down.", "Read the throttle channel."), SET,
        {"low": "Up to 1050 µs", "high": "Over 1050 µs", "none": "Nothing moves it"}, (95, 3, 2),
        {"throttle-high": (3, 95, 2), "radio-unheard": (2, 2, 96)},
    ),
    Check(
        "arm-switch-read", "Throw the arm switch: what does the screen show?",
        ("Radio on.", "Throw the switch to and fro, and watch its channel and its range."), SET,
        {"into": "The channel moves into its range", "beside": "It moves, not into the range",
         "no-range": "It moves, and no range is set", "still": "No channel moves"},
        (94, 3, 1, 2),
        {"arm-range-wrong": (3, 92, 3, 2), "arm-switch-unset": (1, 2, 42, 55),
         "radio-unheard": (1, 1, 1, 97)},
    ),
    Check(
        "level-screen", "Craft flat and still: what does the screen show?",
        ("Put the craft flat, and let go.", "Look at the craft on the screen."), SET,
        {"level": "Level", "leans": "Leaning by a few degrees", "turned": "On its side or its back",
         "still": "It does not follow the hand"}, (92, 5, 2, 1),
        {"level-unset": (5, 83, 11, 1), "mounting-untold": (38, 5, 56, 1),
         "mounting-crooked": (25, 70, 4, 1), "sensor-unheard": (2, 1, 3, 94)},
    ),
    Check(
        "tilt-follows", "Does the screen do as the hand does?",
        ("Hold the craft nose down, then right side down.", "Watch the craft on the screen."), SET,
        {"same": "The same", "other": "Something else"}, (97, 3),
        {"mounting-untold": (2, 98), "sensor-unheard": (2, 98)},
    ),
    Check(
        "stick-by-stick", "Move one stick at a time: what moves on the screen?",
        ("Radio on.", "Move throttle, roll, pitch and yaw, one after the other."), SET,
        {"same": "The same, the same way", "other": "Another one, or the other way",
         "none": "Nothing"}, (95, 3, 2),
        {"channels-crossed": (1, 98, 1), "radio-unheard": (1, 1, 98)}, of=("flips", "no-arm"),
    ),
    Check(
        "sticks-at-rest", "Sticks let go: do roll, pitch and yaw read their centre?",
        ("Radio on, sticks let go.", "Read the three channels."), SET,
        {"centre": "All 1495 to 1505 µs", "off": "One reads otherwise"}, (94, 6),
        {"radio-centre-off": (4, 96)},
    ),
    Check(
        "board-seat", "How does the board sit?",
        (LOOK, "Look along its edge against the frame.", "Touch it: it gives, and swings back."),
        COLD, {"square": "Square and held", "crooked": "Out of square",
               "loose": "Loose, or against the frame"}, (95, 3, 2),
        {"mounting-crooked": (8, 90, 2), "board-loose": (6, 4, 90)},
    ),
    Check(
        "blades", "Are the propellers whole and of one kind?",
        (LOOK, "Look at each blade against the light."), COLD,
        {"whole": "Whole and alike", "damaged": "One is not",
         "none": "The customer has handed none in"}, (70, 4, 26), {"prop-damaged": (4, 70, 26)},
    ),
    Check(
        "arms", "Are the four arms straight and tight?",
        (LOOK, "Sight along the arms.", "Twist each at its motor."), COLD,
        {"straight": "All four", "bent": "One is bent, cracked or loose"}, (95, 5),
        {"frame-bent": (10, 90)},
    ),
    Check(
        "four-by-hand", "Turn the four motors by hand: is one unlike the others?",
        (LOOK, "Turn each with two fingers, and pull at its bell."), COLD,
        {"alike": "All alike", "odd": "One is rough, loose or bent"}, (95, 5),
        {"motor-worn": (14, 86)}, of=("drifts",),
    ),
)  # fmt: skip
