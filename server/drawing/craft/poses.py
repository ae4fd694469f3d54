"""Which way up: the real craft held in a pose, and the six faces that may point at the ground."""

from functools import cache

from server.drawing.ink import TEXT, Ink
from server.drawing.small import small
from server.drawing.svg import Attrs, el, group, number, svg
from server.drawing.symbols import ground_hatch

# How the side view (nose at the right) or the view from behind is turned for each pose.
TURNS = {
    "level": ("side", "", "flat"),
    "upside-down": ("side", "scale(1 -1)", "upside down"),
    "nose-down": ("side", "rotate(90)", "nose down"),
    "nose-up": ("side", "rotate(-90)", "nose up"),
    "right-down": ("behind", "rotate(90)", "right side down, seen from behind"),
    "left-down": ("behind", "rotate(-90)", "left side down, seen from behind"),
}
POSE_OF_FACE = {
    "nose": "nose-down",
    "tail": "nose-up",
    "left": "left-down",
    "right": "right-down",
    "top": "upside-down",
    "bottom": "level",
}
# For each pose: height of the craft's middle on the page, and the word with its place.
WORDS = {
    "level": (103.0, "nose", 106, 90),
    "upside-down": (93.0, "nose", 106, 82),
    "nose-down": (52.0, "nose", 78, 92),
    "nose-up": (66.0, "nose", 78, 18),
    "right-down": (68.0, "right side", 78, 96),
    "left-down": (68.0, "left side", 78, 96),
}

# A craft that lies flat takes no height: what is empty over it is left out.
OVER = {"level": 66, "upside-down": 58}


@cache
def pose(kind: str, ids_prefix: str = "", colour: bool = True) -> str:
    """The craft held `kind` over hatched ground, 150 wide; KeyError for an unknown pose."""
    view, turn, said = TURNS[kind]
    ink = Ink(colour)
    middle, word, x, y = WORDS[kind]
    craft = _turned(_side(ink) if view == "side" else _behind(ink), (60, middle), turn)
    drawn = [craft, ground_hatch(ink, 6, 144, 110), ink.text((x, y), word, tone="soft")]
    if view == "behind":
        drawn.append(ink.text((78, 16), "from behind", tone="soft"))
    over = OVER.get(kind, 0)
    body = group(drawn, transform=f"translate(0 {-over})") if over else group(drawn)
    return svg(150, 122 - over, f"The craft held {said}", body, ids_prefix)


def face(kind: str, title: str = "") -> str:
    """The same as a sign for a button, in the button's own colour: that face points down."""
    view, turn, _ = TURNS[POSE_OF_FACE[kind]]
    lines = (_small_side if view == "side" else _small_behind)()
    body = _turned(lines, (32, 24), turn)
    body += el(
        "path", {"d": "M8 48H56", "fill": "none", "stroke": "currentColor", "stroke-width": 3}
    )
    if view == "behind":
        letter = {"left": "L", "right": "R"}[kind]
        place: Attrs = {"x": 12, "y": 30, "font-size": TEXT + 2, "fill": "currentColor"}
        body += el("text", {**place, "font-weight": 600}, letter)
    return small(64, 54, body, title)


def _turned(body: str, at: tuple[float, float], turn: str) -> str:
    move = f"translate({number(at[0])} {number(at[1])}) {turn}".strip()
    return group([body], transform=move)


def _side(ink: Ink) -> str:
    """From its right side, nose to the right, about the middle of its plate."""
    legs: list[str | float] = ["M", -34, 0, "V", -9, "M", 30, 0, "V", -9, "M", -42, -9, "h", 16]
    plate = ink.line(["M", -38, 0, "H", 34], weight=6.0)
    motors = ink.line([*legs, "M", 22, -9, "h", 16], weight=4.0)
    hood = ink.rect((-16, -15, 34, 12))
    return plate + motors + hood + ink.shape([(56, 0), (40, -8), (40, 8)], "", "ink")


def _behind(ink: Ink) -> str:
    """From behind: the craft's right is at the right; a crossed ring is its tail."""
    legs: list[str | float] = ["M", -32, 0, "V", -9, "M", 32, 0, "V", -9, "M", -40, -9, "h", 16]
    plate = ink.line(["M", -36, 0, "H", 36], weight=6.0)
    motors = ink.line([*legs, "M", 24, -9, "h", 16], weight=4.0)
    hood = ink.rect((-11, -15, 22, 12))
    ring = ink.circle((0, 0), 7) + ink.line(
        ["M", -4, -4, "l", 8, 8, "M", -4, 4, "l", 8, -8], weight=1.5
    )
    return plate + motors + hood + ring


def _stroke(steps: str, weight: float) -> str:
    attrs = {"d": steps, "fill": "none", "stroke": "currentColor", "stroke-width": number(weight)}
    return el("path", {**attrs})


def _small_side() -> str:
    tip = el("path", {"d": "M24 0L14 -5V5Z", "fill": "currentColor"})
    parts = [_stroke("M-20 0H12", 4), _stroke("M-17 0V-6M9 0V-6M-21 -6h8M5 -6h8", 2.5)]
    return "".join([*parts, _stroke("M-9 -3V-9H3V-3", 1.75), tip])


def _small_behind() -> str:
    parts = [_stroke("M-18 0H18", 4), _stroke("M-15 0V-6M15 0V-6M-19 -6h8M11 -6h8", 2.5)]
    return "".join([*parts, _stroke("M-6 -3V-9H6V-3", 1.75)])
