"""The craft seen from above: which way each motor must turn, and which way it was seen to turn."""

from collections.abc import Mapping
from math import cos, radians, sin

from server.drawing.ink import TITLE, Ink
from server.drawing.svg import group, svg
from server.drawing.symbols import Point, arrowhead, cross, nose

WIDTH, HEIGHT, ROW = 340.0, 290.0, 16.0
SPOTS: dict[str, Point] = {"FL": (80, 82), "FR": (260, 82), "RL": (80, 212), "RR": (260, 212)}
DISC, WANTED_R, FOUND_R = 50.0, 41.0, 31.0
WORDS = {"cw": "clockwise", "ccw": "counter-clockwise", None: "no turn"}
CENTRE: Point = (170, 147)


def craft_from_above(
    wanted: Mapping[str, str],
    found: Mapping[str, str | None] | None = None,
    labels: Mapping[str, str] | None = None,
    ids_prefix: str = "",
    colour: bool = True,
) -> str:
    """Corners FL FR RL RR with turns 'cw' or 'ccw'; found None for a corner: it did not turn.

    Wanted is dashed ink, found is solid pen; a turn that differs is heavy signal with a cross.
    `labels` is a word more for a corner, such as its output.
    """
    ink, seen, said = Ink(colour), found or {}, labels or {}
    drawn = [_frame(ink)]
    drawn += [_corner(ink, corner, wanted, seen, said.get(corner, "")) for corner in SPOTS]
    title = "Craft seen from above: " + "; ".join(_words(c, wanted, seen) for c in SPOTS)
    more = ROW * (bool(found) + bool(labels))
    body = group(drawn, transform=f"translate(0 {more:g})")
    return svg(WIDTH, HEIGHT + 2 * more, title, body, ids_prefix)


def _words(corner: str, wanted: Mapping[str, str], seen: Mapping[str, str | None]) -> str:
    parts = [f"wanted {WORDS[wanted[corner]]}"] if corner in wanted else []
    parts += [f"found {WORDS[seen[corner]]}"] if corner in seen else []
    return f"{corner} {', '.join(parts) or 'not said'}"


def _frame(ink: Ink) -> str:
    arms = [ink.line(["M", *CENTRE, "L", *spot], weight=7.0) for spot in SPOTS.values()]
    body = ink.rect((CENTRE[0] - 19, CENTRE[1] - 32, 38, 64))
    name = ink.text((CENTRE[0], 58), "NOSE", anchor="middle")
    return group([*arms, body, name, nose(ink, (CENTRE[0], 66), 28)])


def _corner(
    ink: Ink,
    corner: str,
    wanted: Mapping[str, str],
    seen: Mapping[str, str | None],
    said: str,
) -> str:
    at = SPOTS[corner]
    drawn = [ink.circle(at, DISC)]
    if corner in wanted:
        drawn.append(arc(ink, at, WANTED_R, wanted[corner], "ink", 3.5, dash="7 4"))
    turn = seen.get(corner)
    wrong = corner in seen and corner in wanted and turn != wanted[corner]
    if turn is not None:
        tone, weight = ("signal", 6.0) if wrong else ("pen", 4.0)
        drawn.append(arc(ink, at, FOUND_R, turn, tone, weight))
    drawn.append(ink.text((at[0], at[1] + 6), corner, TITLE, "middle"))
    drawn.append(_crossed(ink, at) if wrong else "")
    return group([*drawn, _said(ink, corner, wanted, seen, said)])


def _said(
    ink: Ink,
    corner: str,
    wanted: Mapping[str, str],
    seen: Mapping[str, str | None],
    said: str,
) -> str:
    """The words, above a front disc and below a rear one, so that no arm runs through them."""
    x, y = SPOTS[corner]
    lines = [(said, "soft")] if said else []
    lines += [(f"wanted {WORDS[wanted[corner]]}", "ink")] if corner in wanted else []
    if corner in seen:
        wrong = corner in wanted and seen[corner] != wanted[corner]
        lines.append((f"found {WORDS[seen[corner]]}", "signal" if wrong else "pen"))
    front = corner in ("FL", "FR")
    first = y - DISC - 8 - ROW * (len(lines) - 1) if front else y + DISC + 17
    rows = enumerate(lines)
    return group(
        ink.text((x, first + ROW * i), text, anchor="middle", tone=tone, room=WIDTH / 2 - 8)
        for i, (text, tone) in rows
    )


def _crossed(ink: Ink, at: Point) -> str:
    out = 1 if at[0] > CENTRE[0] else -1
    x, y = at[0] + out * 38, at[1] - 38
    square = ink.rect((x - 11, y - 11, 22, 22), "card", "signal", 2.0)
    return square + cross(ink, (x, y), 5.5, "on-signal", 3.0)


def arc(
    ink: Ink, at: Point, radius: float, turn: str, tone: str, weight: float, dash: str = ""
) -> str:
    """An arc of 285 degrees with an arrowhead, 'cw' or 'ccw' on the page, open at the bottom."""
    way = 1 if turn == "cw" else -1
    start, end = radians(90 + way * 30), radians(90 - way * 45)
    a = (at[0] + radius * cos(start), at[1] + radius * sin(start))
    b = (at[0] + radius * cos(end), at[1] + radius * sin(end))
    sweep = 1 if way > 0 else 0
    more = {"stroke_dasharray": dash} if dash else {}
    line = ink.line(["M", *a, "A", radius, radius, 0, 1, sweep, *b], tone, weight, **more)
    size = 9 + weight * 1.6
    tangent = end + way * 0.5 * size / radius
    step = (-sin(tangent) * way, cos(tangent) * way)
    tip = (b[0] + step[0] * size * 0.85, b[1] + step[1] * size * 0.85)
    return line + arrowhead(ink, tip, step, tone, size)
