"""A mounting in words: the triple, and where the board's arrow and its upper side look."""

import numpy as np

from server.trade.mounting.poses import FACES, POSES, face_of
from server.trade.mounting.rotations import Matrix, Triple

AXES = ("roll", "pitch", "yaw")
# On a board that is known to the firmware as it sits, the screen lies as the craft does.
AFTER = {pose: face_of(np.array(down)) for pose, down in POSES.items()}

_TOWARDS = {
    "nose": "to the nose",
    "tail": "to the tail",
    "right": "to the right",
    "left": "to the left",
    "top": "up",
    "bottom": "down",
}


def degrees(angle: float) -> str:
    """A solver's float as it is read: '90°', '−45°', '12.5°'; to a tenth of a degree."""
    return f"{round(angle, 1) + 0.0:g}°".replace("-", "−")


def triple_words(triple: Triple) -> str:
    """'roll 0°, pitch 0°, yaw 90°'."""
    named = zip(AXES, triple, strict=True)
    return ", ".join(f"{axis} {degrees(angle)}" for axis, angle in named)


def lies(rotation: Matrix) -> str:
    """'The board's arrow points to the right, its upper side up.'; sides are the craft's own.

    `rotation` takes a vector from the board's axes to the craft's.
    """
    arrow = _towards(rotation @ FACES["nose"])
    return f"The board's arrow points {arrow}, its upper side {_towards(rotation @ FACES['top'])}."


def _towards(direction: Matrix) -> str:
    return " and ".join(_TOWARDS[face] for face in face_of(direction).split("-"))
