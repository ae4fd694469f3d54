"""How the board sits in the craft: from held faces, or from readings in held poses.

What no rigid board can give is refused and not recorded: one of the looks was wrong, and which one
nobody knows.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import partial
from typing import Any, ClassVar, NoReturn

from server.trade.card.answers import Answer, BadAnswer, each, number, only, rows, word
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.kind import Blank, Results, WholeKind, register
from server.trade.card.spec import Spec
from server.trade.card.text import counted, plain
from server.trade.finding import Severity
from server.trade.mounting.poses import FACES
from server.trade.mounting.poses import POSES as HELD
from server.trade.mounting.solver import Mounting, from_faces, from_readings
from server.trade.mounting.words import AFTER, degrees, lies, triple_words
from server.trade.solving import NoAnswer

POSES = {
    "level": "Put the real craft flat, the right way up.",
    "nose-down": "Hold the real craft nose down.",
    "right-down": "Hold the real craft right side down.",
}
SIGNS = ("1", "-1")
_AXES = "xyz"


@dataclass(frozen=True, slots=True)
class Faces(Spec):
    """`{"level": face, "nose-down": face, "right-down": face}`, or
    `{"level_z": "1", "poses": [{"pose", "reading": [x, y, z]}, ...]}` in g"""

    kind: ClassVar[str] = "faces"
    poses: tuple[str, ...] = tuple(POSES)
    faces: tuple[str, ...] = tuple(FACES)


@dataclass(frozen=True, slots=True)
class HeldFaces:
    """The face that points down on the screen, by pose."""

    down: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class HeldReadings:
    """What the accelerometer read in each pose, in g; `level_z` is what z reads when level."""

    level_z: int
    poses: Mapping[str, tuple[Decimal, ...]]


Looks = HeldFaces | HeldReadings


@register
class FacesKind(WholeKind[Faces, Looks]):
    name = "faces"
    spec = Faces

    def read(self, spec: Faces, given: Answer) -> Looks:
        return _readings(given) if "poses" in given else _faces(spec, given)

    def write(self, answer: Looks) -> dict[str, Any]:
        if isinstance(answer, HeldFaces):
            return dict(answer.down)
        poses = [
            {"pose": pose, "reading": [plain(g) for g in axes]}
            for pose, axes in answer.poses.items()
        ]
        return {"level_z": str(answer.level_z), "poses": poses}

    def judge(self, spec: Faces, answer: Looks, before: Results) -> Judgement:
        """Passes when the board needs no turning.

        Raises BadAnswer for what no rigid mounting gives: at both poses for two faces that
        disagree, at 'readings' or 'readings.<pose>' for readings.
        """
        if isinstance(answer, HeldReadings):
            return _from_readings(answer)
        return _from_faces(spec, answer.down)

    def paper(self, spec: Faces) -> tuple[Blank, ...]:
        return tuple(Blank(f"{pose}: what points down") for pose in spec.poses)

    def example(self, spec: Faces) -> tuple[Looks, ...]:
        return (HeldFaces({"level": "bottom", "nose-down": "nose", "right-down": "right"}),)


def _faces(spec: Faces, given: Answer) -> HeldFaces:
    only(given, spec.poses)
    asked = [pose for pose in spec.poses if pose in given] or spec.poses[:1]
    return HeldFaces(each((pose, partial(_face, given.get(pose), pose)) for pose in asked))


def _face(value: object, pose: str) -> str:
    if value in (None, ""):
        raise BadAnswer(pose, "Choose the part that points at the ground.")
    return word(value, pose, tuple(FACES))


def _from_faces(spec: Faces, seen: Mapping[str, str]) -> Judgement:
    found = ", ".join(f"{pose} {face}" for pose, face in seen.items())
    left = [pose for pose in spec.poses if pose not in seen]
    if len(seen) < 2:
        return more("One pose is recorded.", POSES[left[0]], found)
    try:
        mounting = from_faces(*(seen.get(pose) for pose in spec.poses))
    except NoAnswer as no:
        raise _disagree(no) from no
    if left:
        says = "Two poses are recorded; the third checks them."
        return more(says, POSES[left[0]], found, _result(mounting))
    return _mounted(mounting, found)


def _disagree(no: NoAnswer) -> BadAnswer:
    """The refusal at the last of the poses that disagree, and a word at those before it."""
    *others, last = no.at.split(", ")
    says = f"{no.says[:1].upper()}{no.says[1:]} Look again."
    return BadAnswer(last, says, [(p, "This look and another one disagree.") for p in others])


def _readings(given: Answer) -> HeldReadings:
    only(given, ("level_z", "poses"))
    held = [_pose(row) for row in rows(given["poses"], "readings", "This answer is not complete.")]
    reads: list[tuple[str, Callable[[], Decimal]]] = [
        ("level_z", partial(_sign, given.get("level_z"))),
        ("poses", partial(_enough, len({pose for pose, _ in held}), len(held))),
    ]
    for pose, typed in held:
        reads += [
            (f"{pose}.{axis}", partial(number, text, f"readings.{pose}.{axis}", unit="g"))
            for axis, text in zip(_AXES, typed, strict=True)
        ]
    read = each(reads)
    poses = {p: tuple(read[f"{p}.{axis}"] for axis in _AXES) for p, _ in held}
    return HeldReadings(int(read["level_z"]), poses)


def _sign(value: object) -> Decimal:
    if value in (None, ""):
        raise BadAnswer("level_z", "Choose what z reads.")
    return Decimal(word(value, "level_z", SIGNS))


def _enough(different: int, given: int) -> Decimal:
    if different < 2:
        raise BadAnswer("readings", "Enter the readings of two poses or more.")
    if different < given:
        raise BadAnswer("readings", "Enter each pose once.")
    return Decimal(given)


def _pose(row: Answer) -> tuple[str, list[object]]:
    only(row, ("pose", "reading"))
    pose = word(row.get("pose"), "readings", tuple(HELD))
    axes = row.get("reading")
    if not isinstance(axes, list | tuple) or len(axes) != len(_AXES):
        raise BadAnswer(f"readings.{pose}", "A reading has three numbers: x, y and z.")
    return pose, list(axes)


def _from_readings(answer: HeldReadings) -> Judgement:
    held = [{"pose": pose, "reading": list(axes)} for pose, axes in answer.poses.items()]
    document = {"level_z": answer.level_z, "poses": held}
    try:
        mounting = from_readings(document)
    except NoAnswer as no:
        _refuse(no, [*answer.poses])
    off = f"{degrees(mounting.residual_deg)} off the nearest step of 45°"
    return _mounted(
        mounting, f"{triple_words(mounting.triple)}, {off}, from {counted(len(held), 'pose')}"
    )


def _refuse(no: NoAnswer, poses: list[str]) -> NoReturn:
    """The refusal at the pose that it is about."""
    index = no.at.partition("[")[2].partition("]")[0]
    at = f".{poses[int(index)]}" if index else ""
    raise BadAnswer(f"readings{at}", no.says) from no


def _result(mounting: Mounting) -> dict[str, Any]:
    return mounting.as_json() | {"lies": lies(mounting.rotation), "after": _asked(AFTER)}


def _asked(faces_by_pose: Mapping[str, str]) -> dict[str, str]:
    return {pose: faces_by_pose[pose] for pose in POSES}


def _mounted(mounting: Mounting, found: str) -> Judgement:
    result, words = _result(mounting), triple_words(mounting.triple)
    says = " ".join(finding.says for finding in mounting.findings)
    do = " ".join(finding.do for finding in mounting.findings)
    if any(finding.severity is Severity.STOP for finding in mounting.findings):
        return failed(f"{says} Nothing is rounded: as it sits, {words}.", do, found, result)
    if not any(mounting.triple):
        right = "The screen lies as the craft does, in every pose."
        # What is off square passes with something to read and to do.
        return replace(passed(f"{right} {says}".strip(), found, result), do=do)
    turn = (
        f"Where the mounting was set to 0 for this look, set it to {words}. Where it was not, set "
        "it to 0 first and look again. Save, restart, then record the poses again."
    )
    turned = f"The board sits turned in the craft: {words}."
    return failed(f"{turned} {says}".strip(), f"{do} {turn}".strip(), found, result)
