"""The drawing room's marks and signs by the names that templates use, safe to print as they are.

All of them are decoration to those who listen: a word always stands beside, seen or unseen. There
are few of each and a page shows the same ones again and again, so each is drawn once.
"""

from collections.abc import Callable
from functools import cache, lru_cache

from markupsafe import Markup

from server.drawing import icons, marks
from server.drawing.craft import poses
from server.drawing.ink import Ink
from server.drawing.limits import AXIS, HIGH_X, LEFT, LOW_X, RIGHT
from server.drawing.small import small
from server.drawing.svg import el
from server.drawing.symbols import nose, tab

# A page's word for a step's state, beside the drawing room's name for its mark.
STEP_MARKS = {
    "todo": "to-do",
    "more": "to-do",
    "done": "done",
    "out": "out-of-limits",
    "stale": "stale",
    "locked": "not-open",
    "unsent": "not-sent",
}
# A pad's or lead's signal, beside the shape of its tab (see static/css/map.css for its place).
TABS = {"tx": "talk", "rx": "listen", "power": "power", "ground": "ground", "motor": "motor"}
# Where record.js puts its pointer: the bracket's ends, the line's ends, the axis.
LIMITS_SCALE = f"{LOW_X:g} {HIGH_X:g} {LEFT:g} {RIGHT:g} {AXIS:g}"


@lru_cache(maxsize=256)
def step_mark(state: str, revision: int | None = None) -> Markup:
    """The mark of a step's state; a stale one holds the map revision that made it so."""
    return Markup(marks.step_mark(STEP_MARKS[state], revision))


@lru_cache(maxsize=256)
def finding_mark(severity: str, number: int) -> Markup:
    """Octagon, triangle or circle with the finding's number."""
    return Markup(marks.finding_mark(severity, number))


@cache
def ticket_mark(state: str) -> Markup:
    """The square of a ticket's state."""
    return Markup(marks.ticket_mark(state))


@cache
def power_bars(filled: int) -> Markup:
    """Three bars of rising height, the first `filled` of them solid."""
    return Markup(marks.power_bars(filled))


@cache
def rotation_arc(turn: str) -> Markup:
    """The arc of a turn, cw or ccw, for a button."""
    return Markup(marks.rotation_arc(turn))


@cache
def face(kind: str) -> Markup:
    """The craft with that face to the ground, for a button."""
    return Markup(poses.face(kind))


@cache
def icon(name: str) -> Markup:
    """A sign on a button: printer, camera, scan, undo, menu, plus."""
    return Markup(icons.icon(name))


@cache
def logo() -> Markup:
    """The app's mark in the head."""
    return Markup(icons.logo())


@cache
def lead_sign(signal: str) -> Markup:
    """What a lead or pad does, by its signal: the same tab as in the port diagram."""
    return Markup(small(34, 24, tab(Ink(), (14, 12), TABS.get(signal, "pill"), 1)))


@cache
def nose_sign() -> Markup:
    """The arrowhead at a craft's nose, pointing up."""
    return Markup(small(30, 30, nose(Ink(), (15, 2), 26)))


@cache
def hazard_sign() -> Markup:
    """The triangle of a signal word; what is cut out of it shows the panel's colour."""
    triangle = el("path", {"d": "M14 2L27 26H1Z", "fill": "currentColor"})
    cut = el("path", {"d": "M14 10V17M14 20V23", "class": "cut", "fill": "none", "stroke-width": 3})
    return Markup(small(28, 28, triangle + cut))


MARKS: dict[str, Callable[..., Markup] | str] = {
    "step_mark": step_mark,
    "finding_mark": finding_mark,
    "ticket_mark": ticket_mark,
    "power_bars": power_bars,
    "rotation_arc": rotation_arc,
    "face": face,
    "icon": icon,
    "logo": logo,
    "lead_sign": lead_sign,
    "nose_sign": nose_sign,
    "hazard_sign": hazard_sign,
    "limits_scale": LIMITS_SCALE,
}
