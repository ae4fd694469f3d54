"""Who comes to the demo shop, and with what. All invented."""

from typing import NamedTuple


class Story(NamedTuple):
    """One ticket: whose, which craft, on which board, with which parts, why, and how far it is.

    `end`: waiting, bench, halfway, stuck, on-hold, caution, to-sign, ready, collected, returned,
    cancelled.
    `days` is the promise, counted from today. `fault` is what was looked for (see faults.py).
    """

    customer: str
    craft: str
    board: int
    parts: str
    symptom: str
    words: str
    end: str
    days: int
    cells: int = 6
    fault: str = ""


# Ofcom keeps 020 7946 0000 to 0999 for plays and films (from memory): nobody answers there.
PHONES = {
    "Perrin Vale": "020 7946 0142",
    "Odile Marsh": "020 7946 0187",
    "Tamsin Rook": "020 7946 0110",
    "Jory Fenn": "020 7946 0164",
    "Ansel Birk": "020 7946 0175",
    "Wren Ashdown": "020 7946 0121",
    "Maud Hollis": "020 7946 0133",
    "Corin Tarn": "020 7946 0158",
    "Ysolde Pike": "020 7946 0199",
    "Lev Sorrel": "020 7946 0106",
}

# Past work first, so that the archive has something to find.
PAST = (
    Story(
        "Perrin Vale",
        "Kittiwake",
        0,
        "lark pipit",
        "wiped",
        "It forgot everything.",
        "collected",
        -60,
        fault="no-arm arm-switch-read beside arm-range-wrong",
    ),
    Story(
        "Wren Ashdown",
        "Curlew",
        0,
        "lark pipit sedge",
        "wiped",
        "After an update.",
        "collected",
        -50,
        fault="no-arm arm-switch-read beside arm-range-wrong",
    ),
    Story(
        "Odile Marsh",
        "Gannet",
        1,
        "lark pipit sedge",
        "no-overlay",
        "Picture but no numbers.",
        "collected",
        -44,
        fault="no-overlay overlay-port no overlay-port-off",
    ),
    Story(
        "Ansel Birk",
        "Knot",
        4,
        "wren heron",
        "never-set-up",
        "I built it, it does nothing.",
        "collected",
        -40,
        4,
    ),
    Story(
        "Jory Fenn",
        "Kestrel",
        3,
        "lark pipit",
        "flips",
        "It just flipped on take-off.",
        "collected",
        -38,
    ),
    Story(
        "Tamsin Rook", "Dunlin", 6, "lark sedge", "no-arm", "It will not arm.", "collected", -35, 4
    ),
    Story("Maud Hollis", "Sanderling", 5, "linnet pipit", "wiped", "Wiped.", "collected", -33),
    Story(
        "Corin Tarn",
        "Redshank",
        9,
        "lark pipit sedge",
        "no-radio",
        "The radio is not seen.",
        "collected",
        -30,
        fault="no-radio receiver-port no receiver-port-off",
    ),
    Story(
        "Ysolde Pike", "Turnstone", 7, "lark pipit", "wiped", "Lost its settings.", "collected", -26
    ),
    Story(
        "Lev Sorrel",
        "Whimbrel",
        8,
        "wren heron",
        "motor-silent",
        "One motor is silent.",
        "collected",
        -24,
        fault="one-motor signal-contact open signal-lead-off",
    ),
    Story("Perrin Vale", "Plover", 2, "lark", "never-set-up", "New build.", "collected", -20, 4),
    Story(
        "Odile Marsh",
        "Phalarope",
        10,
        "wren",
        "drifts",
        "Drifts to the left.",
        "collected",
        -18,
        4,
        fault="drifts level-screen leans level-unset",
    ),
    Story(
        "Wren Ashdown", "Godwit", 11, "lark pipit", "wiped", "Erased by mistake.", "collected", -14
    ),
    Story(
        "Maud Hollis",
        "Ruff",
        0,
        "lark pipit",
        "wiped",
        "Erased.",
        "collected",
        -12,
        fault="no-arm throttle-low high throttle-high",
    ),
    Story("Jory Fenn", "Snipe", 3, "lark pipit", "no-picture", "Black goggles.", "returned", -10),
    Story(
        "Corin Tarn",
        "Dotterel",
        0,
        "lark pipit",
        "flips",
        "Flips.",
        "collected",
        -8,
        fault="flips tilt-follows other mounting-untold",
    ),
)
CALLED_OFF = Story("Lev Sorrel", "Coot", 3, "lark pipit", "drifts", "Drifts.", "cancelled", 2)
NOW = (
    Story(
        "Odile Marsh",
        "Gannet",
        1,
        "lark pipit sedge",
        "never-set-up",
        "Receiver replaced.",
        "on-hold",
        -1,
    ),
    Story("Wren Ashdown", "Curlew", 0, "lark pipit sedge", "drifts", "Drifts.", "ready", 0),
    Story("Jory Fenn", "Kestrel", 3, "lark pipit", "flips", "Flips at once.", "to-sign", 0),
    Story(
        "Ansel Birk",
        "Knot",
        4,
        "wren heron",
        "motor-silent",
        "Front left is dead.",
        "halfway",
        0,
        4,
    ),
    Story(
        "Perrin Vale",
        "Kittiwake",
        0,
        "lark pipit",
        "wiped",
        "Did an update on Sunday and now it will not arm. Nothing else was changed.",
        "caution",
        2,
        fault="no-arm arming-list nothing",
    ),
    Story(
        "Tamsin Rook",
        "Dunlin",
        6,
        "lark sedge",
        "no-picture",
        "No picture since yesterday.",
        "waiting",
        0,
        4,
    ),
    Story(
        "Maud Hollis",
        "Sanderling",
        5,
        "linnet pipit",
        "never-set-up",
        "Never set up.",
        "waiting",
        2,
    ),
    Story(
        "Corin Tarn",
        "Redshank",
        9,
        "lark pipit sedge",
        "no-radio",
        "No radio, no position.",
        "waiting",
        5,
    ),
    Story(
        "Ysolde Pike",
        "Turnstone",
        7,
        "lark pipit",
        "no-overlay",
        "No numbers on the picture.",
        "stuck",
        1,
    ),
    Story("Lev Sorrel", "Whimbrel", 8, "wren heron", "wiped", "Wiped after an update.", "bench", 1),
    Story("Perrin Vale", "Plover", 2, "lark", "no-arm", "Does not arm.", "waiting", 3, 4),
    Story("Odile Marsh", "Phalarope", 10, "wren", "other", "Beeps all the time.", "waiting", 4, 4),
    Story("Wren Ashdown", "Godwit", 11, "lark pipit", "flips", "Flips backwards.", "halfway", 1),
    Story("Maud Hollis", "Ruff", 0, "lark pipit", "drifts", "Drifts.", "ready", 0),
    Story(
        "Jory Fenn",
        "Snipe",
        3,
        "wren heron",
        "no-picture",
        "Try it again, a new camera.",
        "waiting",
        6,
    ),
    Story("Corin Tarn", "Dotterel", 0, "lark pipit", "no-arm", "Will not arm.", "on-hold", 3),
    Story("Ansel Birk", "Stint", 1, "lark pipit", "never-set-up", "A new build.", "bench", 2),
    Story("Tamsin Rook", "Avocet", 3, "lark pipit sedge", "wiped", "Wiped.", "to-sign", 1),
    Story(
        "Ysolde Pike",
        "Lapwing",
        5,
        "lark pipit sedge",
        "never-set-up",
        "First of its kind.",
        "waiting",
        7,
    ),
    Story("Lev Sorrel", "Oystercatcher", 7, "lark", "no-radio", "Radio lost.", "waiting", 8),
    Story("Corin Tarn", "Stilt", 6, "lark pipit", "flips", "Rolls over.", "halfway", 4),
    Story("Maud Hollis", "Pratincole", 9, "lark sedge", "other", "Smells warm.", "on-hold", 5),
    Story("Perrin Vale", "Courser", 8, "lark pipit", "wiped", "Wiped.", "waiting", 9),
    Story(
        "Odile Marsh", "Killdeer", 4, "lark heron", "no-arm", "Says no when armed.", "ready", -1, 4
    ),
)
