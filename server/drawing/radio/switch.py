"""The positions of a switch and its arming range on one axis of microseconds."""

from collections.abc import Sequence
from decimal import Decimal

from server.drawing.ink import Ink
from server.drawing.metrics import width as text_width
from server.drawing.svg import group, svg
from server.drawing.symbols import cross
from server.trade.radio.arming import span_words

Number = Decimal | float | int
WIDTH, LEFT, RIGHT = 360.0, 24.0, 336.0
LOW, HIGH = 850.0, 2150.0
ROW = 17.0
BELOW, MARGINS, OTHER = 68.0, 34.0, 36.0


def switch_range(
    rest: Number,
    armed: Number,
    middle: Number | None = None,
    radio_off: Number | None = None,
    arms: tuple[Number, Number] | None = None,
    ids_prefix: str = "",
    colour: bool = True,
    others: Sequence[tuple[str, Number, Number]] = (),
) -> str:
    """What the switch reads in each position, and where it arms; `arms` None: nowhere safe.

    Under an end that is not left open stand its margins, to the armed reading and to the nearest
    that must not arm. `others` are further ranges of the same channel by name, each on a line of
    its own; one that touches the arming range is drawn as a fault.
    """
    ink = Ink(colour)
    spots = [("rest", rest), ("armed", armed)] + ([("middle", middle)] if middle else [])
    labels = [(f"{name} {value}", x_of(value)) for name, value in spots]
    levels = _levels(labels)
    axis = 14 + ROW * (max(levels) + 1) + 12
    drawn = [ink.line(["M", 8, axis, "H", WIDTH - 8], weight=1.5), _ticks(ink, axis)]
    away = [value for value in (rest, middle, radio_off) if value is not None]
    words = "" if arms is None else span_words(*arms, others=away)
    drawn += [_range(ink, arms, words, axis)]
    for (said, x), level in zip(labels, levels, strict=True):
        top = axis - 16 - ROW * level
        drawn.append(ink.line(["M", x, axis, "V", top + 3], "pen", 1.5))
        drawn.append(ink.circle((x, axis), 6, "", "pen"))
        drawn.append(ink.text((_inside(x, said), top), said, anchor="middle", tone="pen"))
    if radio_off is not None:
        x, said = x_of(radio_off), f"radio off {radio_off}"
        drawn.append(cross(ink, (x, axis), 8, weight=3.0))
        drawn.append(ink.text((_inside(x, said), axis + 44), said, anchor="middle"))
    low = axis + BELOW
    margins = _margins(armed, [value for _, value in spots[:1] + spots[2:]], radio_off, arms)
    if margins:
        drawn += [_margin(ink, pair, low) for pair in margins]
        low += MARGINS
    for name, *span in others:
        drawn.append(_other(ink, name, (span[0], span[1]), arms, low))
        low += OTHER
    title = _title(spots, radio_off, words) + "".join(f", {n} {a} to {b} µs" for n, a, b in others)
    return svg(WIDTH, low, title, group(drawn), ids_prefix)


def _margins(
    armed: Number, rests: list[Number], radio_off: Number | None, arms: tuple[Number, Number] | None
) -> list[tuple[Number, Number]]:
    """From each closed end to the armed reading and to the nearest that must not arm."""
    if arms is None:
        return []
    out = [float(value) for value in [*rests, radio_off] if value is not None]
    found: list[tuple[Number, Number]] = []
    for end, near in (
        (arms[0], [v for v in out if v < arms[0]]),
        (arms[1], [v for v in out if v > arms[1]]),
    ):
        if near:
            nearest = min(near, key=lambda v: abs(v - float(end)))
            found += [
                (min(float(armed), float(end)), max(float(armed), float(end))),
                (min(nearest, float(end)), max(nearest, float(end))),
            ]
    return found


