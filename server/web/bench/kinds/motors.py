"""What four spins and four speeds come to, as the result panel shows it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from server.drawing.craft.motors import craft_from_above
from server.drawing.craft.take_off import take_off
from server.trade.card.evidence import Spins
from server.trade.card.text import listed, tie
from server.trade.motors.corners import AXES, CORNERS, OTHER_PLAN, PLANS, TURNS
from server.web.bench.kinds.causes import causes_of

Taps = Mapping[int, Mapping[str, Any]]
_SEEN = {"nothing": "nothing turned", "stuttered": "stuttered", "two": "two turned"}


@dataclass(frozen=True)
class Round:
    """A way to spin again: some outputs, or all four."""

    label: str
    href: str


@dataclass(frozen=True)
class Loop:
    """The loop matrix: for each correction asked for, what comes on each axis."""

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def tap_says(tap: Mapping[str, Any]) -> str:
    """'RR clockwise', or what else was seen."""
    if tap["seen"] == "turned":
        return f"{tap['corner']} {TURNS[tap['turn']]}"
    return _SEEN[tap["seen"]]


def spins_shown(
    spec: Spins, taps: Taps, expects: Mapping[int, str], result: Mapping[str, Any]
) -> dict[str, Any]:
    """The verdict with its picture, then what to do about each output."""
    verdict = result["verdict"]
    pictured = result["pushes"] and take_off(verdict, result["over"], result["pushes"], "verdict")
    steps = _steps(spec, taps, result)
    return {
        "verdict": verdict["says"],
        "picture": pictured or "",
        "drawing": _craft(spec, taps),
        "heads": ("Output", "Found", "Wanted"),
        "rows": tuple(_spin_row(spec, n, taps[n], expects.get(n)) for n in spec.outputs),
        "causes": causes_of(result),
        "points": _as_table(taps) if result["exchange"] else (),
        "loop": _loop(result["loop"]),
        "again": tuple(result["again"]),
        "steps": steps,
    } | ({"do": ""} if steps else {})


def _steps(spec: Spins, taps: Taps, result: Mapping[str, Any]) -> tuple[str, ...]:
    """What to do, in order, a line each; nothing where all is right."""
    again = result["again"]
    if not again:
        return ()
    looks = [
        f"{each['title'].partition(':')[0]}: {_lower(each['rows'][0]['look'])}"
        for each in result["likely"]
    ]
    moves = [
        f"Give {taps[int(n)]['corner']}, now on output {n}, to output {to}."
        for n, to in result["exchange"].items()
    ]
    # Where two outputs moved one corner, which of them drives it comes before its direction.
    wrong = [n for n in result["reverse"] if n not in result["doubled"]]
    turns = [
        f"Reverse {taps[n]['corner']}, on output {n}: in the ESC, or exchange two of the "
        "motor’s three leads with the battery off."
        for n in wrong
    ]
    saved = ["Save and restart."] if moves else []
    stay = [n for n in sorted(taps) if n not in again]
    kept = f"; {_outputs(stay)} stay{'s' * (len(stay) == 1)} as recorded" if stay else ""
    first = (*_plan_first(spec, result), *looks, *moves, *turns, *saved)
    return (*first, f"Spin {_outputs(again)} again{kept}.")


def _plan_first(spec: Spins, result: Mapping[str, Any]) -> tuple[str, ...]:
    """The question before four motors are reversed: for which propellers the craft is built."""
    if not result["other_plan"]:
        return ()
    other = OTHER_PLAN[spec.props]
    return (
        f"Check whether the craft is built {other}. If it is, choose {other} on the map and leave "
        "the motors as they are. If not:",
    )


def _outputs(numbers: Sequence[int]) -> str:
    return f"output{'s' * (len(numbers) > 1)} {listed(map(str, numbers))}"


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def rounds_of(page: str, outputs: Sequence[int], again: Sequence[int]) -> tuple[Round, ...]:
    """What changed first, where that is not everything; then all of them."""
    every = Round("Spin all four again", _round(page, outputs))
    if not again or len(again) == len(outputs):
        return (every,)
    return (Round(f"Spin {_outputs(again)} again", _round(page, again)), every)


def _round(page: str, outputs: Sequence[int]) -> str:
    first, *rest = outputs
    return f"{page}?output={first}&again={','.join(map(str, rest))}"


def outputs_moved(
    spun: Sequence[tuple[int, Mapping[str, Any]]], orders: Sequence[tuple[int, Mapping[str, Any]]]
) -> tuple[int, ...]:
    """The outputs of which the firmware was said to expect another corner after they were spun.

    Both are entries with their ids, oldest first: taps, and recorded orders.
    """
    if not orders:
        return ()
    taps = {int(tap["output"]): entry for entry, tap in spun}
    now = orders[-1][1]["table"]

    def then(output: int) -> str | None:
        before = [order["table"] for entry, order in orders if entry < taps[output]]
        return before[-1].get(str(output)) if before else None

    return tuple(n for n in sorted(taps) if then(n) != now.get(str(n)))


def _craft(spec: Spins, taps: Taps) -> str:
    turned = [(n, tap) for n, tap in taps.items() if tap["seen"] == "turned"]
    moved = {tap["corner"]: tap["turn"] for _, tap in turned}
    outputs = {
        corner: "output " + " and ".join(str(n) for n, tap in turned if tap["corner"] == corner)
        for corner in moved
    }
    # Which corners turned where an output turned two is not known: those are left open.
    known = moved if any(tap["seen"] == "two" for tap in taps.values()) else CORNERS
    found = {corner: moved.get(corner) for corner in known}
    return craft_from_above(PLANS[spec.props], found, outputs, "result")


def _spin_row(
    spec: Spins, output: int, tap: Mapping[str, Any], corner: str | None
) -> tuple[str, ...]:
    wanted = f"{corner} {TURNS[PLANS[spec.props][corner]]}" if corner else ""
    return (str(output), tap_says(tap), wanted)


def _as_table(taps: Taps) -> tuple[str, ...]:
    """For firmware that takes a table of outputs, and has no order of its own."""
    drives = ", ".join(
        f"{n} {tap['corner']}" if tap["seen"] == "turned" else f"{n} not known"
        for n, tap in sorted(taps.items())
    )
    return (
        f"As found, output by output: {drives}. Where the firmware takes such a table, enter this "
        "one, and record it as the order that the firmware expects.",
    )


def _loop(matrix: list[list[float]]) -> Loop | None:
    if not matrix:
        return None
    rows = zip(AXES, matrix, strict=True)
    heads = ("What comes", *(f"{axis} asked" for axis in AXES))
    return Loop(
        heads,
        tuple(
            (axis, *(f"{x:+.2g}".replace("-", "−") if x else "0" for x in row))
            for axis, row in rows
        ),
    )


def speeds_shown(taps: Taps, result: Mapping[str, Any]) -> dict[str, Any]:
    """Each speed against the median, and the causes of the odd one."""
    odd = {each["output"] for each in result["odd"]}
    middle, speeds = result["median"], result["values"]
    rows = [
        _speed_row(int(name.rpartition("-")[2]), text, middle, result, taps, odd)
        for name, text in speeds.items()
    ]
    return {
        "heads": ("Output", "rpm", "Off the median", "Score"),
        "rows": tuple(rows),
        "causes": causes_of(result),
    }


def _speed_row(
    output: int, rpm: str, middle: float, result: Mapping[str, Any], taps: Taps, odd: set[int]
) -> tuple[str, ...]:
    corner = taps.get(output, {}).get("corner", "")
    off = f"{(float(rpm) / middle - 1) * 100:+.1f} %" if middle else "not known"
    score = f"{result['scores'][str(output)]:+.1f}{', stands out' if output in odd else ''}"
    named = f"{output} {corner}".strip()
    return tuple(tie(text.replace("-", "−")) for text in (named, rpm, off, score))
