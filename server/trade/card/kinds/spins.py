"""The spins of four motors: which corner each output moved, and which way."""

from collections.abc import Hashable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from server.trade.card.answers import Answer, BadAnswer, only, rows, word
from server.trade.card.judgement import Judgement, failed, more, passed
from server.trade.card.kind import Blank, PartKind, Results, register
from server.trade.card.kinds.order import EXAMPLE, OutputOrder
from server.trade.card.spec import Spec
from server.trade.card.text import counted, listed
from server.trade.motors.corners import CORNERS, PLANS, TURNS
from server.trade.motors.spin_findings import CAUSES
from server.trade.motors.spins import Spun, solve
from server.trade.motors.takeoff import Spin, pushes

SEEN = {
    "turned": "one motor turned",
    "nothing": "nothing turned",
    "stuttered": "it stuttered",
    "two": "two turned",
}
_CAUSES_OF = {"nothing": "dead", "stuttered": "stuttered", "two": "two"}
_SAYS_OF = {
    "nothing": "Nothing turned on output {n}.",
    "stuttered": "The motor on output {n} stuttered.",
    "two": "Output {n} turned two motors.",
}


@dataclass(frozen=True, slots=True)
class Spins(Spec):
    """`{"output": 1, "seen": "turned", "corner": "FL", "turn": "cw"}`, one entry a tap; `seen` is
    `turned`, `nothing`, `stuttered` or `two`; the latest tap of an output counts. In a round of
    spinning again a tap has `again`, the outputs still to come"""

    # `order` is the step whose recorded table says which corner each output has to drive.
    kind: ClassVar[str] = "spins"
    outputs: tuple[int, ...] = (1, 2, 3, 4)
    props: str = "props-in"
    order: str = "motors/order"


@dataclass(frozen=True, slots=True)
class Tap:
    """What was seen on one output; corner and turn where one motor turned, else empty."""

    output: int
    seen: str
    corner: str = ""
    turn: str = ""

    @property
    def turned(self) -> bool:
        """Whether one motor turned."""
        return self.seen == "turned"

    def as_json(self) -> dict[str, Any]:
        """As the answer has it."""
        where = {"corner": self.corner, "turn": self.turn} if self.turned else {}
        return {"output": self.output, "seen": self.seen} | where


@dataclass(frozen=True, slots=True)
class Taps:
    """The latest tap of each output, and the outputs that are to be spun again in this round."""

    by_output: Mapping[int, Tap]
    again: tuple[int, ...] = ()


@register
class SpinsKind(PartKind[Spins, Taps]):
    name = "spins"
    spec = Spins

    def read(self, spec: Spins, given: Answer) -> Taps:
        again = _read_again(spec, given)
        taps = [given]
        if "spins" in given:
            only(given, ("spins", "again"))
            taps = rows(given["spins"], "spins", "This answer is not complete.")
        read = [_read_tap(spec, tap) for tap in taps]
        return _in_order(spec, {tap.output: tap for tap in read}, again)

    def write(self, answer: Taps) -> dict[str, Any]:
        taps = [tap.as_json() for tap in answer.by_output.values()]
        to_come = {"again": list(answer.again)} if answer.again else {}
        return (taps[0] if len(taps) == 1 else {"spins": taps}) | to_come

    def judge(self, spec: Spins, answer: Taps, before: Results) -> Judgement:
        """Taps against the recorded order and the plan.

        While outputs are left in a round of spinning again, nothing is judged: some of what stands
        is from before the change. `result["again"]` are those to spin again.
        """
        taps = answer.by_output
        left = [output for output in spec.outputs if output not in taps]
        found = ", ".join(_tapped(tap) for tap in taps.values())
        if left:
            recorded = f"{len(taps)} of {counted(len(spec.outputs), 'output')} recorded."
            return more(recorded, f"Spin output {left[0]}.", found)
        order = before.at(spec.order, OutputOrder)
        if order is None or set(order.table) != set(spec.outputs):
            do = "Record the firmware's own order of outputs first."
            return more("All outputs are recorded; their order is not known.", do, found)
        if again := answer.again:
            says = f"{_named(again)} still to spin again."
            return more(says, f"Spin output {again[0]} again.", found, {"again": list(again)})
        return _spun(Solved.of(spec, taps, order.table), found)

    def parts(self, answer: Taps) -> frozenset[Hashable]:
        return frozenset(answer.by_output)

    def joined(self, spec: Spins, earlier: Taps, later: Taps) -> Taps:
        return _in_order(spec, {**earlier.by_output, **later.by_output}, later.again)

    def paper(self, spec: Spins) -> tuple[Blank, ...]:
        return tuple(Blank(f"output {n}: corner, which way") for n in spec.outputs)

    def example(self, spec: Spins) -> tuple[Taps, ...]:
        """Each output its corner of the example's order, as planned."""
        plan = PLANS[spec.props]
        taps = (
            Tap(n, "turned", corner, plan[corner])
            for n, corner in zip(spec.outputs, EXAMPLE, strict=True)
        )
        return tuple(Taps({tap.output: tap}) for tap in taps)


