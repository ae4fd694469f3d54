"""Rotations in three dimensions: angle triples, and the set in steps of 45°.

A triple is (roll, pitch, yaw) in degrees in (−180, 180]; its matrix is Rz(yaw)·Ry(pitch)·Rx(roll),
intrinsic yaw, then pitch, then roll (ISO 1151-1 order, from memory).
"""

from functools import cache
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

Matrix = NDArray[np.float64]
Triple = tuple[float, float, float]

STEPS = (0, 45, 90, 135, 180, -45, -90, -135)
DIGITS = 6  # angles and residuals are given to a millionth of a degree


def matrix(triple: Triple) -> Matrix:
    """The 3 × 3 rotation of a triple in degrees."""
    (cr, cp, cy), (sr, sp, sy) = np.cos(np.radians(triple)), np.sin(np.radians(triple))
    return np.array(
        [
            [cy * cp, cy * sp * sr - sy * cr, cy * sp * cr + sy * sr],
            [sy * cp, sy * sp * sr + cy * cr, sy * sp * cr - cy * sr],
            [-sp, cp * sr, cp * cr],
        ]
    )


def simplest(triple: Triple) -> tuple[Any, ...]:
    """Sorts triples that are one rotation: the easiest to set and to read back first.

    Fewest angles that are not zero, then the smallest sum of their sizes; where these tie, the one
    that leaves most to yaw, then to pitch, and positive before negative.
    """
    sizes = tuple(abs(angle) for angle in triple)
    signs = tuple(-angle for angle in triple)
    return sum(size > 0 for size in sizes), sum(sizes), sizes, signs


@cache
def _families() -> dict[tuple[float, ...], tuple[Triple, ...]]:
    """Every rotation in steps of 45°, by its rounded matrix, with its triples, simplest first."""
    found: dict[tuple[float, ...], list[Triple]] = {}
    for triple in product(STEPS, STEPS, STEPS):
        found.setdefault(_key(matrix(triple)), []).append(triple)
    families = {key: _coarsest(triples) for key, triples in found.items()}
    return dict(sorted(families.items(), key=lambda item: simplest(item[1][0])))


def _coarsest(triples: list[Triple]) -> tuple[Triple, ...]:
    # With the nose straight up or down roll and yaw turn about one axis, so that a right-angled
    # mounting has triples in eighths of a turn too. Nobody would set those: quarters only.
    quarters = [triple for triple in triples if all(angle % 90 == 0 for angle in triple)]
    return tuple(sorted(quarters or triples, key=simplest))


def _key(rotation: Matrix) -> tuple[float, ...]:
    return tuple((np.round(rotation, DIGITS) + 0.0).ravel().tolist())


@cache
def _squares() -> Matrix:
    return np.stack([matrix(triples[0]) for triples in _families().values()])


def triples_of(square: Matrix) -> tuple[Triple, ...]:
    """All triples of a rotation in steps of 45°, simplest first. KeyError when it is not one."""
    return _families()[_key(square)]


def nearest(rotation: Matrix) -> tuple[Matrix, float]:
    """The nearest rotation in steps of 45°, and the angle to it in degrees.

    Where two are as near, the one with the simpler triple.
    """
    # Angle between rotations from the chord between their matrices: exact near zero, where the
    # usual arccos of the trace is not.
    chords = np.linalg.norm(_squares() - rotation, axis=(1, 2))
    halves = np.arcsin(np.clip(chords / np.sqrt(8), 0, 1))
    angles = np.round(np.degrees(2 * halves), DIGITS)
    best = int(np.argmin(angles))
    return _squares()[best], float(angles[best])


def same_rotation(rotation: Matrix) -> tuple[Triple, Triple]:
    """The two triples of a rotation that is on no 45° step, simplest first."""
    roll, pitch, yaw = _angles(rotation)
    pair = (_tidy((roll, pitch, yaw)), _tidy((roll + 180, 180 - pitch, yaw + 180)))
    first, second = sorted(pair, key=simplest)
    return first, second


def _angles(rotation: Matrix) -> Triple:
    pitch = np.degrees(np.arcsin(np.clip(-rotation[2, 0], -1, 1)))
    if np.hypot(rotation[2, 1], rotation[2, 2]) < 1e-9:
        # Nose straight up or down: only the sum or difference of roll and yaw is known.
        return 0.0, float(pitch), float(np.degrees(np.arctan2(-rotation[0, 1], rotation[1, 1])))
    roll = np.degrees(np.arctan2(rotation[2, 1], rotation[2, 2]))
    yaw = np.degrees(np.arctan2(rotation[1, 0], rotation[0, 0]))
    return float(roll), float(pitch), float(yaw)


def _tidy(triple: Triple) -> Triple:
    def wrapped(angle: float) -> float:
        return round(180 - (180 - angle) % 360, DIGITS) + 0.0

    roll, pitch, yaw = (wrapped(angle) for angle in triple)
    return roll, pitch, yaw
