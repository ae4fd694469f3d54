"""A rigid craft in numpy, many at once, to see what a verdict on paper would do in the air.

Euler's equations J·ω' = τ − ω × Jω and the attitude R' = R·[ω]×: R. W. Beard, T. W. McLain, Small
Unmanned Aircraft: Theory and Practice, Princeton 2012, ch. 3 'Kinematics and Dynamics'. Thrust
along −z at each corner and a reaction against the spin: Quan Quan, Introduction to Multicopter
Design and Control, Springer 2017, ch. 6; R. Mahony, V. Kumar, P. Corke, 'Multirotor Aerial
Vehicles', IEEE RAM 19(3) 2012 pp. 20-32 (all from memory). A propeller driven against its twist
pushes the other way, half as hard: common practice, no source. Axes x forward, y right, z down.
Written for the tests, and of nothing but numpy.
"""

from dataclasses import dataclass

import numpy as np

ARM = 0.09  # m, along x and along y
DRAG = 0.012  # N·m of reaction for each N of thrust
INERTIA = np.array([0.003, 0.003, 0.005])  # kg·m²
HOVER = 1.5  # N for each motor
GAIN = 12.0  # 1/s, proportional rate loop
STEP = 0.002  # s
OVER = np.radians(20)
SEAT = {"FL": (1, -1), "FR": (1, 1), "RL": (-1, -1), "RR": (-1, 1)}
# Reaction of a rotor on the frame about z (down): clockwise from above turns the nose left.
REACT = {"cw": -1, "ccw": 1}
BACKWARDS = -0.5  # N for each N asked of a propeller that is driven against its twist


def column(corner: str, turn: str, fitted: str) -> list[float]:
    """Thrust, roll, pitch and yaw torque for 1 N asked of a motor, by r × F."""
    push = 1.0 if turn == fitted else BACKWARDS
    x, y = SEAT[corner]
    torque = np.cross([ARM * x, ARM * y, 0], [0, 0, -push])
    return [push, torque[0], torque[1], REACT[turn] * DRAG]


@dataclass
class Flight:
    """How n craft did: largest tilt and last swing in rad, last rates in rad/s, lift in N.

    `low` is where down lies in the craft's x and y when it has first gone over by 20°: positive
    with the nose down, and with the right side down.
    """

    tilt: np.ndarray
    swing: np.ndarray
    rates: np.ndarray
    lift: np.ndarray
    low: np.ndarray


def fly(actual: np.ndarray, assumed: np.ndarray, seconds: float, loop: bool = True) -> Flight:
    """Let n craft go from level with a small disturbance; both are n × 4 × 4, a column a motor."""
    count = len(actual)
    rates = np.tile([0.05, -0.04, 0.03], (count, 1)) if loop else np.zeros((count, 3))
    attitude = np.tile(np.eye(3), (count, 1, 1))
    mixer, most, low = np.linalg.pinv(assumed), np.zeros(count), np.zeros((count, 2))
    for _ in range(round(seconds / STEP)):
        asked = -GAIN * rates * INERTIA if loop else np.zeros_like(rates)
        wanted = np.concatenate([np.full((count, 1), 4 * HOVER), asked], axis=1)
        drive = np.clip(np.einsum("nij,nj->ni", mixer, wanted), 0, 4 * HOVER)
        torque = np.einsum("nij,nj->ni", actual, drive)[:, 1:]
        rates = rates + STEP * (torque - np.cross(rates, rates * INERTIA)) / INERTIA
        rates = np.clip(rates, -60, 60)
        attitude = _turned(attitude, rates)
        tilt = np.arccos(np.clip(attitude[:, 2, 2], -1, 1))
        over = (tilt > OVER) & (most <= OVER)
        low[over] = attitude[over, 2, :2]
        most = np.maximum(most, tilt)
    lift = np.einsum("nij,nj->ni", actual, np.full((count, 4), HOVER))[:, 0]
    swing = np.abs(np.arctan2(attitude[:, 1, 0], attitude[:, 0, 0]))
    return Flight(most, swing, rates, lift, low)


def answers(actual: np.ndarray, assumed: np.ndarray) -> np.ndarray:
    """How n craft answer at hover when the loop asks for a turn about one axis: n × 3 × 3.

    Row i, column j: the acceleration about i that comes of one asked for about j, each as a share
    of what the planned craft can do about its axis.
    """
    able = np.abs(assumed[:, 1:]).sum(axis=2) / INERTIA
    asked = np.zeros((len(actual), 4, 3))
    asked[:, 0] = 4 * HOVER
    small = 0.1 * HOVER * able  # small enough that no motor is asked for less than nothing
    for axis in range(3):
        asked[:, 1 + axis, axis] = small[:, axis] * INERTIA[axis]
    drive = np.linalg.pinv(assumed) @ asked
    assert drive.min() >= 0
    torque = (actual @ drive - actual @ np.full((len(actual), 4, 1), HOVER))[:, 1:]
    return np.asarray(torque / INERTIA[:, None] / able[:, :, None] / (0.1 * HOVER))


def _turned(attitude: np.ndarray, rates: np.ndarray) -> np.ndarray:
    x, y, z = (STEP * rates).T
    none = np.zeros_like(x)
    small = np.array([[none, -z, y], [z, none, -x], [-y, x, none]]).transpose(2, 0, 1)
    turned = attitude + attitude @ (small + small @ small / 2)
    left, _, right = np.linalg.svd(turned)
    return np.asarray(left @ right)
