"""Which channel each stick moved: a line from stick to channel, crossed where they are crossed."""

from collections.abc import Mapping

from server.drawing.ink import Ink
from server.drawing.metrics import width as text_width
from server.drawing.svg import group, svg

WIDTH, LEFT, RIGHT = 360.0, 116.0, 236.0
TOP, ROW = 38.0, 38.0
Seen = tuple[str | None, bool]


def crossed(moved: Mapping[str, Seen], ids_prefix: str = "", colour: bool = True) -> str:
    """Sticks at the left, channels at the right, in the mapping's order.

    Of each stick the channel that it moved, None for none, and whether it rose. What is not as
    wanted is drawn as a fault: heavier, and with its word.
    """
    ink = Ink(colour)
    at = {stick: TOP + ROW * row for row, stick in enumerate(moved)}
    drawn = [
        ink.text((4, 15), "stick", tone="soft"),
        ink.text((RIGHT + 8, 15), "channel", tone="soft"),
    ]
    for stick, y in at.items():
        drawn.append(ink.text((LEFT - 8, y + 5), stick, 15, "end"))
        drawn.append(ink.text((RIGHT + 8, y + 5), stick, 15))
    for stick, (channel, rose) in moved.items():
        drawn.append(_line(ink, at, stick, channel, rose))
    said = "; ".join(f"{stick} {_says(channel, rose)}" for stick, (channel, rose) in moved.items())
    return svg(
        WIDTH, TOP + ROW * len(at) - 14, f"Sticks and channels: {said}", group(drawn), ids_prefix
    )


def _says(channel: str | None, rose: bool) -> str:
    if channel is None:
        return "moves none"
    return f"moves {channel}, which {'rises' if rose else 'falls'}"


def _line(ink: Ink, at: Mapping[str, float], stick: str, channel: str | None, rose: bool) -> str:
    y = at[stick]
    if channel is None or channel not in at:
        said = "nothing" if channel is None else channel
        end = LEFT + 40
        stub = ink.line(["M", LEFT, y, "H", end, "M", end, y - 7, "v", 14], "signal", 3.25)
        return stub + ink.text((end + 8, y + 5), said, tone="signal")
    to = at[channel]
    tone = "ink" if channel == stick else "signal"
    drawn = ink.line(["M", LEFT, y, "L", RIGHT - 8, to], tone, 2.25 if tone == "ink" else 3.25)
    tip = [(RIGHT - 8, to - 5), (RIGHT, to), (RIGHT - 8, to + 5)]
    return drawn + ink.shape(tip, "", tone) + _way(ink, to, channel, rose)


def _way(ink: Ink, y: float, channel: str, rose: bool) -> str:
    x = RIGHT + 8 + text_width(channel, 15) + 12
    tone, up = ("ink", -1) if rose else ("signal", 1)
    tip = [(x - 6, y - 5 * up), (x + 6, y - 5 * up), (x, y + 6 * up)]
    return ink.shape(tip, "", tone) + ink.text(
        (x + 11, y + 5), "rises" if rose else "falls", tone=tone
    )
