"""The signs that every drawing shares: tabs, arrowheads, flags, finding marks, hatching.

A point goes into a notch: what talks is a filled point, what listens is an open notch.
"""

from math import cos, pi, sin

from server.drawing.ink import HEAVY, LINE, TEXT, THIN, Ink
from server.drawing.metrics import width
from server.drawing.svg import group
from server.trade.finding import Severity

Point = tuple[float, float]

HALF = 9.0  # half the height of a tab
OUT, IN = 15.0, 12.0  # how far a tab stands out of its box, and into it
NOTCH = 10.0
MARK = 11.0  # radius of a finding's mark

# Where a wire meets each shape, measured outwards from the edge of the box.
MEETS = {
    "talk": OUT,
    "listen": OUT - NOTCH,
    "both": OUT,
    "power": HALF,
    "ground": HALF,
    "motor": HALF,
    "pill": 12.0,
    "unknown": 12.0,
}


def tab(ink: Ink, at: Point, shape: str, out: int) -> str:
    """The sign of a pad or lead on the edge of its box at `at`, facing `out` (-1 left, 1 right)."""
    draw = {
        "talk": _point,
        "both": _open_point,
        "listen": _notch,
        "power": _power,
        "ground": _ground,
        "motor": _motor,
        "pill": _pill,
    }.get(shape, _unknown)
    return draw(ink, at, out)


def _corners(at: Point, out: int, *places: Point) -> list[Point]:
    return [(at[0] + out * x, at[1] + y) for x, y in places]


def _point_corners(at: Point, out: int) -> list[Point]:
    return _corners(at, out, (-IN, -HALF), (6, -HALF), (OUT, 0), (6, HALF), (-IN, HALF))


def _point(ink: Ink, at: Point, out: int) -> str:
    return ink.shape(_point_corners(at, out), fill="ink", weight=THIN)


def _open_point(ink: Ink, at: Point, out: int) -> str:
    return ink.shape(_point_corners(at, out))


def _notch(ink: Ink, at: Point, out: int) -> str:
    places = ((-IN, -HALF), (OUT, -HALF), (OUT - NOTCH, 0), (OUT, HALF), (-IN, HALF))
    return ink.shape(_corners(at, out, *places))


def _square(ink: Ink, at: Point) -> str:
    return ink.rect((at[0] - HALF, at[1] - HALF, 2 * HALF, 2 * HALF))


def _power(ink: Ink, at: Point, _out: int) -> str:
    x, y = at
    return _square(ink, at) + ink.line(["M", x - 5, y, "h", 10, "M", x, y - 5, "v", 10])


def _ground(ink: Ink, at: Point, _out: int) -> str:
    x, y = at
    steps: list[str | float] = ["M", x - 6, y - 3, "h", 12, "M", x - 4, y + 0.5, "h", 8]
    return _square(ink, at) + ink.line([*steps, "M", x - 2, y + 4, "h", 4], weight=1.75)


def _motor(ink: Ink, at: Point, _out: int) -> str:
    return ink.circle(at, HALF)


def _pill(ink: Ink, at: Point, _out: int) -> str:
    return ink.rect((at[0] - 12, at[1] - 8, 24, 16), rx=8)


def _unknown(ink: Ink, at: Point, _out: int) -> str:
    return ink.rect((at[0] - 12, at[1] - 8, 24, 16), weight=1.75, stroke_dasharray="3 3")


def arrowhead(ink: Ink, tip: Point, turn: Point, tone: str = "ink", size: float = 12.0) -> str:
    """A filled triangle with its point at `tip`, looking along the unit vector `turn`."""
    (x, y), (dx, dy), wide = tip, turn, size * 0.46
    back = (x - dx * size, y - dy * size)
    corners = [tip, (back[0] - dy * wide, back[1] + dx * wide)]
    return ink.shape([*corners, (back[0] + dy * wide, back[1] - dx * wide)], "", tone)


def nose(ink: Ink, tip: Point, size: float = 26.0) -> str:
    """The filled arrowhead at a board's or a craft's nose, pointing up."""
    x, y = tip
    corners = [tip, (x + size / 2, y + size), (x, y + size * 0.74), (x - size / 2, y + size)]
    return ink.shape(corners, "", "ink")


def flag_width(name: str, room: float) -> float:
    """How long a flag is, point included, with its name in at most `room` units."""
    return 6 + min(width(name, TEXT), room) + 12


