"""The two ways a drawing is coloured: by the page's tokens, or black on white for print.

Classes carry the colours of a page (static/css/drawing.css). Presentation attributes carry the
same in fixed values, since a printed sheet knows no page style.
"""

from dataclasses import dataclass

from server.drawing.metrics import fit, width
from server.drawing.svg import Attr, Attrs, el, escape, path, points

LINE, BOARD, THIN, HEAVY = 2.25, 2.5, 1.25, 3.25
TEXT, NAME, TITLE = 13.0, 15.0, 17.0

COLOURS = {
    "ink": "#14201B",
    "soft": "#46554E",
    "edge": "#66776E",
    "pen": "#1B3DAB",
    "signal": "#B5220A",
    "on-signal": "#FFFFFF",
    "card": "#FFFFFF",
    "well": "#F1F5F2",
}
BLACK = dict.fromkeys(COLOURS, "#000000") | {
    "soft": "#222222",
    "on-signal": "#FFFFFF",
    "card": "#FFFFFF",
    "well": "#FFFFFF",
}


@dataclass(frozen=True, slots=True)
class Ink:
    """Makes elements in one colouring; without colour, what warns is heavier still."""

    colour: bool = True

    def of(self, tone: str) -> str:
        """The fixed value of a tone."""
        return (COLOURS if self.colour else BLACK)[tone]

    def paint(self, stroke: str = "", fill: str = "", weight: float = LINE) -> Attrs:
        """Class and attributes for an outline, a filling, or both; tones are token names."""
        names = [f"dw-{stroke}"] if stroke else []
        names.append(f"dw-fill-{fill}" if fill else "dw-open")
        attrs: Attrs = {"class": " ".join(names), "fill": self.of(fill) if fill else "none"}
        if stroke:
            heavier = 1.25 if stroke == "signal" and not self.colour else 0.0
            attrs |= {"stroke": self.of(stroke), "stroke-width": weight + heavier}
        return attrs

    def line(
        self, steps: list[str | float], tone: str = "ink", weight: float = LINE, **more: Attr
    ) -> str:
        """An open path."""
        return el("path", {"d": path(steps), **self.paint(tone, weight=weight), **more})

    def shape(
        self,
        corners: list[tuple[float, float]],
        stroke: str = "ink",
        fill: str = "card",
        weight: float = LINE,
        **more: Attr,
    ) -> str:
        """A closed polygon."""
        place: Attrs = {"points": points(corners)}
        return el("polygon", {**place, **self.paint(stroke, fill, weight), **more})

    def rect(
        self,
        box: tuple[float, float, float, float],
        stroke: str = "ink",
        fill: str = "card",
        weight: float = LINE,
        **more: Attr,
    ) -> str:
        """A rectangle from x, y, width, height."""
        x, y, w, h = box
        place: Attrs = {"x": x, "y": y, "width": w, "height": h}
        return el("rect", {**place, **self.paint(stroke, fill, weight), **more})

    def circle(
        self,
        at: tuple[float, float],
        radius: float,
        stroke: str = "ink",
        fill: str = "card",
        weight: float = LINE,
        **more: Attr,
    ) -> str:
        """A circle around `at`."""
        place: Attrs = {"cx": at[0], "cy": at[1], "r": radius}
        return el("circle", {**place, **self.paint(stroke, fill, weight), **more})

    def text(
        self,
        at: tuple[float, float],
        said: str,
        size: float = TEXT,
        anchor: str = "start",
        tone: str = "ink",
        room: float = 0.0,
    ) -> str:
        """A label on its base line. Over `room` it is cut, and the whole stands in its title.

        `textLength` holds the label to its place when another family has to stand in.
        """
        shown = fit(said, room, size) if room else said
        attrs: Attrs = {
            "class": f"dw-text dw-fill-{tone}",
            "x": at[0],
            "y": at[1],
            "font-size": size,
            "fill": self.of(tone),
        }
        if anchor != "start":
            attrs["text-anchor"] = anchor
        if len(shown) > 1:
            attrs |= {"textLength": width(shown, size), "lengthAdjust": "spacingAndGlyphs"}
        drawn = el("text", attrs, escape(shown))
        if shown == said:
            return drawn
        return el("g", {}, el("title", {}, escape(said)), drawn)
