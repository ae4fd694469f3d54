"""The spins of the motors: one tap for corner and turn, then what to change and to spin again."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from server.drawing.craft.motors import craft_from_above
from server.drawing.craft.take_off import take_off
from server.trade.card import Judgement
from server.trade.card.kinds.order import OutputOrder
from server.trade.card.kinds.spins import Spins, Tap, Taps
from server.trade.card.text import listed
from server.trade.motors.corners import AXES, CORNERS, OTHER_PLAN, PLACES, PLANS, TURNS
from server.web.bench.found import NO_GRID, Causes, Grid, Result, causes_of
from server.web.bench.hidden_fields import Carried
from server.web.bench.kind_view import Asking, Here, KindView, Layout, Posted, Turn, register_view
from server.web.bench.spin_rounds import Round, outputs, outputs_moved, rounds_of
from server.web.site.forms import Form
from server.web.ticket.frame import stamped
from server.work.bench.step_status import answer_of

_SEEN = {"nothing": "nothing turned", "stuttered": "stuttered", "two": "two turned"}


class SpinForm(Carried):
    """One tap: 'FL ccw' where a motor turned, else what was seen. `again`: '3,4', still to come."""

    output: str = ""
    tap: str = ""
    again: str = ""


@dataclass(frozen=True)
class OutputAsked:
    """One output of the spins: `state` is seen, now or next."""

    number: int
    state: str
    says: str


@dataclass(frozen=True)
class CornerAsked:
    """One corner seen from above; `output` is the one that was seen to drive it, 0 for none."""

    name: str
    place: str
    output: int


@dataclass(frozen=True)
class SpinsAsk:
    """The spin recorder: the output asked for now (0: none, the result shows), and the tap before.

    `again` names those that are still to come in a round of spinning again; `rounds` are the ways
    to begin one.
    """

    output: int
    again: str
    outputs: tuple[OutputAsked, ...]
    corners: tuple[CornerAsked, ...]
    recorded: str
    correct: int
    rounds: tuple[Round, ...]


@dataclass(frozen=True, kw_only=True)
class SpinsResult(Result):
    """The verdict with its picture, then what to do about each output."""

    verdict: str = ""
    picture: str = ""
    drawing: str = ""
    steps: tuple[str, ...] = ()
    grid: Grid = NO_GRID
    causes: tuple[Causes, ...] = ()
    points: tuple[str, ...] = ()
    loop: Grid | None = None


@register_view
class SpinsView(KindView[Spins, Taps, SpinForm]):
    name = "spins"
    form = SpinForm
    layout: ClassVar[Layout] = Layout(
        wide=False,
        folds_how=True,
        says_found=False,
        stays=True,
        attaches=False,
        refills=False,
        unseen=("output", "again"),
    )

    def answer(self, spec: Spins, given: SpinForm) -> Posted:
        corner, _, turn = given.tap.partition(" ")
        to_come = {"again": list(outputs(given.again))} if given.again else {}
        if turn:
            seen = {"output": given.output, "seen": "turned", "corner": corner, "turn": turn}
            return seen | to_come
        return {"output": given.output, "seen": corner} | to_come

    def field(self, path: list[str], given: SpinForm) -> str:
        return ""

    def typed(self, answer: Taps) -> dict[str, Any]:
        tap = next(iter(answer.by_output.values()))
        again = {"again": ",".join(map(str, answer.again))} if answer.again else {}
        seen = f"{tap.corner} {tap.turn}" if tap.turned else tap.seen
        return {"output": str(tap.output), "tap": seen} | again

    def ask(self, spec: Spins, here: Here) -> Asking:
        taps = (here.standing.answer or Taps({})).by_output
        found, turn = here.judgement, here.turn
        due = tuple(found.result.get("again", ())) if found and found.state == "more" else ()
        asked = _asked(spec, turn, [n for n in spec.outputs if n not in taps], due)
        if not asked:
            every = tuple(_output(n, 0, taps) for n in spec.outputs)
            return Asking(SpinsAsk(0, "", every, (), "", 0, _rounds(spec, here)))
        to_come = turn.again or tuple(n for n in due if n != asked)
        stands = {n: tap for n, tap in taps.items() if n not in to_come}
        recorded, correct = _last(here)
        data = SpinsAsk(
            asked,
            ",".join(map(str, to_come)),
            tuple(_output(n, asked, stands) for n in spec.outputs),
            _corners(stands, asked),
            recorded,
            correct,
            (),
        )
        return Asking(data, f"Spin output {asked}. What turned, and which way?", whole=True)

    def found(self, spec: Spins, answer: Taps, judgement: Judgement, here: Here) -> SpinsResult:
        result = judgement.result
        if judgement.state == "more" or not result:
            return SpinsResult(worth=judgement)
        taps = answer.by_output
        order = here.first((spec.order,), OutputOrder) or OutputOrder({})
        verdict, steps = result["verdict"], _steps(spec, taps, result)
        pictured = result["pushes"] and take_off(
            verdict, result["over"], result["pushes"], "verdict"
        )
        rows = tuple(_spin_row(spec, n, taps[n], order.table.get(n)) for n in spec.outputs)
        return SpinsResult(
            worth=replace(judgement, do="") if steps else judgement,
            verdict=verdict["says"],
            picture=pictured or "",
            drawing=_craft(spec, taps),
            steps=steps,
            grid=Grid(("Output", "Result", "Wanted"), rows),
            causes=causes_of(result),
            points=_as_table(taps) if result["exchange"] else (),
            loop=_loop(result["loop"]),
        )

    def turn(self, form: Form[Any]) -> Turn:
        """The output that was sent, and those still to come."""
        output = form.text("output")
        number = int(output) if output.isdecimal() else None
        return Turn(number, outputs(form.text("again")))

    def said(self, number: str, answer: Taps, found: str) -> str:
        """The tap, since the step's number says little while four are recorded."""
        (tap,) = answer.by_output.values()
        return f"Output {tap.output} recorded: {_tap_says(tap)}"


