"""How the board sits, as the page shows it: before the three looks are recorded, and after."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, ClassVar

from server.drawing.craft.board_in_frame import board_in_frame
from server.drawing.craft.poses import pose
from server.trade.card import BadAnswer, Judgement, Step, judge
from server.trade.card.evidence import Faces
from server.trade.mounting.poses import POSES
from server.trade.mounting.words import AXES, triple_words
from server.web.bench.state import NO_STEP
from server.web.site.page import View
from server.work.errors import Missing

HELD_WORDS = {
    "level": "Flat, the right way up",
    "upside-down": "Flat, upside down",
    "nose-down": "Nose down",
    "nose-up": "Nose up",
    "right-down": "Right side down",
    "left-down": "Left side down",
}
POSE_WORDS = {
    "level": "Put the real craft flat",
    "nose-down": "Hold the real craft nose down",
    "right-down": "Hold the real craft right side down",
}

NO_BREAK = "\N{NO-BREAK SPACE}"


@dataclass(frozen=True)
class Held:
    """A pose to hold the craft in, with its picture where it is asked for by one."""

    name: str
    words: str
    drawing: str = ""


@dataclass(frozen=True)
class SoFar(View):
    """What the looks that are chosen so far come to; all empty before the second."""

    template: ClassVar[str] = "bench/_so_far.html"

    worked: str
    verdict: str
    lies: str
    drawing: str
    fault: str


def so_far_of(step: Step, chosen: Mapping[str, str]) -> SoFar:
    """The mounting from the faces chosen so far; `chosen` is by the fields' posted names.

    Raises Missing at a step that asks for no faces.
    """
    if not isinstance(step.evidence, Faces):
        raise Missing(*NO_STEP)
    given = {
        p: face for p in ("level", "nose-down", "right-down") if (face := chosen.get(f"face[{p}]"))
    }
    if len(given) < 2:
        return SoFar("", "", "", "", "")
    try:
        found = judge(step, given)
    except BadAnswer as no:
        return SoFar("", "", "", "", no.says)
    worked = "Worked out from two; the third checks it."
    if len(given) == 3:
        worked = "Worked out from two, confirmed by the third."
    result = found.result
    return SoFar(worked, verdict_of(result), result["lies"], drawn(result, "so-far"), "")


def poses_asked(spec: Faces) -> tuple[Held, ...]:
    """The poses of the three looks."""
    return tuple(Held(name, POSE_WORDS[name], pose(name, f"pose-{name}")) for name in spec.poses)


def poses_read() -> tuple[Held, ...]:
    """The poses in which an accelerometer may be read."""
    return tuple(Held(name, HELD_WORDS[name]) for name in POSES)


def verdict_of(result: Mapping[str, Any]) -> str:
    """'Roll 0°, pitch 0°, yaw 90°'."""
    words = _words(result)
    return words[:1].upper() + words[1:]


def drawn(result: Mapping[str, Any], prefix: str) -> str:
    """The board in the frame."""
    return board_in_frame(result["roll"], result["pitch"], result["yaw"], prefix, words=False)


def mounting_shown(found: Judgement) -> dict[str, Any]:
    """The triple with its picture, what the screen shows now and after, and the equivalents."""
    result = found.result
    if "lies" not in result:
        return {}
    turned = any(result[axis] for axis in AXES)
    rows = tuple(
        (HELD_WORDS[name], face.replace("-", " and "), result["after"][name])
        for name, face in result["check"].items()
    )
    off = (finding["says"] for finding in result["findings"])
    says = " ".join(["The board sits turned in the craft.", *off])
    return {
        "verdict": verdict_of(result),
        "lies": result["lies"],
        "picture": drawn(result, "result"),
        "heads": ("Pose", "Down on screen now", "After the change"),
        "rows": rows if turned and result["squared"] else (),
        "points": _same(result) if turned else (),
    } | ({"says": says} if found.state == "fail" and result["squared"] else {})


def _same(result: Mapping[str, Any]) -> tuple[str, ...]:
    every = "; or ".join(_words(other) for other in result["alternatives"])
    return (f"The same in other angles: {every}.",) if every else ()


def _words(angles: Mapping[str, Any]) -> str:
    words = triple_words((angles["roll"], angles["pitch"], angles["yaw"]))
    return ", ".join(part.replace(" ", NO_BREAK) for part in words.split(", "))
