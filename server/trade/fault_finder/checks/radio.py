"""Checks of receiver and radio. Common practice, no source."""

from server.trade.card.stages.hazards import PROPELLERS
from server.trade.fault_finder.model import COLD, LIVE, SET, USB, Check

LOOK = "Unplug everything."

ROWS = (
    Check(
        "receiver-light", "Radio on: what does the receiver’s light do?",
        ("Switch the radio on.", "Look at the receiver for 10 s."), SET,
        {"linked": "It shows that it is linked", "seeks": "It seeks", "dark": "It is dark"},
        (94, 4, 2),
        {"receiver-unbound": (2, 95, 3), "radio-other-model": (22, 76, 2),
         "receiver-unpowered": (1, 4, 95), "receiver-dead": (4, 22, 74)}, of=("no-radio",),
    ),
    Check(
        "receiver-port", "Is the receiver’s port set to receiver input?",
        ("Read the port row of the map’s port in the set-up.",), SET,
        {"yes": "Yes", "no": "No, or another port is"}, (97, 3), {"receiver-port-off": (2, 98)},
    ),
    Check(
        "receiver-protocol", "Is the protocol that is set the one that the receiver sends?",
        ("Read the protocol in the set-up.", "Compare it with the map and the receiver’s label."),
        SET, {"yes": "Yes", "no": "No, or none is set"}, (97, 3),
        {"receiver-protocol-unlike": (3, 97)},
    ),
    Check(
        "receiver-wires", "Are the receiver’s wires on the pads of the map?",
        (LOOK, "Follow each wire from the receiver to its pad.", "Pull at each lead."), COLD,
        {"as-map": "All, and firm", "swapped": "The two data wires are swapped",
         "off": "One is off or broken"}, (97, 1, 2),
        {"receiver-swapped": (3, 95, 2), "receiver-lead-off": (14, 1, 85),
         "receiver-unpowered": (60, 1, 39)},
    ),
    Check(
        "receiver-volts", "What does the receiver’s supply read?",
        ("Measure at the receiver’s own pads, and move its leads.",), SET,
        {"right": "As on the map, steady", "low": "Low, or it dips", "none": "Nothing"}, (97, 2, 1),
        {"receiver-unpowered": (3, 37, 60)},
    ),
    Check(
        "radio-model", "Has the radio this craft’s model and sending kind chosen?",
        ("Read model and sending kind on the radio.",), COLD,
        {"yes": "Yes", "no": "No"}, (97, 3),
        {"radio-other-model": (3, 97), "receiver-unbound": (85, 15)},
    ),
    Check(
        "linked-anew", "Does it work after linking the two anew?",
        ("Link receiver and radio, as their makers say.", "Move the sticks."), SET,
        {"works": "It works", "same": "It does not"}, (3, 97),
        {"receiver-unbound": (93, 7), "radio-other-model": (40, 60)}, of=("no-radio",),
    ),
    Check(
        "port-turned", "Does it work with the port’s inversion the other way?",
        ("Change the inversion of the receiver’s port, save, restart.", "Move the sticks."), SET,
        {"works": "It works", "same": "It does not: put it back"}, (2, 98),
        {"inversion-wrong": (92, 8)},
    ),
    Check(
        "antenna", "Is the radio link’s antenna whole and seated?",
        (LOOK, "Look at its end, its jacket and its plug."), COLD,
        {"whole": "Whole, seated, clear of carbon", "off": "It is not"}, (94, 6),
        {"antenna-off": (6, 94)},
    ),
    Check(
        "video-unplugged", "Is it better with the video unit unplugged?",
        ("Watch the link’s figures for 30 s.",
         "Cold: take the video unit off. Connect, and watch again."),
        LIVE, {"better": "Clearly better", "same": "The same"}, (6, 94),
        {"radio-noise": (88, 12), "position-noise": (88, 12)}, PROPELLERS,
    ),
    Check(
        "far-off", "Does the link hold across the yard, radio at its lowest power?",
        ("Leave the craft on the bench, on USB.", "Carry the radio 30 m away."), USB,
        {"holds": "It holds", "falls": "It falls off early"}, (90, 10),
        {"antenna-off": (8, 92), "radio-noise": (55, 45), "receiver-dead": (40, 60)},
    ),
    Check(
        "other-receiver", "Does it work with a receiver that is known to?",
        ("Cold: fit the other receiver, with its own antenna.", "Link it, and move the sticks."),
        SET, {"works": "It works", "same": "It does the same"}, (6, 94),
        {"receiver-dead": (97, 3), "antenna-off": (85, 15), "receiver-unbound": (70, 30),
         "radio-other-model": (40, 60), "receiver-lead-off": (40, 60)},
    ),
)  # fmt: skip