def _asked(spec: Spins, turn: Turn, left: list[int], due: tuple[int, ...]) -> int:
    """The output named, else the first that was never recorded or is to be spun again; 0: none."""
    if turn.output is not None and turn.output in spec.outputs:
        return turn.output
    return next(iter([*left, *due]), 0)


def _last(here: Here) -> tuple[str, int]:
    """The newest tap in words, and its output."""
    entry = here.standing.entries[-1] if here.standing.entries else None
    taps: Taps | None = answer_of(here.step, entry) if entry else None
    if entry is None or taps is None:
        return "", 0
    tap = next(iter(taps.by_output.values()))
    who = f"{entry.by_name}, {stamped(entry, here.clock)}"
    return f"output {tap.output}: {_tap_says(tap)}, {who}.", tap.output


def _rounds(spec: Spins, here: Here) -> tuple[Round, ...]:
    """The ways to spin again: what changed first, then all four."""
    found = here.judgement
    if found is None:
        return ()
    again = tuple(found.result.get("again", ())) if found.state != "more" else ()
    if not again and here.standing.mark == "stale" and spec.order in here.others:
        again = outputs_moved(here.standing, here.others[spec.order])
    return rounds_of(here.page, spec.outputs, again)


def _output(number: int, asked: int, taps: Mapping[int, Tap]) -> OutputAsked:
    if number == asked:
        return OutputAsked(number, "now", "spin now")
    if number in taps:
        tap = taps[number]
        short = f"{tap.corner} {tap.turn}" if tap.turned else _tap_says(tap)
        return OutputAsked(number, "seen", short)
    return OutputAsked(number, "next", "next")


def _corners(taps: Mapping[int, Tap], asked: int) -> tuple[CornerAsked, ...]:
    held = {tap.corner: n for n, tap in taps.items() if tap.turned and n != asked}
    return tuple(CornerAsked(c, PLACES[c], held.get(c, 0)) for c in CORNERS)


def _tap_says(tap: Tap) -> str:
    """'RR clockwise', or what else was seen."""
    return f"{tap.corner} {TURNS[tap.turn]}" if tap.turned else _SEEN[tap.seen]


def _steps(spec: Spins, taps: Mapping[int, Tap], result: Mapping[str, Any]) -> tuple[str, ...]:
    """What to do, in order, a line each; nothing where all is right."""
    again = result["again"]
    if not again:
        return ()
    looks = [
        f"{each['title'].partition(':')[0]}: {_lower(each['rows'][0]['look'])}"
        for each in result["likely"]
    ]
    moves = [
        f"Give {taps[int(n)].corner}, now on output {n}, to output {to}."
        for n, to in result["exchange"].items()
    ]
    # Where two outputs moved one corner, which of them drives it comes before its direction.
    wrong = [n for n in result["reverse"] if n not in result["doubled"]]
    turns = [
        f"Reverse {taps[n].corner}, on output {n}: in the ESC, or exchange two of the "
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


def _craft(spec: Spins, taps: Mapping[int, Tap]) -> str:
    turned = [(n, tap) for n, tap in taps.items() if tap.turned]
    moved = {tap.corner: tap.turn for _, tap in turned}
    labels = {
        corner: "output " + " and ".join(str(n) for n, tap in turned if tap.corner == corner)
        for corner in moved
    }
    # Which corners turned where an output turned two is not known: those are left open.
    known = moved if any(tap.seen == "two" for tap in taps.values()) else CORNERS
    found = {corner: moved.get(corner) for corner in known}
    return craft_from_above(PLANS[spec.props], found, labels, "result")


def _spin_row(spec: Spins, output: int, tap: Tap, corner: str | None) -> tuple[str, ...]:
    wanted = f"{corner} {TURNS[PLANS[spec.props][corner]]}" if corner else ""
    return (str(output), _tap_says(tap), wanted)


def _as_table(taps: Mapping[int, Tap]) -> tuple[str, ...]:
    """For firmware that takes a table of outputs, and has no order of its own."""
    drives = ", ".join(
        f"{n} {tap.corner}" if tap.turned else f"{n} not known" for n, tap in sorted(taps.items())
    )
    return (
        f"As found, output by output: {drives}. Where the firmware takes such a table, enter this "
        "one, and record it as the order that the firmware expects.",
    )


def _loop(matrix: list[list[float]]) -> Grid | None:
    """The loop matrix: for each correction asked for, what comes on each axis."""
    if not matrix:
        return None
    rows = zip(AXES, matrix, strict=True)
    heads = ("What comes", *(f"{axis} asked" for axis in AXES))
    return Grid(
        heads,
        tuple(
            (axis, *(f"{x:+.2g}".replace("-", "−") if x else "0" for x in row))
            for axis, row in rows
        ),
    )
