"""What a craft would do at take-off, seen from above: where it goes over, swings or is crossed."""

from collections.abc import Collection, Mapping

from server.drawing.craft.motors import arc
from server.drawing.ink import NAME, TITLE, Ink
from server.drawing.svg import group, svg
from server.drawing.symbols import Point, arrowhead, cross, nose
from server.trade.card.text import listed

WIDTH, HEIGHT = 284.0, 270.0
CENTRE: Point = (142, 136)
SPOTS: dict[str, Point] = {"FL": (70, 78), "FR": (214, 78), "RL": (70, 194), "RR": (214, 194)}
DISC, SWING, SHAFT = 24.0, 47.0, 8.0
SIDES: dict[str, Point] = {
    "left side": (-80, 0),
    "right side": (80, 0),
    "nose": (0, -62),
    "tail": (0, 74),
    "front left corner": (-50, -41),
    "front right corner": (50, -41),
    "rear left corner": (-50, 41),
    "rear right corner": (50, 41),
}
AXES: dict[str, Point] = {"roll": (76, 0), "pitch": (0, 60)}


def take_off(
    verdict: Mapping[str, object],
    over: str,
    pushes: Mapping[str, float],
    ids_prefix: str = "",
    colour: bool = True,
) -> str:
    """`verdict` as `Verdict.as_json` gives it, the side that goes down at once, and each push.

    What goes wrong is heavy and in signal; a craft that lifts level has a pen ring.
    """
    ink, axes = Ink(colour), _axes(verdict)
    turns = "" if verdict["turns"] == "no" else str(verdict["turns"])
    lifts = bool(verdict["lifts"])
    drawn = [_frame(ink), *(_corner(ink, corner, pushes[corner]) for corner in SPOTS)]
    if not lifts:
        drawn.append(_no_lift(ink))
    else:
        drawn += [_swing(ink, turns)] if turns else []
        drawn += [_shaft(ink, SIDES[over])] if over else []
        drawn += [_axis(ink, axis) for axis in axes] if not (over or turns) else []
    caption = _caption(lifts, over, turns, axes, verdict)
    right = verdict["ok"] is not False
    drawn += [_level(ink)] if right else []
    tone = "pen" if right else "signal"
    drawn.append(ink.text((CENTRE[0], HEIGHT - 10), caption, NAME, "middle", tone))
    parts = "; ".join(f"{corner} {_push(pushes[corner])}" for corner in SPOTS)
    title = f"At take-off, seen from above: {caption}; {parts}"
    return svg(WIDTH, HEIGHT, title, group(drawn), ids_prefix)


def _axes(verdict: Mapping[str, object]) -> tuple[str, ...]:
    """The axes to show: one that runs away in yaw is seen before any others that are crossed."""
    away = verdict["runs_away"]
    if isinstance(away, Collection) and "yaw" in away:
        return ("yaw",)
    named = verdict["crossed"] or verdict["runs_away"]
    return tuple(map(str, named)) if isinstance(named, Collection) else ()


def _caption(
    lifts: bool, over: str, turns: str, axes: tuple[str, ...], verdict: Mapping[str, object]
) -> str:
    if not lifts:
        return "does not lift"
    if over:
        return f"over its {over}" + (f", nose to the {turns}" if turns else "")
    if turns:
        return f"spins to the {turns}"
    if axes:
        wrong = "crossed" if len(axes) > 1 and verdict["crossed"] else "the wrong way"
        return f"{listed(axes)} {wrong}"
    return "lifts level"


def _push(push: float) -> str:
    return "pushes up" if push > 0 else "pushes down" if push < 0 else "no push"


def _frame(ink: Ink) -> str:
    arms = [ink.line(["M", *CENTRE, "L", *spot], "edge", 5.0) for spot in SPOTS.values()]
    body = ink.rect((CENTRE[0] - 17, CENTRE[1] - 28, 34, 56), "edge")
    x = CENTRE[0]
    return group([*arms, body, ink.text((x, 14), "NOSE", anchor="middle"), nose(ink, (x, 22), 24)])


def _corner(ink: Ink, corner: str, push: float) -> str:
    """A disc with what its propeller does to the craft: against its twist it pushes down."""
    x, y = SPOTS[corner]
    tone = "signal" if push <= 0 else "ink"
    dash = {} if push else {"stroke_dasharray": "5 4"}
    disc = ink.circle((x, y), DISC, tone, weight=4.0 if push < 0 else 2.25, **dash)
    below = y + DISC + 15 if corner in ("RL", "RR") else y - DISC - 6
    name = ink.text((x, y + 6), corner, TITLE, "middle")
    return disc + name + ink.text((x, below), _push(push), anchor="middle", tone=tone)


def _shaft(ink: Ink, along: Point) -> str:
    """A heavy arrow from the middle over the side that goes down."""
    (x, y), (dx, dy) = CENTRE, along
    size = (dx * dx + dy * dy) ** 0.5
    turn = (dx / size, dy / size)
    end = (x + dx - turn[0] * 20, y + dy - turn[1] * 20)
    line = ink.line(["M", x, y, "L", *end], "signal", SHAFT)
    return line + arrowhead(ink, (x + dx, y + dy), turn, "signal", 26)


def _swing(ink: Ink, turns: str) -> str:
    # Seen from above, a nose that swings to the right goes clockwise.
    return arc(ink, CENTRE, SWING, "cw" if turns == "right" else "ccw", "signal", 5.0)


def _axis(ink: Ink, axis: str) -> str:
    """The axis on which a correction goes wrong: an arrow both ways, or for yaw an arc."""
    if axis not in AXES:
        return arc(ink, CENTRE, SWING, "cw", "signal", 5.0)
    dx, dy = AXES[axis]
    return _shaft(ink, (dx, dy)) + _shaft(ink, (-dx, -dy))


def _no_lift(ink: Ink) -> str:
    x, y = CENTRE
    return ink.rect((x - 17, y - 17, 34, 34), "card", "signal") + cross(
        ink, CENTRE, 9, "on-signal", 4
    )


def _level(ink: Ink) -> str:
    return ink.circle(CENTRE, 40, "pen", "", 4.0) + ink.circle(CENTRE, 5, "", "pen")
