"""Judging the spins of four motors."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from server.trade.card.answers import Answer, BadAnswer, mapping, only, word
from server.trade.card.evidence import SEEN, Order, Spins
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.simple import order_table
from server.trade.card.text import counted, listed
from server.trade.motors.corners import CORNERS, TURNS
from server.trade.motors.spin_findings import CAUSES
from server.trade.motors.spins import Spun, solve
from server.trade.motors.takeoff import Spin, pushes

SoFar = Mapping[str, Mapping[str, Any]]
Taps = Mapping[int, Mapping[str, Any]]

_CAUSES_OF = {"nothing": "dead", "stuttered": "stuttered", "two": "two"}
_SAYS_OF = {
    "nothing": "Nothing turned on output {n}.",
    "stuttered": "The motor on output {n} stuttered.",
    "two": "Output {n} turned two motors.",
}


def spins(spec: Spins, answer: Answer, so_far: SoFar) -> Judgement:
    """Taps against the recorded order and the plan; the latest tap of each output counts.

    While outputs are left in a round of spinning again, nothing is judged: some of what stands is
    from before the change. `result["again"]` are those to spin again.
    """
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
    if again := read_again(spec, answer):
        says = f"{_named(again)} still to spin again."
        return more(says, f"Spin output {again[0]} again.", found, {"again": list(again)})
    return _spun(Seen.of(spec, taps, expect), found)


@dataclass(frozen=True)
class Seen:
    """Four taps, and what the solver makes of them; `silent` is what else than a turn was seen."""

    spec: Spins
    spun: Spun
    motors: tuple[Spin, ...]
    silent: Mapping[int, str]

    @classmethod
    def of(cls, spec: Spins, taps: Taps, expect: Mapping[int, str]) -> "Seen":
        """The taps solved against the order `expect`."""
        motors = tuple(Spin(n, tap.get("corner"), tap.get("turn")) for n, tap in taps.items())
        silent = {n: str(tap["seen"]) for n, tap in taps.items() if tap["seen"] != "turned"}
        spun = solve(motors, spec.props, expect)
        if both := [n for n, seen in silent.items() if seen == "two"]:
            says = f"What it would do is not worked out: {_named(both).lower()} turned two motors."
            spun = replace(spun, verdict=replace(spun.verdict, ok=False, says=says))
        return cls(spec, spun, motors, silent)

    @property
    def again(self) -> tuple[int, ...]:
        """The outputs at which something is to be changed, so that they are to be spun again."""
        spun = self.spun
        changed = {*spun.exchange, *spun.reverse, *spun.dead, *spun.doubled}
        return tuple(n for n in self.spec.outputs if n in changed)


def _spun(seen: Seen, found: str) -> Judgement:
    spun, result = seen.spun, _result(seen)
    if spun.verdict.ok:
        return passed("Each output moves its own corner, its own way.", "all four right", result)
    faults = [(_SAYS_OF[how].format(n=n), _first_look(how)) for n, how in seen.silent.items()]
    faults += [(f.says, f.do) for f in spun.findings if f.code != "motor-dead"]
    says = " ".join([*(says for says, _ in faults), spun.verdict.says])
    dos = dict.fromkeys(do for _, do in faults)
    return failed(says, " ".join([*dos, _then(seen)]), found, result)


def _then(seen: Seen) -> str:
    """What the change asks to be spun again, and what stays as it was seen."""
    kept = [n for n in seen.spec.outputs if n not in seen.again]
    stays = f"; {_named(kept).lower()} stay{'s' * (len(kept) == 1)} as recorded" if kept else ""
    return f"Then spin {_named(seen.again).lower()} again{stays}."


def _result(seen: Seen) -> dict[str, Any]:
    """The solver's answer, with what the page draws and lists beside it."""
    spun = seen.spun
    clear = "two" not in seen.silent.values()
    return spun.as_json() | {
        "dead": [n for n, how in seen.silent.items() if how == "nothing"],
        "again": list(seen.again),
        "likely": list(_causes(seen)),
        "over": spun.verdict.over,
        "loop": [list(row) for row in spun.verdict.loop] if clear else [],
        "pushes": pushes(seen.motors, seen.spec.props) if clear else {},
    }


def _first_look(seen: str) -> str:
    return CAUSES[_CAUSES_OF[seen]][0].look


def _causes(seen: Seen) -> Iterator[dict[str, Any]]:
    """Likely causes of each output that did not turn one motor, likeliest first."""
    for n, how in seen.silent.items():
        yield _listed(f"Output {n}: {SEEN[how]}", _CAUSES_OF[how])
    if doubled := seen.spun.doubled:
        yield _listed(f"{_named(doubled)}: one corner moved on more than one", "doubled")


def _listed(title: str, kind: str) -> dict[str, Any]:
    rows = [{"cause": c.cause, "look": c.look} for c in CAUSES[kind]]
    return {"title": title, "rows": rows}


def _named(outputs: tuple[int, ...] | list[int]) -> str:
    """'Output 2', 'Outputs 2 and 3'."""
    return f"Output{'s' * (len(outputs) > 1)} {listed(map(str, outputs))}"


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
    """The latest tap of each output, by output.

    `answer` is one tap or {"spins": [taps], "again": [outputs]?}.
    """
    if "spins" not in answer:
        return {tap["output"]: tap for tap in [read_tap(spec, answer)]}
    only(answer, ("spins", "again"))
    taps = answer["spins"]
    if not isinstance(taps, list | tuple):
        raise BadAnswer("spins", "This answer is not complete.")
    latest = {tap["output"]: tap for tap in (read_tap(spec, mapping(t, "spins")) for t in taps)}
    return {output: latest[output] for output in spec.outputs if output in latest}


def read_tap(spec: Spins, tap: Answer) -> dict[str, Any]:
    """One tap with its output as a number. Corner and turn belong to a motor that turned."""
    only(tap, ("output", "seen", "corner", "turn", "again"))
    read_again(spec, tap)
    output = _output(spec, tap.get("output"), "output")
    seen = word(tap.get("seen"), "seen", tuple(SEEN))
    read: dict[str, Any] = {"output": output, "seen": seen}
    if seen == "turned":
        read["corner"] = word(tap.get("corner"), "corner", CORNERS)
        read["turn"] = word(tap.get("turn"), "turn", tuple(TURNS))
    elif "corner" in tap or "turn" in tap:
        raise BadAnswer("corner", "A corner is recorded only where one motor turned.")
    return read


def read_again(spec: Spins, answer: Answer) -> tuple[int, ...]:
    """The outputs that are still to come in this round of spinning again."""
    outputs = answer.get("again", ())
    if not isinstance(outputs, list | tuple):
        raise BadAnswer("again", "This answer is not complete.")
    return tuple(_output(spec, output, "again") for output in outputs)


def _output(spec: Spins, value: object, field: str) -> int:
    written = "" if value is None else str(value)
    return int(word(written, field, [str(n) for n in spec.outputs]))


def _tapped(tap: Mapping[str, Any]) -> str:
    if tap["seen"] == "turned":
        return f"{tap['output']} {tap['corner']} {TURNS[tap['turn']]}"
    return f"{tap['output']} {SEEN[tap['seen']]}"
