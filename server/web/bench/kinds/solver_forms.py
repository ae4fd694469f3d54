"""The forms of mounting and spins: faces, readings of the accelerometer, taps."""

from typing import Any

from server.trade.card import BadAnswer
from server.trade.card.answers import number
from server.trade.card.text import plain
from server.trade.mounting.poses import POSES
from server.web.bench.hidden_fields import Answer, Carried, Errors, Texts


class SpinForm(Carried):
    """One tap: 'FL ccw' where a motor turned, else what was seen. `again`: '3,4', still to come."""

    output: str = ""
    tap: str = ""
    again: str = ""


class FacesForm(Carried):
    """The face that points down on the screen, by pose; or what the accelerometer read in g."""

    face: Texts
    by: str = ""
    level_z: str = ""
    x: Texts
    y: Texts
    z: Texts


def outputs(text: str) -> tuple[int, ...]:
    """'3,4' as outputs; what is no number is left out."""
    return tuple(int(part) for part in text.split(",") if part.isdecimal())


def spins(_spec: Any, given: SpinForm) -> tuple[Answer, Errors]:
    corner, _, turn = given.tap.partition(" ")
    output = int(given.output) if given.output.isdecimal() else given.output
    to_come = {"again": list(outputs(given.again))} if given.again else {}
    if turn:
        seen = {"output": output, "seen": "turned", "corner": corner, "turn": turn}
        return seen | to_come, {}
    return {"output": output, "seen": corner} | to_come, {}


def faces(spec: Any, given: FacesForm) -> tuple[Answer, Errors]:
    if given.by == "readings":
        return _readings(given)
    left = [pose for pose in spec.poses if pose not in given.face]
    return dict(given.face), {
        f"face[{p}]": "Choose the part that points at the ground." for p in left
    }


def _readings(given: FacesForm) -> tuple[Answer, Errors]:
    """The poses of which anything was typed."""
    axes = {"x": given.x, "y": given.y, "z": given.z}
    held = [pose for pose in POSES if any(typed.get(pose) for typed in axes.values())]
    errors: Errors = {} if given.level_z else {"level_z": "Choose what z reads."}
    if len(held) < 2:
        errors["x[level]"] = "Enter the readings of two poses or more."
    rows = [
        {"pose": p, "reading": [_g(axes[a].get(p, ""), f"{a}[{p}]", errors) for a in axes]}
        for p in held
    ]
    return {"level_z": given.level_z, "poses": rows}, errors


def _g(typed: str, name: str, errors: Errors) -> str:
    try:
        return plain(number(typed, "", unit="g"))
    except BadAnswer as bad:
        errors[name] = bad.says
        return typed


def field_name(field: str) -> str:
    """The posted name of a pose's face or of a reading; '' for all the readings."""
    first, *rest = field.split(".")
    if first != "readings":
        return f"face[{first}]"
    return f"{rest[1] if len(rest) > 1 else 'x'}[{rest[0]}]" if rest else ""
