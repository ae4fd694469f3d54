"""The frame of a small sign that stands in a line of text or on a button."""

from server.drawing.svg import Attrs, el, escape, number


def small(width: float, height: float, body: str, title: str = "") -> str:
    """An inline SVG in its natural size. Without a title it is decoration and is not read out."""
    attrs: Attrs = {
        "xmlns": "http://www.w3.org/2000/svg",
        "viewBox": f"0 0 {number(width)} {number(height)}",
        "width": width,
        "height": height,
        "class": "dw-mark",
        "font-family": "Fira Sans Condensed, Fira Sans, sans-serif",
        "font-weight": "600",
        "focusable": "false",
    }
    if not title:
        return el("svg", {**attrs, "aria-hidden": "true"}, body)
    return el("svg", {**attrs, "role": "img"}, el("title", {}, escape(title)), body)