def _in_order(spec: Spins, taps: Mapping[int, Tap], again: tuple[int, ...]) -> Taps:
    return Taps({n: taps[n] for n in spec.outputs if n in taps}, again)


def _read_tap(spec: Spins, tap: Answer) -> Tap:
    only(tap, ("output", "seen", "corner", "turn", "again"))
    output = _output(spec, tap.get("output"), "output")
    seen = word(tap.get("seen"), "seen", tuple(SEEN))
    if seen == "turned":
        corner = word(tap.get("corner"), "corner", CORNERS)
        return Tap(output, seen, corner, word(tap.get("turn"), "turn", tuple(TURNS)))
    if "corner" in tap or "turn" in tap:
        raise BadAnswer("corner", "A corner is recorded only where one motor turned.")
    return Tap(output, seen)


def _read_again(spec: Spins, given: Answer) -> tuple[int, ...]:
    outputs = given.get("again", ())
    if not isinstance(outputs, list | tuple):
        raise BadAnswer("again", "This answer is not complete.")
    return tuple(_output(spec, output, "again") for output in outputs)


def _output(spec: Spins, value: object, field: str) -> int:
    written = "" if value is None else str(value)
    return int(word(written, field, [str(n) for n in spec.outputs]))


def _tapped(tap: Tap) -> str:
    if tap.turned:
        return f"{tap.output} {tap.corner} {TURNS[tap.turn]}"
    return f"{tap.output} {SEEN[tap.seen]}"


@dataclass(frozen=True)
class Solved:
    """Four taps, and what the solver makes of them; `silent` is what else than a turn was seen."""

    spec: Spins
    spun: Spun
    motors: tuple[Spin, ...]
    silent: Mapping[int, str]

    @classmethod
    def of(cls, spec: Spins, taps: Mapping[int, Tap], expect: Mapping[int, str]) -> "Solved":
        """The taps solved against the order `expect`."""
        motors = tuple(Spin(n, t.corner or None, t.turn or None) for n, t in taps.items())
        silent = {n: tap.seen for n, tap in taps.items() if not tap.turned}
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


def _spun(seen: Solved, found: str) -> Judgement:
    spun, result = seen.spun, _result(seen)
    if spun.verdict.ok:
        return passed("Each output moves its own corner, its own way.", "all four right", result)
    faults = [(_SAYS_OF[how].format(n=n), _first_look(how)) for n, how in seen.silent.items()]
    faults += [(f.says, f.do) for f in spun.findings if f.code != "motor-dead"]
    says = " ".join([*(says for says, _ in faults), spun.verdict.says])
    dos = dict.fromkeys(do for _, do in faults)
    return failed(says, " ".join([*dos, _then(seen)]), found, result)


def _then(seen: Solved) -> str:
    """What the change asks to be spun again, and what stays as it was seen."""
    kept = [n for n in seen.spec.outputs if n not in seen.again]
    stays = f"; {_named(kept).lower()} stay{'s' * (len(kept) == 1)} as recorded" if kept else ""
    return f"Then spin {_named(seen.again).lower()} again{stays}."


def _result(seen: Solved) -> dict[str, Any]:
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


def _causes(seen: Solved) -> Iterator[dict[str, Any]]:
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
