"""The mounting from accelerometer readings in held poses.

The least-squares rotation of unit vectors (G. Wahba, SIAM Review 7(3) 1965 p. 409), by singular
values (F. L. Markley, J. Astronautical Sciences 36(3) 1988 pp. 245-258); citations as read in
public texts.
"""

import math
from decimal import Decimal
from typing import Annotated, Literal

import numpy as np
from pydantic import AfterValidator, Field

from server.trade.mounting.poses import POSES
from server.trade.mounting.rotations import Matrix
from server.trade.solving import Exact, NoAnswer, SolverInput, told

LEAST_G, MOST_G = 0.8, 1.2
# A pose held by hand is some degrees off. Where one is further from the fit than this, the craft
# was not held as named, and a fit through it would mean nothing. Common practice, no source.
MISFIT_DEG = 30.0
# Below this sum of singular values more than one rotation fits nearly as well.
UNIQUE = 0.1


def _one_either_way(value: Decimal) -> Decimal:
    if abs(value) != 1:
        raise ValueError("This is 1, or -1 where the sensor reads specific force.")
    return value


UpOrDown = Annotated[Exact, AfterValidator(_one_either_way)]


class Pose(SolverInput):
    """One pose and what the accelerometer read in it, in g."""

    pose: Literal["level", "upside-down", "nose-down", "nose-up", "right-down", "left-down"]
    reading: tuple[Exact, Exact, Exact]


class Readings(SolverInput):
    """Readings in two or more poses; `level_z` is what an upright level sensor reads on z."""

    level_z: UpOrDown = Decimal(1)
    poses: Annotated[tuple[Pose, ...], Field(min_length=1, max_length=1000)]


def fit_of(document: object) -> Matrix:
    """The rotation that fits readings best, in equal weights; no rounding to a step.

    `document` is {"level_z": 1, "poses": [{"pose", "reading": [x, y, z]}]}, readings in g. Raises
    NoAnswer for what has another shape, poses on one axis, readings outside 0.8 to 1.2 g, and
    readings that no rigid mounting gives.
    """
    readings = told(Readings, document)
    wanted = np.array([POSES[pose.pose] for pose in readings.poses], dtype=np.float64)
    if np.linalg.matrix_rank(wanted) < 2:
        raise NoAnswer("poses", "All poses are on one axis. One on another axis is needed.")
    sensed = np.array([_down(readings, index) for index in range(len(readings.poses))])
    fit = wahba(wanted, sensed)
    _poses_fit(readings, wanted, sensed @ fit.T)
    return fit


def _down(readings: Readings, index: int) -> list[float]:
    """Which way is down in the board's axes, a unit vector."""
    x, y, z = (float(part) for part in readings.poses[index].reading)
    size = math.hypot(x, y, z)
    if not LEAST_G <= round(size, 9) <= MOST_G:
        raise NoAnswer(
            f"poses[{index}].reading",
            f"The reading is {size:.2f} g. Over {MOST_G} g or under {LEAST_G} g the craft was "
            "moving: hold it still and read again.",
        )
    return [float(readings.level_z) * part / size for part in (x, y, z)]


def wahba(wanted: Matrix, sensed: Matrix) -> Matrix:
    """The rotation R that makes Σ|wanted − R·sensed|² least; both are n × 3 unit vectors.

    Raises NoAnswer where several rotations fit alike.
    """
    u, values, vt = np.linalg.svd(wanted.T @ sensed)
    turn = np.sign(np.linalg.det(u) * np.linalg.det(vt))
    if values[1] + turn * values[2] < UNIQUE:
        mirrored = values[2] > UNIQUE
        why = (
            "They mirror the craft: one of the sensor's axes has the wrong sign."
            if mirrored
            else "They lie on one axis, while the poses do not."
        )
        raise NoAnswer("poses", f"No mounting gives these readings. {why}")
    fit: Matrix = u @ np.diag([1.0, 1.0, turn]) @ vt
    return fit


def _poses_fit(readings: Readings, wanted: Matrix, fitted: Matrix) -> None:
    angles = np.degrees(np.arccos(np.clip(np.sum(wanted * fitted, axis=1), -1, 1)))
    worst = int(np.argmax(angles))
    if angles[worst] > MISFIT_DEG:
        raise NoAnswer(
            f"poses[{worst}]",
            f"'{readings.poses[worst].pose}' is {angles[worst]:.0f}° from where the poses together "
            "put it: no rigid mounting gives these readings. Hold the poses and read again.",
        )
