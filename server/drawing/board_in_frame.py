"""How the board sits in the craft, seen from above: its arrow against the craft's nose."""

from decimal import Decimal
from math import cos, radians, sin

from server.drawing.ink import BOARD, Ink
from server.drawing.svg import group, number, svg
from server.drawing.symbols import cross, nose

WIDTH, HEIGHT = 200.0, 214.0
CENTRE = (100.0, 116.0)
EDGEWISE = 0.01
Angle = Decimal | float | int


def board_in_frame(
    roll: Angle, pitch: Angle, yaw: Angle, ids_prefix: str = "", colour: bool = True
) -> str:
    """A mounting in degrees (v_craft = Rz(yaw) Ry(pitch) Rx(roll) v_board, z down).

    The arrow is drawn where it points seen from above; a board that shows its lower side is dashed.
    """
    ink = Ink(colour)
    (x, y), lies = CENTRE, _lies(float(roll), float(pitch))
    arms = [ink.line(["M", x - dx, y - 58, "L", x + dx, y + 58], weight=7.0) for dx in (70, -70)]
    frame = ink.rect((x - 40, y - 56, 80, 112))
    dash = "6 4" if lies else "none"
    plate = ink.rect((-28, -28, 56, 56), "ink", "well", BOARD, stroke_dasharray=dash)
    turned = group([plate, _arrow(ink, float(pitch))], transform=_turn(float(pitch), float(yaw)))
    head = ink.text((x, 14), "NOSE", anchor="middle") + nose(ink, (x, 22), 24)
    said = f"roll {roll}°, pitch {pitch}°, yaw {yaw}°"
    words = ink.text((x, HEIGHT - 20), said, anchor="middle")
    words += ink.text((x, HEIGHT - 4), lies, anchor="middle", tone="soft") if lies else ""
    title = f"Board in the craft, seen from above: {said}{lies and ', ' + lies}"
    return svg(WIDTH, HEIGHT, title, group([*arms, frame, turned, head, words]), ids_prefix)


def _lies(roll: float, pitch: float) -> str:
    up = cos(radians(roll)) * cos(radians(pitch))
    if abs(up) < EDGEWISE:
        return "board on its edge"
    return "board turned over" if up < 0 else ""


def _arrow(ink: Ink, pitch: float) -> str:
    """The board's arrow; a ring with a point where it looks up, with a cross where down."""
    if abs(cos(radians(pitch))) >= EDGEWISE:
        return nose(ink, (0, -22), 22)
    ring = ink.circle((0, 0), 9)
    up = sin(radians(pitch)) > 0
    return ring + (ink.circle((0, 0), 3, "", "ink") if up else cross(ink, (0, 0), 5))


def _turn(pitch: float, yaw: float) -> str:
    # Yaw is positive to the right, as is a turn on the page. Pitched over, the arrow looks back.
    heading = yaw + (180 if cos(radians(pitch)) < -EDGEWISE else 0)
    return f"translate({number(CENTRE[0])} {number(CENTRE[1])}) rotate({number(heading)})"
