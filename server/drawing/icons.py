"""The shop's mark and the few signs on buttons, in the colour of the words around them."""

from server.drawing.small import small
from server.drawing.svg import Attrs, el


def _line(steps: str, weight: float = 2.0) -> str:
    attrs: Attrs = {"d": steps, "fill": "none", "stroke": "currentColor", "stroke-width": weight}
    return el("path", {**attrs, "stroke-linejoin": "round"})


def _fill(steps: str) -> str:
    return el("path", {"d": steps, "fill": "currentColor"})


def _dot(x: float, y: float, radius: float) -> str:
    return el("circle", {"cx": x, "cy": y, "r": radius, "fill": "currentColor"})


def logo(title: str = "", size: float = 28) -> str:
    """Quadwright's mark: a card with a notched corner, four motors on it."""
    card = _line("M11 3H22Q25 3 25 6V22Q25 25 22 25H6Q3 25 3 22V11Z", 2.5)
    dots = "".join(
        _dot(x, y, 2.6) for x, y in ((9.5, 11.5), (18.5, 9.5), (9.5, 18.5), (18.5, 18.5))
    )
    drawn = small(28, 28, card + dots, title)
    return drawn.replace('width="28" height="28"', f'width="{size:g}" height="{size:g}"', 1)


DRAWN = {
    "printer": _line("M7 9V3H17V9M7 17H3V9H21V17H17M7 14H17V21H7Z"),
    "camera": _line("M3 7H8L10 4H14L16 7H21V19H3Z") + _line("M12 9.5A3.5 3.5 0 1 0 12.01 9.5Z"),
    "scan": _line("M3 8V3H8M16 3H21V8M21 16V21H16M8 21H3V16")
    + _fill("M7 8H9V16H7ZM11 8H12.5V16H11ZM14.5 8H17V16H14.5Z"),
    "undo": _line("M4 9H14A5.5 5.5 0 0 1 14 20H8M9 4L4 9L9 14"),
    "menu": _line("M3 6H21M3 12H21M3 18H21"),
    "plus": _line("M12 4V20M4 12H20", 2.5),
    "rises": _line("M12 21V4M5 11L12 4L19 11", 2.5),
    "falls": _line("M12 3V20M5 13L12 20L19 13", 2.5),
}


def icon(name: str, title: str = "") -> str:
    """One of DRAWN, 24 by 24. Raises KeyError for another name."""
    return small(24, 24, DRAWN[name], title)
