"""What a craft would do at take-off if it were flown as its motors were found.

The rate loop is closed through M = actual·pinv(assumed) on roll, pitch and yaw, each at unit size:
`assumed` is what the firmware's mixing takes each output to do, `actual` is what it does. With the
identity the loop is as designed. Stable only if every eigenvalue of M has a positive real part
(K. J. Åström, R. M. Murray, Feedback Systems, from memory); the balance at hover is looked at
apart, for a motor that turns against the plan can pass the loop and still spin the craft.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from server.trade.motors.corners import AXES, LEVER, PLANS, REACTION

# A propeller driven against its twist pushes down, about half as hard: common practice, no source.
AGAINST = -0.5
COUPLED = 0.1
NOTHING = 1e-9

Loop = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Spin:
    """What one output did: the corner that moved and its turn; a silent one has no turn."""

    output: int
    corner: str | None
    turn: str | None


@dataclass(frozen=True, slots=True)
class Verdict:
    """What the craft would do. `ok` is None where only the directions could be judged.

    `over` is the side or corner that goes down at once, '' for none; `loop` the matrix M by rows.
    """

    ok: bool | None
    runs_away: tuple[str, ...]
    crossed: tuple[str, ...]
    turns: str
    lifts: bool
    says: str
    over: str = ""
    loop: tuple[tuple[float, ...], ...] = ()

    def as_json(self) -> dict[str, Any]:
        """The verdict as the command line prints it."""
        return {
            "ok": self.ok,
            "runs_away": list(self.runs_away),
            "crossed": list(self.crossed),
            "turns": self.turns,
            "lifts": self.lifts,
            "says": self.says,
        }


@dataclass(frozen=True, slots=True)
class Balance:
    """The push and the torques left over when all outputs are driven alike."""

    push: float
    roll: float
    pitch: float
    yaw: float


def loop_matrix(spins: Sequence[Spin], assumed: Mapping[int, str], props: str) -> Loop:
    """M = actual·pinv(assumed), shape (3, 3), rows and columns roll, pitch, yaw.

    `assumed` is the corner that each output is taken to drive. An output that nobody drives, or
    that drives nothing, adds nothing.
    """
    actual = {spin.output: _acts(spin, props)[1:] for spin in spins}
    outputs = sorted(assumed)
    planned = [(*LEVER[assumed[n]], REACTION[PLANS[props][assumed[n]]]) for n in outputs]
    real = [actual.get(n, (0.0, 0.0, 0.0)) for n in outputs]
    loop: Loop = np.array(real, dtype=np.float64).T @ np.linalg.pinv(np.array(planned).T)
    return loop


def balance(spins: Sequence[Spin], props: str) -> Balance:
    """What is left over at hover, with the propellers fitted for the plan `props`."""
    return Balance(*np.sum([_acts(spin, props) for spin in spins], axis=0).tolist())


def _acts(spin: Spin, props: str) -> tuple[float, float, float, float]:
    """Push, roll, pitch and yaw of one output at unit drive."""
    if spin.corner is None or spin.turn is None:
        return 0.0, 0.0, 0.0, 0.0
    push = 1.0 if spin.turn == PLANS[props][spin.corner] else AGAINST
    roll, pitch = LEVER[spin.corner]
    return push, push * roll, push * pitch, float(REACTION[spin.turn])


def crossed_axes(loop: Loop) -> tuple[str, ...]:
    """Axes whose correction moves another axis, or which another axis's correction moves."""
    off = np.abs(loop - np.diag(np.diag(loop))) > COUPLED
    return tuple(axis for n, axis in enumerate(AXES) if off[n].any() or off[:, n].any())


def verdict(spins: Sequence[Spin], assumed: Mapping[int, str], props: str, whole: bool) -> Verdict:
    """The verdict on motors as found; `whole` is whether four outputs drove four motors."""
    loop, left = loop_matrix(spins, assumed, props), balance(spins, props)
    crossed = crossed_axes(loop)
    away = tuple(
        axis for n, axis in enumerate(AXES) if axis not in crossed and loop[n, n] < -NOTHING
    )
    turns = "no" if abs(left.yaw) < NOTHING else "right" if left.yaw > 0 else "left"
    lifts = left.push > NOTHING
    ok = whole and lifts and not crossed and not away and turns == "no"
    grows = bool(min(np.linalg.eigvals(loop).real) < -NOTHING)
    says = _says(left, crossed, away, grows)
    rows = tuple(tuple(float(part) for part in row) for row in np.round(loop, 9) + 0.0)
    return Verdict(ok, away, crossed, turns, lifts, says, _low_side(left), rows)


def pushes(spins: Sequence[Spin], props: str) -> dict[str, float]:
    """What pushes up at each corner when all outputs are driven alike; 1 as planned, 0 nothing."""
    found = dict.fromkeys(LEVER, 0.0)
    for spin in spins:
        if spin.corner is not None:
            found[spin.corner] += _acts(spin, props)[0]
    return found


def _says(left: Balance, crossed: Sequence[str], away: Sequence[str], grows: bool) -> str:
    """What would be seen first, in the order in which it would show."""
    turn = "" if abs(left.yaw) < NOTHING else "right" if left.yaw > 0 else "left"
    if left.push <= NOTHING:
        return "It would not lift: the propellers together do not push up."
    if side := _low_side(left):
        swing = f", its nose swinging to the {turn}" if turn else ""
        return f"It would flip over its {side} at once{swing}: the push there is too small."
    if turn:
        return f"It would spin to the {turn} at once: the motors' turning does not balance."
    if "yaw" in away:
        return "It would spin faster and faster: a correction makes the turn worse."
    return _of_the_loop(crossed, away, grows)


def _of_the_loop(crossed: Sequence[str], away: Sequence[str], grows: bool) -> str:
    if crossed:
        axes = " and ".join((", ".join(crossed[:-1]), crossed[-1]))
        would = "flip at once, over any side" if grows else "not hold its attitude"
        return f"It would {would}: {axes} are crossed."
    if away:
        sides = {"roll": "its left or right side", "pitch": "its nose or its tail"}
        over = sides[away[0]] if len(away) == 1 else "any side"
        return f"It would flip over {over} at once: a correction makes the tilt worse."
    return "It would lift level: order and direction of the motors are as the firmware takes them."


def _low_side(left: Balance) -> str:
    """The side that goes down when all motors push alike: 'left side', 'rear left corner'."""
    end = "" if abs(left.pitch) < NOTHING else "rear" if left.pitch > 0 else "front"
    side = "" if abs(left.roll) < NOTHING else "right" if left.roll > 0 else "left"
    if end and side:
        return f"{end} {side} corner"
    return f"{side} side" if side else {"rear": "tail", "front": "nose", "": ""}[end]
