"""How far channels move while nobody touches them: noise as a bar, its deadband as a bracket."""

from collections.abc import Sequence
from decimal import Decimal

from server.drawing.ink import Ink
from server.drawing.svg import group, svg

WIDTH, LEFT, RIGHT = 360.0, 76.0, 340.0
CENTRE, LEAST = Decimal(1500), Decimal(20)
TOP, ROW = 22.0, 40.0
Span = tuple[str, Decimal, Decimal, Decimal, bool]


def at_rest(spans: Sequence[Span], ids_prefix: str = "", colour: bool = True) -> str:
    """Of each channel its name, lowest, highest and deadband in µs, and whether it is at fault.

    The axis reaches 20 µs to either side of 1500, or as far as the widest deadband.
    """
    ink = Ink(colour)
    reach = max([LEAST, *(band for _, _, _, band, _ in spans)])
    low = TOP + ROW * len(spans)
    drawn = [_axis(ink, reach, low)]
    drawn += [_channel(ink, span, reach, TOP + ROW * row) for row, span in enumerate(spans)]
    said = "; ".join(
        f"{name} {least} to {most} µs, deadband {band} µs" for name, least, most, band, _ in spans
    )
    return svg(WIDTH, low + 8, f"At rest: {said}", group(drawn), ids_prefix)


def _x(us: Decimal, reach: Decimal) -> float:
    share = float((us - CENTRE) / reach)
    return (LEFT + RIGHT) / 2 + max(-1.0, min(1.0, share)) * (RIGHT - LEFT) / 2


def _axis(ink: Ink, reach: Decimal, low: float) -> str:
    marks = ((CENTRE - reach, "start"), (CENTRE, "middle"), (CENTRE + reach, "end"))
    drawn = [
        ink.text(
            (_x(us, reach), 14), f"{us} µs" if at == "end" else str(us), anchor=at, tone="soft"
        )
        for us, at in marks
    ]
    middle = _x(CENTRE, reach)
    return group(drawn) + ink.line(["M", middle, TOP - 2, "V", low], "edge", 1.25)


def _channel(ink: Ink, span: Span, reach: Decimal, top: float) -> str:
    name, least, most, band, wrong = span
    tone, y = ("signal" if wrong else "pen"), top + 20
    low, high = _x(CENTRE - band, reach), _x(CENTRE + band, reach)
    hooks: list[str | float] = ["M", low + 5, y - 12, "h", -5, "v", 24, "h", 5]
    hooks += ["M", high - 5, y - 12, "h", 5, "v", 24, "h", -5]
    left, right = _x(least, reach), _x(most, reach)
    drawn = ink.text((4, y + 5), name, 15, tone="signal" if wrong else "ink")
    drawn += ink.line(["M", LEFT, y, "H", RIGHT], "edge", 1.25) + ink.line(hooks, weight=2.25)
    return drawn + ink.line(["M", left - 2, y, "H", right + 2], tone, 7.0)
