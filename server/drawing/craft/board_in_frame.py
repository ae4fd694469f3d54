"""How the board sits in the craft, seen from above: its plate as it leans, its arrow, its chip."""

from decimal import Decimal
from itertools import product
from math import atan2, degrees, hypot

from server.drawing.ink import BOARD, Ink
from server.drawing.svg import group, number, svg
from server.drawing.symbols import Point, cross, nose
from server.trade.mounting.rotations import Matrix, matrix
from server.trade.mounting.words import lies, triple_words

WIDTH, HEIGHT, CUT = 200.0, 214.0, 28.0
CENTRE = (100.0, 116.0)
EDGEWISE = 0.01
ARROW, SHORTEST = 22.0, 13.0
Angle = Decimal | float | int
Solid = tuple[tuple[float, float], tuple[float, float], tuple[float, float]]

# In the board's own axes, x forward, y right, z down, in units of the page.
PLATE: Solid = ((-28, 28), (-28, 28), (-3, 3))
CHIP: Solid = ((-17, -3), (-7, 7), (-9, -3))


def board_in_frame(
    roll: Angle,
    pitch: Angle,
    yaw: Angle,
    ids_prefix: str = "",
    colour: bool = True,
    words: bool = True,
) -> str:
    """A mounting in degrees (v_craft = Rz(yaw) Ry(pitch) Rx(roll) v_board, z down).

    The board is drawn as it leans. The arrow is the board's own, where it points seen from above; a
    board that shows its lower side is dashed, and its chip is under it. Without `words` it is cut
    close, to stand beside a text that says the same.
    """
    ink, turn = Ink(colour), matrix((float(roll), float(pitch), float(yaw)))
    (x, y), told = CENTRE, _told(turn)
    arms = [ink.line(["M", x - dx, y - 58, "L", x + dx, y + 58], weight=7.0) for dx in (70, -70)]
    frame = ink.rect((x - 40, y - 56, 80, 112))
    board = group([*_board(ink, turn)], transform=f"translate({number(x)} {number(y)})")
    head = ink.text((x, 14), "NOSE", anchor="middle") + nose(ink, (x, 22), 24)
    said = triple_words((float(roll), float(pitch), float(yaw)))
    title = f"Board in the craft, seen from above: {said}. {lies(turn)}"
    drawn = [*arms, frame, board, head]
    if not words:
        close = group(drawn, transform=f"translate({number(-CUT)} 0)")
        return svg(WIDTH - 2 * CUT, HEIGHT - 34, title, close, ids_prefix)
    drawn.append(ink.text((x, HEIGHT - 20), said, anchor="middle"))
    if told:
        drawn.append(ink.text((x, HEIGHT - 4), told, anchor="middle", tone="soft"))
    return svg(WIDTH, HEIGHT, title, group(drawn), ids_prefix)


def _told(turn: Matrix) -> str:
    if abs(turn[2, 2]) < EDGEWISE:
        return "board on its edge"
    return "board turned over" if turn[2, 2] < 0 else ""


def _board(ink: Ink, turn: Matrix) -> list[str]:
    """Plate and chip, the nearer one last, and the arrow on top."""
    over = turn[2, 2] < -EDGEWISE
    dash = {"stroke_dasharray": "6 4"} if over else {}
    plate = ink.shape(_outline(turn, PLATE), "ink", "well", BOARD, **dash)
    chip = ink.shape(_outline(turn, CHIP), "ink", "card", 1.5, stroke_linejoin="round")
    return [*((chip, plate) if over else (plate, chip)), _arrow(ink, turn)]


def _outline(turn: Matrix, solid: Solid) -> list[Point]:
    """What a box covers of the page when it is turned: its corners from above, wrapped."""
    corners = [turn @ corner for corner in product(*solid)]
    # Forward is up on the page, and right is right.
    return _wrapped(sorted({(round(c[1], 2) + 0.0, round(-c[0], 2) + 0.0) for c in corners}))


def _wrapped(spots: list[Point]) -> list[Point]:
    """The convex outline of sorted points (A. M. Andrew's chain, from memory)."""
    half: list[list[Point]] = []
    for row in (spots, spots[::-1]):
        chain: list[Point] = []
        for spot in row:
            while len(chain) > 1 and _turns(chain[-2], chain[-1], spot) <= 0:
                chain.pop()
            chain.append(spot)
        half.append(chain[:-1])
    return half[0] + half[1]


def _turns(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _arrow(ink: Ink, turn: Matrix) -> str:
    """The board's arrow; a ring with a point where it looks up, with a cross where down."""
    along, across = float(turn[0, 0]), float(turn[1, 0])
    flat = hypot(along, across)
    if flat < EDGEWISE:
        ring = ink.circle((0, 0), 9)
        up = turn[2, 0] < 0
        return ring + (ink.circle((0, 0), 3, "", "ink") if up else cross(ink, (0, 0), 5))
    # On its edge the plate would hide the arrow, which then stands out over the end of it.
    out = -26 * flat - (14 if abs(turn[2, 2]) < EDGEWISE else 0)
    head = nose(ink, (0, out), max(ARROW * flat, SHORTEST))
    heading = degrees(atan2(across, along)) % 360
    return group([head], transform=f"rotate({number(heading)})")
