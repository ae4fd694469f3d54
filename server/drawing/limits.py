"""A measured value against its limits: a bracket on a line, the reading a pointer."""

from decimal import Decimal

from server.drawing.ink import BOARD, NAME, Ink
from server.drawing.metrics import width as text_width
from server.drawing.svg import group, svg

WIDTH, HEIGHT = 320.0, 88.0
LOW_X, HIGH_X, LEFT, RIGHT = 105.0, 215.0, 12.0, 308.0
AXIS, ROW = 54.0, 17.0
Number = Decimal | float | int


def limits_line(
    low: Number,
    high: Number,
    reading: Number | None,
    unit: str,
    ids_prefix: str = "",
    colour: bool = True,
    trips: Number | None = None,
) -> str:
    """Limits `low` to `high`, ends included, and where there is one the reading, in `unit`.

    `trips` is where a limiter over the window cuts off: a bar across the line.
    """
    ink = Ink(colour)
    axis = ink.line(["M", LEFT - 4, AXIS, "H", RIGHT + 4], weight=1.5)
    hook: list[str | float] = ["M", LOW_X + 6, AXIS - 13, "h", -6, "v", 26, "h", 6]
    hook += ["M", HIGH_X - 6, AXIS - 13, "h", 6, "v", 26, "h", -6, "M", LOW_X, AXIS, "H", HIGH_X]
    ends = ink.text((LOW_X, AXIS + 30), str(low), anchor="middle", tone="soft")
    ends += ink.text((HIGH_X, AXIS + 30), f"{high} {unit}", anchor="middle", tone="soft")
    drawn = [axis, ink.line(hook, weight=BOARD + 0.5), ends]
    title = f"Limits {low} to {high} {unit}"
    if trips is not None:
        title += f"; the limiter cuts off at {trips} {unit}"
        drawn.append(_limiter(ink, low, high, trips, unit))
    if reading is not None:
        where = verdict(low, high, reading)
        title += f"; reading {reading} {unit}{where and ', ' + where}"
        drawn.append(_pointer(ink, low, high, reading, f"{reading} {unit}", where))
    return svg(WIDTH, HEIGHT + (ROW if trips is not None else 0), title, group(drawn), ids_prefix)


def verdict(low: Number, high: Number, reading: Number) -> str:
    """'under' or 'over' for a reading outside its limits, else nothing."""
    return "under" if reading < low else "over" if reading > high else ""


def place(low: Number, high: Number, reading: Number) -> float:
    """The reading's x, in scale with the bracket; what lies far off stays at the line's end."""
    span = float(high) - float(low)
    share = (float(reading) - float(low)) / span if span else 0.5
    if not span and reading != low:
        share = -1.0 if reading < low else 2.0
    return max(LEFT, min(RIGHT, LOW_X + share * (HIGH_X - LOW_X)))


def _limiter(ink: Ink, low: Number, high: Number, trips: Number, unit: str) -> str:
    """A double bar; its words stand in a row of their own, under those of the bracket."""
    x, said = place(low, high, trips), f"limiter {trips} {unit}"
    bars: list[str | float] = ["M", x - 2, AXIS - 13, "v", 26, "M", x + 3, AXIS - 13, "v", 26]
    at = min(WIDTH - 2 - text_width(said, 13.0), x - text_width(said, 13.0) / 2)
    return ink.line(bars, weight=2.0) + ink.text((at, AXIS + 30 + ROW), said, tone="soft")


def _pointer(ink: Ink, low: Number, high: Number, reading: Number, said: str, where: str) -> str:
    x, tone = place(low, high, reading), "signal" if where else "pen"
    label = f"{said}, {where}" if where else said
    half = text_width(label, NAME) / 2
    at = max(half + 2, min(WIDTH - half - 2, x))
    corners = [(x - 8, AXIS - 26), (x + 8, AXIS - 26), (x, AXIS - 4)]
    pointer = ink.shape(corners, "", tone)
    if where:
        pointer += ink.line(["M", x, AXIS - 4, "v", 10], tone, 3.0)
    return pointer + ink.text((at, AXIS - 33), label, NAME, "middle", tone)
