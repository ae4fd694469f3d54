"""The arm switch at its armed position: a lever among its positions, by what each reads."""

from decimal import Decimal

from server.drawing.ink import Ink
from server.drawing.metrics import width as text_width
from server.drawing.svg import group, svg

Number = Decimal | float | int
WIDTH, HEIGHT = 360.0, 158.0
PIVOT = (180.0, 108.0)
KNOB, REACH = 11.0, 66.0
PLACES = {2: (96.0, 264.0), 3: (72.0, 180.0, 288.0)}


def arm_switch(
    rest: Number,
    armed: Number,
    middle: Number | None = None,
    arms: str = "",
    colour: bool = True,
) -> str:
    """The lever solid where it arms and dashed where it does not, positions by their readings.

    `arms` is the arming range in words, '' where none is safe. Which way the lever goes on the
    radio was not recorded, so none is drawn as up or down.
    """
    spots = [("rest", rest), ("ARMED", armed)] + ([("middle", middle)] if middle else [])
    spots.sort(key=lambda spot: spot[1])
    ink, places = Ink(colour), PLACES[len(spots)]
    drawn = [_position(ink, x, *spot) for x, spot in zip(places, spots, strict=True)]
    drawn.sort(key=lambda pair: pair[0])  # the armed lever lies over the others
    x, y = PIVOT
    body = ink.rect((x - 46, y - 9, 92, 30)) + ink.rect((x - 16, y - 18, 32, 12), fill="well")
    says = f"arms at {arms}" if arms else "no safe range for arming"
    below = ink.text((x, HEIGHT - 8), says, anchor="middle")
    title = "Arm switch: " + ", ".join(f"{name} {value} µs" for name, value in spots)
    return svg(WIDTH, HEIGHT, f"{title}; {says}", group(d for _, d in drawn) + body + below)


def _position(ink: Ink, x: float, name: str, value: Number) -> tuple[bool, str]:
    armed = name == "ARMED"
    top = PIVOT[1] - REACH - (12 if x == PIVOT[0] else 0)
    lever: list[str | float] = ["M", PIVOT[0], PIVOT[1] - 14, "L", x, top]
    more: dict[str, str | float] = {} if armed else {"stroke_dasharray": "5 4"}
    stick = ink.line(lever, "ink", 7.0 if armed else 1.5, stroke_linecap="round", **more)
    knob = ink.circle((x, top), KNOB, "ink", "ink" if armed else "card", 1.5, **more)
    said, half = f"{name} {value} µs", text_width(f"{name} {value} µs", 13) / 2 + 2
    at = max(half, min(WIDTH - half, x))
    return armed, stick + knob + ink.text((at, top - 20), said, anchor="middle")
