"""Faces of the on-screen craft, and poses of the real one, as directions.

Axes x forward, y right, z down (ISO 1151-1, from memory).
"""

from typing import Any

import numpy as np

FACES: dict[str, tuple[int, int, int]] = {
    "nose": (1, 0, 0),
    "tail": (-1, 0, 0),
    "right": (0, 1, 0),
    "left": (0, -1, 0),
    "bottom": (0, 0, 1),
    "top": (0, 0, -1),
}

# Which way is down, in the craft's axes, while the craft is held so.
POSES: dict[str, tuple[int, int, int]] = {
    "level": FACES["bottom"],
    "upside-down": FACES["top"],
    "nose-down": FACES["nose"],
    "nose-up": FACES["tail"],
    "right-down": FACES["right"],
    "left-down": FACES["left"],
}


def face_of(direction: np.ndarray[Any, Any]) -> str:
    """The face that a unit vector points out of; between faces all of them, 'nose-left' at 45°."""
    along = {face: float(np.dot(axis, direction)) for face, axis in FACES.items()}
    most = max(along.values())
    return "-".join(face for face, part in along.items() if part > most / 2)
