"""Judging how the board sits in the craft: from held faces, or from readings in held poses.

What no rigid board can give is refused and not recorded: one of the looks was wrong, and which one
nobody knows.
"""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any, NoReturn

from server.trade.card.answers import Answer, BadAnswer, mapping, number, only, word
from server.trade.card.evidence import POSES, Faces
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.text import counted
from server.trade.finding import Severity
from server.trade.mounting.poses import FACES
from server.trade.mounting.poses import POSES as HELD
from server.trade.mounting.solver import Mounting, from_faces, from_readings
from server.trade.mounting.words import AFTER, degrees, lies, triple_words
from server.trade.solving import NoAnswer

SIGNS = ("1", "-1")


def faces(spec: Faces, answer: Answer) -> Judgement:
    """Held faces, or {"level_z", "poses"} with readings; passes when the board needs no turning.

    Raises BadAnswer for what no rigid mounting gives: at 'level, nose-down' for two faces that
    disagree, at 'readings' or 'readings.<pose>' for readings.
    """
    if "poses" in answer:
        return _from_readings(answer)
    only(answer, spec.poses)
    seen = {pose: word(answer[pose], pose, tuple(FACES)) for pose in spec.poses if answer.get(pose)}
    if not seen:
        raise BadAnswer(spec.poses[0], "Choose the part that points at the ground.")
    found = ", ".join(f"{pose} {face}" for pose, face in seen.items())
    left = [pose for pose in spec.poses if pose not in seen]
    if len(seen) < 2:
        return more("One pose is recorded.", POSES[left[0]], found)
    try:
        mounting = from_faces(*(seen.get(pose) for pose in spec.poses))
    except NoAnswer as no:
        raise BadAnswer(no.at, f"{no.says[:1].upper()}{no.says[1:]} Look again.") from no
    if left:
        says = "Two poses are recorded; the third checks them."
        return more(says, POSES[left[0]], found, _result(mounting))
    return _mounted(mounting, found)


def _from_readings(answer: Answer) -> Judgement:
    document = _document(answer)
    try:
        mounting = from_readings(document)
    except NoAnswer as no:
        _refuse(no, document)
    off = f"{degrees(mounting.residual_deg)} off the nearest step of 45°"
    held = counted(len(document["poses"]), "pose")
    return _mounted(mounting, f"{triple_words(mounting.triple)}, {off}, from {held}")


def _document(answer: Answer) -> dict[str, Any]:
    """The readings as the solver takes them, numbers out of their text."""
    only(answer, ("level_z", "poses"))
    sign = word(answer.get("level_z"), "level_z", SIGNS)
    poses = answer["poses"]
    if not isinstance(poses, list | tuple):
        raise BadAnswer("readings", "This answer is not complete.")
    rows = [_pose(mapping(pose, "readings")) for pose in poses]
    if len({row["pose"] for row in rows}) < 2:
        raise BadAnswer("readings", "Enter the readings of two poses or more.")
    return {"level_z": int(sign), "poses": rows}


def _pose(row: Mapping[str, Any]) -> dict[str, Any]:
    only(row, ("pose", "reading"))
    pose = word(row.get("pose"), "readings", tuple(HELD))
    axes = row.get("reading")
    if not isinstance(axes, list | tuple) or len(axes) != len("xyz"):
        raise BadAnswer(f"readings.{pose}", "A reading has three numbers: x, y and z.")
    reading = [_axis(text, pose, axis) for text, axis in zip(axes, "xyz", strict=True)]
    return {"pose": pose, "reading": reading}


def _axis(text: object, pose: str, axis: str) -> Decimal:
    return number(text, f"readings.{pose}.{axis}", unit="g")


def _refuse(no: NoAnswer, document: Mapping[str, Any]) -> NoReturn:
    """The refusal at the pose that it is about."""
    index = no.at.partition("[")[2].partition("]")[0]
    at = f".{document['poses'][int(index)]['pose']}" if index else ""
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