def flag(
    ink: Ink, at: Point, out: int, name: str, room: float, tone: str = "soft", state: str = ""
) -> str:
    """A pennant that stands for the pad of that name; `at` is its point, it grows along `out`."""
    length = flag_width(name, room)
    places = ((0, 0), (6, -HALF), (length, -HALF), (length, HALF), (6, HALF))
    dash = {"stroke_dasharray": "3 3"} if state == "unused" else {}
    stroke, weight = ("signal", LINE) if tone == "signal" else ("ink", THIN)
    shape = ink.shape(_corners(at, out, *places), stroke, "card", weight, **dash)
    if state == "new":
        inner = ((5, 0), (8.5, -HALF + 3), (length - 3, -HALF + 3), (length - 3, HALF - 3))
        corners = _corners(at, out, *inner, (8.5, HALF - 3))
        shape += ink.shape(corners, "ink", "card", THIN)
    middle = at[0] + out * (6 + (length - 6) / 2)
    return shape + ink.text((middle, at[1] + 4.5), name, anchor="middle", tone=tone, room=room)


def mark(ink: Ink, at: Point, severity: Severity, number: int) -> str:
    """A finding's number in its shape: octagon for stop, triangle for caution, circle for note."""
    x, y = at
    said = str(number)
    if severity is Severity.STOP:
        eighths = [pi / 8 + i * pi / 4 for i in range(8)]
        corners = [(x + MARK * 1.06 * cos(a), y + MARK * 1.06 * sin(a)) for a in eighths]
        shape = ink.shape(corners, "card", "signal", THIN)
        return shape + ink.text((x, y + 4.5), said, TEXT, "middle", "on-signal")
    if severity is Severity.CAUTION:
        more = 1.5 * (len(said) - 1)
        corners = [(x, y - 11.5 - more), (x + 12.5 + more, y + 10), (x - 12.5 - more, y + 10)]
        return ink.shape(corners, weight=1.75) + ink.text((x, y + 8), said, TEXT, "middle")
    shape = ink.circle(at, MARK - 1, weight=1.75)
    return shape + ink.text((x, y + 4.5), said, TEXT, "middle")


def cross(ink: Ink, at: Point, half: float = 5.0, tone: str = "ink", weight: float = LINE) -> str:
    """Two strokes through one point: something that was taken away, or must not be."""
    x, y = at
    steps: list[str | float] = ["M", x - half, y - half, "l", 2 * half, 2 * half]
    return ink.line([*steps, "M", x - half, y + half, "l", 2 * half, -2 * half], tone, weight)


def hatch(ink: Ink, box: tuple[float, float, float, float], step: float = 8.0) -> str:
    """A thin frame filled with slanting lines, cut to the box by hand (no pattern, no ids)."""
    x, y, w, h = box
    steps: list[str | float] = []
    start = step / 2
    while start < w + h:
        steps += ["M", x + min(start, w), y + max(0.0, start - w)]
        steps += ["L", x + max(0.0, start - h), y + min(start, h)]
        start += step
    return ink.rect(box, weight=THIN) + ink.line(steps, weight=1.0)


def ground_hatch(ink: Ink, left: float, right: float, y: float, tone: str = "ink") -> str:
    """The bench or the floor: a line with short slanting strokes under it."""
    steps: list[str | float] = ["M", left, y, "H", right]
    x = left + 10
    while x < right:
        steps += ["M", x, y, "l", -5, 6]
        x += 13
    return ink.line(steps, tone, 1.5)


def saw(start: Point, length: float, out: int, high: float = 4.5) -> list[str | float]:
    """Path steps of a saw-tooth along x from `start`, ending on the line again."""
    teeth = max(2, round(length / 7.5))
    run = length / (2 * teeth) * out
    steps: list[str | float] = ["L", *start]
    for i in range(teeth):
        up = -high if i % 2 == 0 else high
        steps += ["l", run, up, "l", run, -up]
    return steps


def weight_of(tone: str) -> float:
    """Faults are drawn heavier than what is right."""
    return HEAVY if tone == "signal" else LINE


def legend_row(ink: Ink, at: Point, sign: str, said: str, offset: float) -> str:
    """A sign and, `offset` to its right, what it stands for."""
    return group([sign, ink.text((at[0] + offset, at[1] + 4.5), said, tone="soft")])
