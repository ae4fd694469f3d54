"""Marks of findings, steps, tickets and power states; each differs by shape, without colour."""

from collections.abc import Callable

from server.drawing.craft.motors import arc
from server.drawing.ink import LINE, Ink
from server.drawing.small import small
from server.drawing.svg import Attr, el, number
from server.drawing.symbols import cross, mark
from server.trade.finding import Severity
from server.trade.ticket import State

SIDE = 28.0
BOX = (3.0, 3.0, 22.0, 22.0)
DOTTED = "2.5 2.5"
TICK: list[str | float] = ["M", 8, 14, "l", 4.5, 5, "L", 21, 8]


def finding_mark(severity: Severity | str, count: int, title: str = "", colour: bool = True) -> str:
    """Filled octagon for stop, open triangle for caution, open circle for note, with a number."""
    return small(32, SIDE, mark(Ink(colour), (16, 14), Severity(severity), count), title)


def step_mark(state: str, revision: int | None = None, title: str = "", colour: bool = True) -> str:
    """`state`: to-do, done, out-of-limits, stale (with its map revision), not-open, not-sent."""
    return small(SIDE, SIDE, STEPS[state](Ink(colour), revision), title)


def _to_do(ink: Ink, _: int | None) -> str:
    return ink.rect(BOX)


def _done(ink: Ink, _: int | None) -> str:
    return ink.rect(BOX, "pen") + ink.line(TICK, "pen", 3.5)


def _out(ink: Ink, _: int | None) -> str:
    return ink.rect(BOX, "signal", "signal") + cross(ink, (14, 14), 5.5, "on-signal", 3.25)


def _stale(ink: Ink, revision: int | None) -> str:
    shape = ink.shape([(14, 0.5), (27.5, 14), (14, 27.5), (0.5, 14)])
    said = "" if revision is None else str(revision)
    return shape + (ink.text((14, 18.5), said, anchor="middle") if said else "")


def _not_open(ink: Ink, _: int | None) -> str:
    box = ink.rect(BOX, "edge", stroke_dasharray=DOTTED)
    return box + ink.line(["M", 8, 14, "h", 12], "edge", 3.5)


def _not_sent(ink: Ink, _: int | None) -> str:
    box = ink.rect(BOX, "pen", stroke_dasharray=DOTTED)
    return box + ink.line(TICK, "pen", 3.5, stroke_dasharray="3 2.5")


STEPS = {
    "to-do": _to_do,
    "done": _done,
    "out-of-limits": _out,
    "stale": _stale,
    "not-open": _not_open,
    "not-sent": _not_sent,
}


def ticket_mark(state: str, title: str = "", colour: bool = True) -> str:
    """One square for each state of a ticket."""
    ink = Ink(colour)
    return small(SIDE, SIDE, ink.rect(BOX) + TICKETS[State(state)](ink), title)


def _two_bars(ink: Ink) -> str:
    return ink.line(["M", 11, 9, "v", 10, "M", 17, 9, "v", 10], weight=3.25)


def _outward(ink: Ink) -> str:
    steps: list[str | float] = ["M", 10, 18, "L", 25, 3, "M", 15, 3, "h", 10, "v", 10]
    return ink.line(["M", 16, 12, "L", 27, 1], "card", 7.0) + ink.line(steps, weight=2.75)


TICKETS: dict[State, Callable[[Ink], str]] = {
    State.WAITING: lambda ink: "",
    State.BENCH: lambda ink: ink.rect((3, 14, 22, 11), "", "ink"),
    State.ON_HOLD: _two_bars,
    State.TO_SIGN: lambda ink: ink.line(["M", 7, 15, "c", 3, -8, 5, -6, 5, -1, "s", 3, 5, 9, -3]),
    State.READY: lambda ink: ink.line(TICK, weight=3.25),
    State.COLLECTED: lambda ink: ink.rect(BOX, "", "ink"),
    State.RETURNED: _outward,
    State.CANCELLED: lambda ink: ink.line(["M", 3, 25, "L", 25, 3], weight=3.25),
}


def power_bars(count: int, title: str = "") -> str:
    """Three bars of rising height, the first `count` of them filled; in the words' own colour."""
    bars = []
    for i, tall in enumerate((11, 20, 29)):
        filled = "currentColor" if i < count else "none"
        place: dict[str, Attr] = {"x": 2 + 15 * i, "y": 31 - tall, "width": 11, "height": tall}
        line = {"stroke": "currentColor", "stroke-width": number(LINE), "fill": filled}
        bars.append(el("rect", {**place, **line}))
    return small(45, 33, "".join(bars), title)


def rotation_arc(turn: str, title: str = "") -> str:
    """The arc of a turn, 'cw' or 'ccw' seen from above, for a button, in the button's colour."""
    drawn = arc(CURRENT, (24, 23), 16, turn, "ink", 4.0)
    return small(48, 48, drawn, title)


class _Current(Ink):
    """Ink that takes the colour of the words around it."""

    __slots__ = ()

    def of(self, tone: str) -> str:
        """The colour of the words around, whatever the tone."""
        return "currentColor"

    def paint(self, stroke: str = "", fill: str = "", weight: float = LINE) -> dict[str, Attr]:
        """As Ink, without classes."""
        plain: dict[str, Attr] = {"fill": "currentColor" if fill else "none"}
        return plain | ({"stroke": "currentColor", "stroke-width": weight} if stroke else {})


CURRENT = _Current()