def _margin(ink: Ink, span: tuple[Number, Number], y: float) -> str:
    """A measure line between two readings, its length beneath where there is room for it."""
    low, high, said = x_of(span[0]), x_of(span[1]), f"{float(span[1]) - float(span[0]):g} µs"
    steps: list[str | float] = ["M", low + 1, y + 4, "v", 10, "M", high - 1, y + 4, "v", 10]
    drawn = ink.line([*steps, "M", low + 1, y + 9, "H", high - 1], "edge", 1.5)
    if text_width(said, 13) + 2 > high - low:
        return drawn
    return drawn + ink.text(((low + high) / 2, y + 28), said, anchor="middle", tone="soft")


def _other(
    ink: Ink, name: str, span: tuple[Number, Number], arms: tuple[Number, Number] | None, y: float
) -> str:
    clash = arms is not None and span[0] <= arms[1] and arms[0] <= span[1]
    tone, (low, high) = ("signal" if clash else "ink"), (x_of(span[0]), x_of(span[1]))
    steps: list[str | float] = ["M", low + 5, y + 2, "h", -5, "v", 12, "h", 5]
    steps += ["M", high - 5, y + 2, "h", 5, "v", 12, "h", -5, "M", low, y + 8, "H", high]
    said = f"{name} {span[0]} to {span[1]}" + (" µs, with arming" if clash else " µs")
    at = _inside((low + high) / 2, said)
    drawn = ink.line(steps, tone, 3.0 if clash else 2.0)
    return drawn + ink.text((at, y + 29), said, anchor="middle", tone=tone, room=WIDTH - 4)


def x_of(value: Number) -> float:
    """A reading's x; what lies off the axis stays at its end."""
    share = (float(value) - LOW) / (HIGH - LOW)
    return LEFT + max(0.0, min(1.0, share)) * (RIGHT - LEFT)


def _levels(labels: list[tuple[str, float]]) -> list[int]:
    """A row for each label, so that none lies on another."""
    held: list[tuple[int, float, float]] = []
    levels = []
    for said, x in labels:
        half, at = text_width(said, 13) / 2 + 4, _inside(x, said)
        level = 0
        while any(row == level and a < at + half and at - half < b for row, a, b in held):
            level += 1
        held.append((level, at - half, at + half))
        levels.append(level)
    return levels


def _inside(x: float, said: str) -> float:
    half = text_width(said, 13) / 2 + 2
    return max(half, min(WIDTH - half, x))


def _ticks(ink: Ink, axis: float) -> str:
    marks = [ink.line(["M", x_of(v), axis, "v", 6], weight=1.25) for v in (1000, 1500, 2000)]
    said = [
        ink.text((x_of(v), axis + 27), text, anchor="middle", tone="soft")
        for v, text in ((1000, "1000"), (1500, "1500"), (2000, "2000 µs"))
    ]
    return group(marks + said)


def _range(ink: Ink, span: tuple[Number, Number] | None, words: str, axis: float) -> str:
    y = axis + 61
    if span is None:
        return ink.text((WIDTH / 2, y), "no safe range for arming", anchor="middle", tone="signal")
    low, high = x_of(span[0]), x_of(span[1])
    steps: list[str | float] = ["M", low, axis, "H", high]
    # An end that is left open has no bracket.
    if not words.endswith("and down"):
        steps += ["M", low + 6, axis - 10, "h", -6, "v", 20, "h", 6]
    if not words.endswith("and up"):
        steps += ["M", high - 6, axis - 10, "h", 6, "v", 20, "h", -6]
    said = f"arms at {words}"
    at = _inside((low + high) / 2, said)
    return ink.line(steps, weight=3.5) + ink.text((at, y), said, anchor="middle")


def _title(spots: list[tuple[str, Number]], radio_off: Number | None, words: str) -> str:
    said = [f"{name} {value} µs" for name, value in spots]
    said += [] if radio_off is None else [f"radio off {radio_off} µs"]
    said.append(f"arms at {words}" if words else "no safe range for arming")
    return "Switch: " + ", ".join(said)
