"""How the board sits: three looks or readings asked for, and the mounting that they give."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from server.drawing.craft.board_in_frame import board_in_frame
from server.drawing.craft.poses import pose
from server.trade.card import BadAnswer, Judgement, Step, judge, read
from server.trade.card.kinds.faces import Faces, HeldFaces, Looks
from server.trade.card.text import plain
from server.trade.mounting.poses import POSES
from server.trade.mounting.words import AXES, triple_words
from server.web.bench.found import NO_GRID, Grid, Result
from server.web.bench.hidden_fields import Carried, Texts
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, register_view
from server.web.site.page import View

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


class FacesForm(Carried):
    """The face that points down on the screen, by pose; or what the accelerometer read in g."""

    face: Texts
    by: str = ""
    level_z: str = ""
    x: Texts
    y: Texts
    z: Texts


@dataclass(frozen=True)
class PoseAsked:
    """A pose to hold the craft in, with its picture where it is asked for by one."""

    name: str
    words: str
    drawing: str = ""


@dataclass(frozen=True)
class FacesAsk:
    """The poses of the looks, and those in which an accelerometer may be read."""

    poses: tuple[PoseAsked, ...]
    held: tuple[PoseAsked, ...]


@dataclass(frozen=True, kw_only=True)
class FacesResult(Result):
    """The mounting; `verdict` is empty before the second look."""

    verdict: str = ""
    lies: str = ""
    picture: str = ""
    grid: Grid = NO_GRID
    points: tuple[str, ...] = ()


@dataclass(frozen=True)
class SoFar(View):
    """What the looks that are chosen so far come to; all empty before the second."""

    template: ClassVar[str] = "bench/_so_far.html"

    worked: str
    verdict: str
    lies: str
    drawing: str
    fault: str


@register_view
class FacesView(KindView[Faces, Looks, FacesForm]):
    name = "faces"
    form = FacesForm
    layout: ClassVar[Layout] = Layout(
        wide=True,
        folds_how=True,
        says_found=False,
        stays=False,
        attaches=False,
        refills=False,
        unseen=(),
    )

    def answer(self, spec: Faces, given: FacesForm) -> Posted:
        if given.by != "readings":
            # A look that was not chosen is named, not passed over: the form asks for all of them.
            return {pose: given.face.get(pose, "") for pose in (*spec.poses, *given.face)}
        axes = (given.x, given.y, given.z)
        held = [name for name in POSES if any(typed.get(name) for typed in axes)]
        rows = [{"pose": p, "reading": [typed.get(p, "") for typed in axes]} for p in held]
        return {"level_z": given.level_z, "poses": rows}

    def field(self, path: list[str], given: FacesForm) -> str:
        if path[0] == "level_z":
            return "level_z"
        if path[0] != "readings":
            return f"face[{path[0]}]"
        held = path[1] if len(path) > 1 else "level"
        return f"{path[2] if len(path) > 2 else 'x'}[{held}]"

    def typed(self, answer: Looks) -> dict[str, Any]:
        if isinstance(answer, HeldFaces):
            return {"face": dict(answer.down)}
        axes = {
            axis: {pose: plain(read[n]) for pose, read in answer.poses.items()}
            for n, axis in enumerate("xyz")
        }
        return {"by": "readings", "level_z": str(answer.level_z)} | axes

    def ask(self, spec: Faces, here: Here) -> Asking:
        poses = (
            PoseAsked(name, POSE_WORDS[name], pose(name, f"pose-{name}")) for name in spec.poses
        )
        held = (PoseAsked(name, HELD_WORDS[name]) for name in POSES)
        return Asking(FacesAsk(tuple(poses), tuple(held)))

    def found(self, spec: Faces, answer: Looks, judgement: Judgement, here: Here) -> FacesResult:
        """The triple with its picture, what the screen shows now and after, and the equivalents."""
        result, said = judgement.result, judgement
        if "lies" not in result:
            return FacesResult(worth=said)
        turned = any(result[axis] for axis in AXES)
        if judgement.state == "fail" and result["squared"]:
            off = (finding["says"] for finding in result["findings"])
            said = replace(said, says=" ".join(["The board sits turned in the craft.", *off]))
        return FacesResult(
            worth=said,
            verdict=_verdict(result),
            lies=result["lies"],
            picture=_drawn(result, "result"),
            grid=_before_and_after(result) if turned and result["squared"] else NO_GRID,
            points=_same(result) if turned else (),
        )

    def so_far(self, step: Step, chosen: Mapping[str, str]) -> SoFar:
        """The mounting from the faces chosen so far; `chosen` is by the fields' posted names."""
        given = {p: face for p in POSE_WORDS if (face := chosen.get(f"face[{p}]"))}
        if len(given) < 2:
            return SoFar("", "", "", "", "")
        try:
            found = judge(step, read(step, given))
        except BadAnswer as no:
            return SoFar("", "", "", "", no.says)
        worked = "Worked out from two; the third checks it."
        if len(given) == 3:
            worked = "Worked out from two, confirmed by the third."
        result = found.result
        return SoFar(worked, _verdict(result), result["lies"], _drawn(result, "so-far"), "")


def _verdict(result: Mapping[str, Any]) -> str:
    """'Roll 0°, pitch 0°, yaw 90°'."""
    words = _words(result)
    return words[:1].upper() + words[1:]


def _drawn(result: Mapping[str, Any], prefix: str) -> str:
    """The board in the frame."""
    return board_in_frame(result["roll"], result["pitch"], result["yaw"], prefix, words=False)


def _before_and_after(result: Mapping[str, Any]) -> Grid:
    rows = tuple(
        (HELD_WORDS[name], face.replace("-", " and "), result["after"][name])
        for name, face in result["check"].items()
    )
    return Grid(("Pose", "Down on screen now", "After the change"), rows)


def _same(result: Mapping[str, Any]) -> tuple[str, ...]:
    every = "; or ".join(_words(other) for other in result["alternatives"])
    return (f"The same in other angles: {every}.",) if every else ()


def _words(angles: Mapping[str, Any]) -> str:
    words = triple_words((angles["roll"], angles["pitch"], angles["yaw"]))
    return ", ".join(part.replace(" ", NO_BREAK) for part in words.split(", "))
