"""A signature as it was drawn by a finger or a pen: whole numbers in a box, drawn anew by us.

What a page sends is 'x y x y;x y', strokes parted by ';'. Nothing of it but numbers is kept.
"""

from itertools import pairwise

from server.drawing.ink import Ink
from server.drawing.svg import group, svg

WIDE, TALL = 600, 200
MOST_STROKES, MOST_POINTS = 60, 2400
LEAST_LENGTH = 60  # units of pen travel; a slip of the finger is shorter
LONGEST = MOST_POINTS * len("599 199 ")

Stroke = tuple[tuple[int, int], ...]


def strokes(text: str) -> tuple[Stroke, ...]:
    """The strokes that `text` tells, none for an empty text.

    Raises ValueError for more than the bounds above, a point outside the box, or other signs.
    """
    if len(text) > LONGEST:
        raise ValueError("The signature is too long.")
    drawn = tuple(_stroke(part) for part in text.split(";") if part.strip())
    if len(drawn) > MOST_STROKES or sum(map(len, drawn)) > MOST_POINTS:
        raise ValueError("The signature has too many strokes.")
    return drawn


def _stroke(text: str) -> Stroke:
    words = text.split()
    if len(words) % 2 or not all(w.isascii() and w.isdecimal() for w in words):
        raise ValueError("The signature is no list of points.")
    numbers = [int(word) for word in words]
    points = tuple(zip(numbers[::2], numbers[1::2], strict=True))
    if any(x > WIDE or y > TALL for x, y in points):
        raise ValueError("The signature leaves its box.")
    return points


def told(drawn: tuple[Stroke, ...]) -> str:
    """The strokes in the form that `strokes` reads: what is kept."""
    return ";".join(" ".join(f"{x} {y}" for x, y in stroke) for stroke in drawn)


def length(drawn: tuple[Stroke, ...]) -> int:
    """How far the pen went, in units of the box, the longer of each step's two sides."""
    return sum(
        max(abs(b[0] - a[0]), abs(b[1] - a[1])) for stroke in drawn for a, b in pairwise(stroke)
    )


def signature(drawn: tuple[Stroke, ...], colour: bool = True) -> str:
    """The strokes as a picture; a point alone is a dot."""
    ink = Ink(colour)
    lines = [_line(ink, stroke) for stroke in drawn]
    return svg(WIDE, TALL, "Signature", group(lines, stroke_linecap="round"))


def _line(ink: Ink, stroke: Stroke) -> str:
    first, *rest = stroke
    steps: list[str | float] = ["M", *first, "L", *(rest[0] if rest else first)]
    steps += [number for point in rest[1:] for number in point]
    return ink.line(steps, "pen", 3.0)
