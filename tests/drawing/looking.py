"""Reads a drawing back as shapes on a page, with nothing taken from the code that drew it."""

import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from itertools import pairwise

Point = tuple[float, float]
Box = tuple[float, float, float, float]
Placed = tuple[ET.Element, float, float]
SVG = "{http://www.w3.org/2000/svg}"


def parse(svg: str) -> ET.Element:
    """The root; ill-formed markup raises."""
    return ET.fromstring(svg)


def placed(root: ET.Element) -> Iterator[Placed]:
    """Every element with its shift by `translate`; turned groups are left out."""

    def walk(
        element: ET.Element, dx: float, dy: float
    ) -> Iterator[tuple[ET.Element, float, float]]:
        move = element.get("transform", "")
        if "rotate" in move or "scale" in move:
            return
        found = re.match(r"translate\(([-\d.]+) ([-\d.]+)\)", move)
        if found:
            dx, dy = dx + float(found[1]), dy + float(found[2])
        yield element, dx, dy
        for child in element:
            yield from walk(child, dx, dy)

    yield from walk(root, 0.0, 0.0)


def size(root: ET.Element) -> Point:
    """Width and height of the view box."""
    _, _, wide, high = map(float, root.attrib["viewBox"].split())
    return wide, high


def texts(root: ET.Element) -> list[tuple[str, Box]]:
    """Each label with the box it takes: x, y of its top left corner, x, y of the other."""
    found = []
    for element, dx, dy in placed(root):
        if element.tag != f"{SVG}text":
            continue
        size = float(element.attrib["font-size"])
        wide = float(element.get("textLength", size * 0.7))
        x = float(element.attrib["x"]) + dx
        x -= {"start": 0.0, "middle": wide / 2, "end": wide}[element.get("text-anchor", "start")]
        base = float(element.attrib["y"]) + dy
        found.append((element.text or "", (x, base - size * 0.69, x + wide, base + size * 0.02)))
    return found


def boxes(root: ET.Element, kind: str) -> list[Box]:
    """The outlines of groups of a class: their first rectangle."""
    found = []
    for element, dx, dy in placed(root):
        if element.get("class") == kind:
            rect = next(element.iter(f"{SVG}rect"))
            x, y, w, h = (float(rect.attrib[key]) for key in ("x", "y", "width", "height"))
            found.append((x + dx, y + dy, x + dx + w, y + dy + h))
    return found


def overlap(one: Box, two: Box, by: float = 0.0) -> bool:
    """Whether two boxes share more than `by` in both directions."""
    wide = min(one[2], two[2]) - max(one[0], two[0])
    high = min(one[3], two[3]) - max(one[1], two[1])
    return wide > by and high > by


def wires(root: ET.Element) -> dict[str, list[Point]]:
    """Each wire, 'device|lead|pads', as the corners of its line."""
    return {
        element.attrib["data-wire"]: corners(next(element.iter(f"{SVG}path")).attrib["d"], dx, dy)
        for element, dx, dy in placed(root)
        if "data-wire" in element.attrib
    }


def corners(steps: str, dx: float = 0.0, dy: float = 0.0) -> list[Point]:
    """Points along a path of M, L, l and C; a curve becomes sixteen pieces."""
    line: list[Point] = []
    for letter, numbers in re.findall(r"([MLlC])([^MLlC]*)", steps):
        v = [float(n) for n in numbers.split()]
        if letter == "C":
            start = line[-1]
            ends = [(v[0] + dx, v[1] + dy), (v[2] + dx, v[3] + dy), (v[4] + dx, v[5] + dy)]
            line += [_bezier(start, *ends, i / 16) for i in range(1, 17)]
        elif letter == "l":
            line.append((line[-1][0] + v[0], line[-1][1] + v[1]))
        else:
            line.append((v[0] + dx, v[1] + dy))
    return line


def _bezier(a: Point, b: Point, c: Point, d: Point, t: float) -> Point:
    u = 1 - t
    x, y = (u**3 * a[i] + 3 * u * u * t * b[i] + 3 * u * t * t * c[i] + t**3 * d[i] for i in (0, 1))
    return x, y


def crossings(one: list[Point], two: list[Point]) -> int:
    """How often two lines cross."""
    return sum(_cut(a, b, c, d) for a, b in pairwise(one) for c, d in pairwise(two))


def _cut(a: Point, b: Point, c: Point, d: Point) -> bool:
    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    # Half-open, so that a crossing at a shared corner of two pieces counts once.
    one = (turn(a, b, c) >= 0) != (turn(a, b, d) >= 0)
    return one and (turn(c, d, a) >= 0) != (turn(c, d, b) >= 0)


def run_together(one: list[Point], two: list[Point]) -> bool:
    """Whether two lines share a stretch: level or upright, closer than 3 and for more than 4."""
    for a, b in pairwise(one):
        for c, d in pairwise(two):
            for along, across in ((0, 1), (1, 0)):
                flat = max(abs(a[across] - p[across]) for p in (b, c, d)) < 3
                shared = min(max(a[along], b[along]), max(c[along], d[along])) - max(
                    min(a[along], b[along]), min(c[along], d[along])
                )
                if flat and shared > 4:
                    return True
    return False


def inside(point: Point, box: Box) -> bool:
    """Whether a point lies well within a box."""
    return box[0] + 1 < point[0] < box[2] - 1 and box[1] + 1 < point[1] < box[3] - 1


def words(root: ET.Element) -> set[str]:
    """All texts and titles."""
    return {e.text or "" for e in root.iter() if e.tag in (f"{SVG}text", f"{SVG}title")}
