"""Judging evidence that a solver reads: spins and held faces."""

from collections.abc import Mapping
from typing import Any

from server.trade.card.answers import Answer, BadAnswer, mapping, only, word
from server.trade.card.evidence import POSES, SEEN, Faces, Order, Spins
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.simple import order_table
from server.trade.card.text import counted, degrees
from server.trade.corners import CORNERS, TURNS
from server.trade.mounting import Mounting, from_faces
from server.trade.poses import FACES
from server.trade.solving import NoAnswer
from server.trade.spin_findings import CAUSES
from server.trade.spins import Spun, solve
from server.trade.takeoff import Spin

SoFar = Mapping[str, Mapping[str, Any]]

_CAUSES_OF = {"nothing": "dead", "stuttered": "stuttered", "two": "two"}
_SAYS_OF = {
    "nothing": "Nothing turned on output {n}.",
    "stuttered": "The motor on output {n} stuttered.",
    "two": "Output {n} turned two motors.",
}
_HOLD_AGAIN = "Hold the poses once more and record what the screen shows."


def spins(spec: Spins, answer: Answer, so_far: SoFar) -> Judgement:
    """Taps against the recorded order and the plan; the latest tap of each output counts."""
    taps = read_taps(spec, answer)
    left = [output for output in spec.outputs if output not in taps]
    found = ", ".join(_tapped(taps[n]) for n in spec.outputs if n in taps)
    if left:
        recorded = f"{len(taps)} of {counted(len(spec.outputs), 'output')} recorded."
        return more(recorded, f"Spin output {left[0]}.", found)
    expect = _expected(spec, so_far)
    if expect is None:
        do = "Record the firmware's own order of outputs first."
        return more("All outputs are recorded; their order is not known.", do, found)
    motors = [Spin(n, tap.get("corner"), tap.get("turn")) for n, tap in taps.items()]
    return _spun(solve(motors, spec.props, expect), taps, found)


def _spun(spun: Spun, taps: Mapping[int, Mapping[str, Any]], found: str) -> Judgement:
    result = spun.as_json()
    if spun.verdict.ok:
        return passed("Each output moves its own corner, its own way.", "all four right", result)
    silent = {n: str(tap["seen"]) for n, tap in taps.items() if tap["seen"] != "turned"}
    faults = [(_SAYS_OF[seen].format(n=n), _first_look(seen)) for n, seen in silent.items()]
    faults += [(f.says, f.do) for f in spun.findings if f.code != "motor-dead"]
    says = " ".join([*(says for says, _ in faults), spun.verdict.says])
    result["causes"] = {str(n): _causes(seen) for n, seen in silent.items()}
    return failed(says, " ".join(dict.fromkeys(do for _, do in faults)), found, result)


def _first_look(seen: str) -> str:
    return CAUSES[_CAUSES_OF[seen]][0].look


def _causes(seen: str) -> list[dict[str, str]]:
    return [{"cause": c.cause, "look": c.look} for c in CAUSES[_CAUSES_OF[seen]]]


def _expected(spec: Spins, so_far: SoFar) -> dict[int, str] | None:
    """The recorded order; None where there is none, or it is of other outputs."""
    recorded = so_far.get(spec.order)
    if recorded is None:
        return None
    try:
        table = order_table(Order(spec.outputs), recorded)
    except BadAnswer:
        return None
    return {int(output): corner for output, corner in table.items()}


def read_taps(spec: Spins, answer: Answer) -> dict[int, dict[str, Any]]:
    """The latest tap of each output, by output. `answer` is one tap or {"spins": [taps]}."""
    if "spins" not in answer:
        return {tap["output"]: tap for tap in [read_tap(spec, answer)]}
    only(answer, ("spins",))
    taps = answer["spins"]
    if not isinstance(taps, list | tuple):
        raise BadAnswer("spins", "This answer is not complete.")
    latest = {tap["output"]: tap for tap in (read_tap(spec, mapping(t, "spins")) for t in taps)}
    return {output: latest[output] for output in spec.outputs if output in latest}


def read_tap(spec: Spins, tap: Answer) -> dict[str, Any]:
    """One tap with its output as a number. Corner and turn belong to a motor that turned."""
    only(tap, ("output", "seen", "corner", "turn"))
    output = word(str(tap.get("output", "")), "output", [str(n) for n in spec.outputs])
    seen = word(tap.get("seen"), "seen", tuple(SEEN))
    read: dict[str, Any] = {"output": int(output), "seen": seen}
    if seen == "turned":
        read["corner"] = word(tap.get("corner"), "corner", CORNERS)
        read["turn"] = word(tap.get("turn"), "turn", tuple(TURNS))
    elif "corner" in tap or "turn" in tap:
        raise BadAnswer("corner", "A corner is recorded only where one motor turned.")
    return read


def _tapped(tap: Mapping[str, Any]) -> str:
    if tap["seen"] == "turned":
        return f"{tap['output']} {tap['corner']} {TURNS[tap['turn']]}"
    return f"{tap['output']} {SEEN[tap['seen']]}"


def faces(spec: Faces, answer: Answer) -> Judgement:
    """Held faces; passes when the screen already lies as the craft does."""
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
        return failed(no.says, _HOLD_AGAIN, found)
    if left:
        result = mounting.as_json()
        return more("Two poses are recorded; the third checks them.", POSES[left[0]], found, result)
    return _mounted(mounting, found)


def _mounted(mounting: Mounting, found: str) -> Judgement:
    result = mounting.as_json()
    if not any(mounting.triple):
        return passed("The screen lies as the craft does, in all three poses.", found, result)
    triple = ", ".join(
        f"{axis} {degrees(angle)}°"
        for axis, angle in zip(("roll", "pitch", "yaw"), mounting.triple, strict=True)
    )
    do = (
        f"Where the mounting was set to 0 for this look, set it to {triple}. Where it was not, set "
        "it to 0 first and look again. Save, restart, then record the three poses again."
    )
    return failed(f"The board sits turned in the craft: {triple}.", do, found, result)
