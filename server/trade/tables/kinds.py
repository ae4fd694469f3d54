"""The kinds of device, and what other words are mostly meant for."""

from difflib import get_close_matches

KINDS: dict[str, str] = {
    "receiver": "hears the pilot's radio",
    "video": "a picture transmitter, digital or analogue",
    "camera": "gives the picture",
    "overlay": "a chip that draws flight data on the picture",
    "position": "GNSS",
    "compass": "a magnetometer",
    "light": "a lamp or a strip of lamps",
    "buzzer": "a beeper",
    "sensor": "measures current, distance, air speed and the like",
    "esc": "drives the motors",
    "radio-link": "data to and from the ground",
    "other": "any other part",
}

# Trade words for the same. Common practice, no source.
OTHER_WORDS: dict[str, str] = {
    "rx": "receiver",
    "vtx": "video",
    "transmitter": "video",
    "goggles": "video",
    "cam": "camera",
    "osd": "overlay",
    "gps": "position",
    "gnss": "position",
    "mag": "compass",
    "magnetometer": "compass",
    "led": "light",
    "strip": "light",
    "lamp": "light",
    "beeper": "buzzer",
    "finder": "buzzer",
    "current": "sensor",
    "barometer": "sensor",
    "lidar": "sensor",
    "telemetry": "radio-link",
    "link": "radio-link",
    "4-in-1": "esc",
    "motor": "esc",
}


def likely_kind(word: str) -> str | None:
    """The kind that `word` was mostly meant for; None where nothing is near."""
    folded = word.casefold()
    for part in (folded, *folded.replace("-", " ").split()):
        if part in KINDS or part in OTHER_WORDS:
            return OTHER_WORDS.get(part, part)
    near = get_close_matches(folded, [*KINDS, *OTHER_WORDS], n=1, cutoff=0.7)
    return OTHER_WORDS.get(near[0], near[0]) if near else None
