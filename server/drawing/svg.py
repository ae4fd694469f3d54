"""A small builder for SVG text. Everything that comes from a sheet passes `escape` here."""

import re
from collections.abc import Iterable

Attr = str | int | float
Attrs = dict[str, Attr]

SHARP = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"})


# What XML 1.0 (W3C, production 2, Char) does not let stand in a document.
ILLEGAL = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def escape(text: str) -> str:
    """`text` fit for element content and for a double-quoted attribute."""
    return ILLEGAL.sub("\ufffd", text).translate(SHARP)


def number(value: float) -> str:
    """At most two decimals, no trailing zeros, never '-0'."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _attr(name: str, value: Attr) -> str:
    said = escape(value) if isinstance(value, str) else number(value)
    return f'{name.rstrip("_").replace("_", "-")}="{said}"'


def el(tag: str, attrs: Attrs, *children: str) -> str:
    """One element. `children` are markup already; names use `_` for `-` (`class_` for class)."""
    head = " ".join([tag, *(_attr(name, value) for name, value in attrs.items())])
    return f"<{head}>{''.join(children)}</{tag}>" if children else f"<{head}/>"


def group(children: Iterable[str], **attrs: Attr) -> str:
    """Elements held together; nothing at all when there are none."""
    inside = "".join(children)
    return el("g", attrs, inside) if inside else ""


def points(corners: Iterable[tuple[float, float]]) -> str:
    """The value of a `points` attribute."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in corners)


def path(steps: Iterable[str | float]) -> str:
    """The value of a `d` attribute from letters and numbers."""
    return " ".join(step if isinstance(step, str) else number(step) for step in steps)


def svg(width: float, height: float, title: str, body: str, ident: str = "") -> str:
    """A whole picture: named for those who hear it, scaled by its box."""
    attrs: Attrs = {
        "xmlns": "http://www.w3.org/2000/svg",
        "viewBox": f"0 0 {number(width)} {number(height)}",
        "class": "dw",
        "role": "img",
        "font-family": "Fira Sans Condensed, Fira Sans, sans-serif",
        "font-weight": "600",
    }
    if ident:
        attrs["aria-labelledby"] = f"{ident}-title"
    named: Attrs = {"id": f"{ident}-title"} if ident else {}
    return el("svg", attrs, el("title", named, escape(title)), body)
