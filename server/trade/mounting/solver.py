"""How the board sits in the craft, from faces that were seen or readings that were taken.

Axes x forward, y right, z down (ISO 1151-1, from memory). A mounting R takes a vector from the
board's axes to the craft's: v_craft = R·v_board with R = Rz(yaw)·Ry(pitch)·Rx(roll). The screen
shows what the board believes, so the face that points at the ground there is 'down' in the board's
axes, while the pose in which the craft is held is 'down' in the craft's.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np

from server.trade.finding import Finding, Severity
from server.trade.mounting.poses import FACES, POSES, face_of
from server.trade.mounting.readings import fit_of
from server.trade.mounting.rotations import Matrix, Triple, nearest, same_rotation, triples_of
from server.trade.solving import NoAnswer, found

ASKED = ("level", "nose-down", "right-down")
CAUTION_DEG, STOP_DEG = 5.0, 10.0


@dataclass(frozen=True, slots=True)
class Mounting:
    """The correction in degrees, the same rotation in other words, and what speaks against it.

    `check` is the face that the screen shows before the correction, for all three poses.
    `rotation` is the 3 × 3 matrix that `triple` gives.
    """

    triple: Triple
    alternatives: tuple[Triple, ...]
    squared: bool
    residual_deg: float
    check: dict[str, str]
    findings: tuple[Finding, ...]
    rotation: Matrix

    def as_json(self) -> dict[str, Any]:
        """The answer as the command line prints it."""
        return {
            **_named(self.triple),
            "squared": self.squared,
            "residual_deg": self.residual_deg,
            "alternatives": [_named(triple) for triple in self.alternatives],
            "check": self.check,
            "findings": [finding.as_json() for finding in self.findings],
        }


def from_faces(
    level: str | None = None, nose_down: str | None = None, right_down: str | None = None
) -> Mounting:
    """The mounting from the faces that the on-screen craft points at the ground.

    Two faces fix it, a third is a check. Raises NoAnswer for a word that is no face, for fewer than
    two faces, and for faces that no rigid mounting can give, naming those that disagree.
    """
    given = zip(ASKED, (level, nose_down, right_down), strict=True)
    seen = {pose: face for pose, face in given if face is not None}
    _words_are_faces(seen)
    if len(seen) < 2:
        raise NoAnswer(", ".join(seen) or "level", "Two faces are needed to fix a mounting.")
    _no_two_on_one_axis(seen)
    (first, second), *_ = combinations(seen, 2)
    rotation = _through(first, seen[first], second, seen[second])
    check = _check(rotation)
    _third_agrees(seen, check)
    return _squared(rotation, 0.0, ())


def _words_are_faces(seen: Mapping[str, str]) -> None:
    for pose, face in seen.items():
        if face not in FACES:
            raise NoAnswer(pose, f"'{face}' is no face; it is one of {', '.join(FACES)}.")


def _no_two_on_one_axis(seen: Mapping[str, str]) -> None:
    for one, other in combinations(seen, 2):
        if np.dot(FACES[seen[one]], FACES[seen[other]]) != 0:
            raise NoAnswer(
                f"{one}, {other}",
                f"{one} shows {seen[one]} and {other} shows {seen[other]}: these two disagree, "
                "for the poses are a quarter turn apart and the faces are not.",
            )


def _third_agrees(seen: Mapping[str, str], check: Mapping[str, str]) -> None:
    # Three faces on three axes can only miss by being mirrored: no pair of them is wrong alone.
    if len(seen) == 3 and seen["right-down"] != check["right-down"]:
        raise NoAnswer(
            "right-down",
            f"right-down shows {seen['right-down']}, and level {seen['level']} with nose-down "
            f"{seen['nose-down']} gives {check['right-down']}: the three answers mirror the craft. "
            "It is right-down that disagrees with the other two.",
        )


def _through(pose: str, face: str, other_pose: str, other_face: str) -> Matrix:
    """The rotation that takes both faces to the poses' down; exact, in whole numbers."""
    a, b = np.array(FACES[face]), np.array(FACES[other_face])
    p, q = np.array(POSES[pose]), np.array(POSES[other_pose])
    third = np.outer(np.cross(p, q), np.cross(a, b))
    return np.asarray(np.outer(p, a) + np.outer(q, b) + third, dtype=np.float64)


def from_readings(document: object) -> Mounting:
    """The mounting that fits accelerometer readings in held poses best.

    `document` is {"level_z": 1, "poses": [{"pose", "reading": [x, y, z]}, ...]}, readings in g.
    Raises NoAnswer as `readings.fit_of` does.
    """
    return from_fit(fit_of(document))


def from_fit(fit: Matrix) -> Mounting:
    """The mounting nearest to a fitted rotation, if one in steps of 45° is within 10°.

    Over 5° it comes with a caution; over 10° the fit itself is the answer, with a stop.
    """
    square, residual = nearest(fit)
    if residual > STOP_DEG:
        first, *others = same_rotation(fit)
        off = (_off_square(Severity.STOP, residual),)
        return Mounting(first, tuple(others), False, residual, _check(fit), off, fit)
    caution = (_off_square(Severity.CAUTION, residual),) if residual > CAUTION_DEG else ()
    return _squared(square, residual, caution)


def _squared(rotation: Matrix, residual: float, findings: tuple[Finding, ...]) -> Mounting:
    first, *others = triples_of(rotation)
    check = _check(rotation)
    return Mounting(first, tuple(others), True, residual, check, findings, rotation)


def _off_square(severity: Severity, residual: float) -> Finding:
    return found(
        "mounting-off-square",
        severity,
        "board mounting",
        f"The board sits {residual:.1f}° off the nearest mounting in steps of 45°.",
        "Check for a bent or twisted mount, seat the board square, and take the readings again.",
    )


def _check(rotation: Matrix) -> dict[str, str]:
    return {pose: face_of(rotation.T @ POSES[pose]) for pose in ASKED}


def _named(triple: Triple) -> dict[str, float]:
    return dict(zip(("roll", "pitch", "yaw"), triple, strict=True))
