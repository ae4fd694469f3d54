"""What each channel reads at both ends and in the middle, on one axis of microseconds."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from server.drawing.ink import Ink
from server.drawing.metrics import width as text_width
from server.drawing.radio.switch import WIDTH, x_of
from server.drawing.svg import group, svg

Number = Decimal | int | str
Three = tuple[Number, Number, Number]
TOP, ROW = 20.0, 74.0


def stick_ends(
    read: Mapping[str, Three],
    faults: Mapping[str, Sequence[bool]],
    ids_prefix: str = "",
    colour: bool = True,
) -> str:
    """Low, centre and high of each channel in µs; `faults` of the same three, in the same order.

    A tall stroke is where a reading is to lie, a pointer where it lies; a fault is filled, and has
    a cross bar.
    """
    ink = Ink(colour)
    drawn = [
        _channel(ink, name, three, faults[name], TOP + ROW * row)
        for row, (name, three) in enumerate(read.items())
    ]
    said = "; ".join(f"{name} {' / '.join(map(str, three))} µs" for name, three in read.items())
    return svg(
        WIDTH, TOP + ROW * len(read) - 14, f"Low, centre, high: {said}", group(drawn), ids_prefix
    )


def _channel(ink: Ink, name: str, three: Three, off: Sequence[bool], top: float) -> str:
    axis = top + 22
    drawn = [ink.text((4, top), name, 15), ink.line(["M", 8, axis, "H", WIDTH - 8], weight=1.5)]
    drawn += [ink.line(["M", x_of(w), axis - 9, "v", 18], weight=2.25) for w in (1000, 1500, 2000)]
    spots = sorted(
        zip((x_of(Decimal(v)) for v in three), three, off, strict=True), key=lambda spot: spot[0]
    )
    places = _apart([(x, text_width(str(value), 13) / 2) for x, value, _ in spots])
    for (x, value, wrong), at in zip(spots, places, strict=True):
        tone = "signal" if wrong else "pen"
        corners = [(x - 6, axis + 15), (x + 6, axis + 15), (x, axis + 2)]
        drawn.append(ink.shape(corners, "", tone))
        if wrong:
            drawn.append(ink.line(["M", x - 9, axis + 15, "h", 18], tone, 3.0))
        drawn.append(ink.text((at, axis + 31), str(value), anchor="middle", tone=tone))
    return group(drawn)


def _apart(labels: Sequence[tuple[float, float]]) -> list[float]:
    """Middles of labels of (x, half width), rising in x: none on another, none outside."""
    places, free = [], 2.0
    for x, half in labels:
        places.append(max(free + half, x))
        free = places[-1] + half + 6
    free = WIDTH - 2
    for index in range(len(labels) - 1, -1, -1):
        half = labels[index][1]
        places[index] = min(places[index], free - half)
        free = places[index] - half - 6
    return places
