"""The card at the top: the step to do now, with its form, or what opens it."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from server.trade.card import Hazard
from server.trade.card.evidence import Faces, Field, Spec, Spins, Value
from server.trade.card.text import plain
from server.trade.motors.corners import CORNERS, PLACES
from server.web.bench.hidden_fields import CARRIED
from server.web.bench.kinds import forms
from server.web.bench.kinds.answer import whole_answer
from server.web.bench.kinds.drawn import Result, field_drawn, judged, result_of
from server.web.bench.kinds.motors import Round, outputs_moved, rounds_of, tap_says
from server.web.bench.kinds.mounting import Held, poses_asked, poses_read
from server.web.bench.kinds.shown import Shown, shown_of
from server.web.bench.partial import Stepping, stepping_of
from server.web.bench.progress import stale_because
from server.web.bench.shut import Shut
from server.web.bench.state import Look
from server.web.site.errors import Refusal
from server.web.site.forms import Form
from server.web.ticket.frame import stamped
from server.work.bench.step_status import Standing

KINDS = {
    "stale": "to do again",
    "out": "out of limits",
    "done": "recorded; a new entry corrects it",
}


@dataclass(frozen=True)
class Ask:
    """One measured field. `limits`: its ends as text, where it has both."""

    name: str
    label: str
    unit: str
    hint: str
    limits: tuple[str, str] | None
    drawing: str
    optional: bool = False


@dataclass(frozen=True)
class Output:
    """One output of the spins: `state` is seen, now or next."""

    number: int
    state: str
    says: str


@dataclass(frozen=True)
class Corner:
    """One corner seen from above; `output` is the one that was seen to drive it, 0 for none."""

    name: str
    place: str
    output: int


@dataclass(frozen=True)
class Spinning:
    """The spin recorder: the output asked for now, and the tap before it.

    `again` names those that are still to come in a round of spinning again.
    """

    output: int
    again: str
    outputs: tuple[Output, ...]
    corners: tuple[Corner, ...]
    recorded: str
    correct: int


@dataclass(frozen=True)
class Theirs:
    """What another hand recorded first, beside what was sent here."""

    says: str
    yours: tuple[str, ...]
    sent: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Now:
    """Everything that the Do now card shows of one step."""

    key: str
    number: str
    eyebrow: str
    title: str
    hazard: Hazard | None
    do: tuple[str, ...]
    target: str
    why: str
    source: str
    kind: str
    spec: Spec
    action: str
    page: str
    form: Form[Any]
    act_key: str
    basis: str
    seen: int
    powered: bool
    shut: Shut | None
    refused: Refusal | None
    theirs: Theirs | None
    mark: str
    because: str
    result: Result | None
    asks: tuple[Ask, ...]
    poses: tuple[Held, ...]
    held: tuple[Held, ...]
    spinning: Spinning | None
    stepping: Stepping | None
    rounds: tuple[Round, ...]
    notes: tuple[str, ...]
    shown: Shown | None
    unsent: tuple[str, ...]


@dataclass(frozen=True)
class Sent:
    """What came back with a refusal: the form as typed, its key, and why it was not taken."""

    form: Form[Any]
    act_key: str
    refused: Refusal | None = None
    theirs: Theirs | None = None


@dataclass(frozen=True)
class Turn:
    """Which output of the spins is asked for by name, and those to come after it in its round.

    `part`: the stick or the channel, of steps that are recorded one by one; or 'all' of them.
    """

    output: int | None = None
    again: tuple[int, ...] = ()
    part: str = ""


def first_open(look: Look) -> Standing | None:
    """The step to do now: a new battery's current, what has to be done again, the card's order."""
    first = look.situation.first_power
    due = look.standing(first.key) if first else None
    if due and not due.waits_for and look.power.state in due.step.states:
        return due
    ready = [s for s in look.steps if not s.done and not s.waits_for]
    again = [s for s in ready if s.mark in ("stale", "out")]
    return next(iter(again or ready), None)


def now_of(look: Look, standing: Standing, turn: Turn, sent: Sent | None = None) -> Now:
    """The Do now card of one step, as it stands or as it came back."""
    step, others = standing.step, {s.step.key: s for s in look.steps}
    spinning = _spinning(look, standing, turn, others)
    stepping = stepping_of(standing, whole_answer(standing), judged(standing, others), turn.part)
    result = None if stepping and standing.mark == "more" else result_of(standing, others)
    shut = look.shut(standing)
    form = sent.form if sent else forms.blank(step, whole_answer(standing))
    address = look.step_address(step.key)
    return Now(
        key=step.key,
        number=step.number,
        eyebrow=_eyebrow(look, standing),
        title=f"Spin output {spinning.output}. What turned, and which way?"
        if spinning and not shut
        else (stepping.title if stepping and not shut else "") or step.title,
        hazard=step.hazard,
        do=step.do,
        target=step.target,
        why=step.why,
        source=step.source,
        kind=step.evidence.kind,
        spec=step.evidence,
        action=f"{address}/{'file' if step.evidence.kind in ('file', 'photo') else 'evidence'}",
        page=address,
        form=form,
        act_key=sent.act_key if sent else "",
        basis=step.basis,
        seen=standing.entries[-1].id if standing.entries else 0,
        powered=step.needs_battery,
        shut=shut,
        refused=sent.refused if sent else None,
        theirs=sent.theirs if sent else None,
        mark=standing.mark,
        because=stale_because(look, standing) if standing.mark == "stale" else "",
        result=result,
        asks=_asks(step.evidence),
        poses=poses_asked(step.evidence) if isinstance(step.evidence, Faces) else (),
        held=poses_read() if isinstance(step.evidence, Faces) else (),
        spinning=spinning,
        stepping=stepping,
        rounds=_rounds(standing, others, result, address),
        notes=_notes(standing, others),
        shown=shown_of(step.evidence) or _range_shown(standing, others),
        unsent=typed_words(form) if sent and shut else (),
    )


def typed_words(form: Form[Any]) -> tuple[str, ...]:
    """What was typed or tapped, to be shown where it cannot be given back in its field."""
    hidden = (*CARRIED, "output", "again", "kept")
    pairs = [(name, text) for name, texts in form.typed.items() for text in texts if text]
    return tuple(_named(name, text) for name, text in pairs if name not in hidden)


def _named(name: str, text: str) -> str:
    inner = name[name.index("[") + 1 : -1] if name.endswith("]") and "[" in name else ""
    return f"{inner} {text}".strip()


def _eyebrow(look: Look, standing: Standing) -> str:
    stages = look.work.facts.card.stages if look.work else ()
    stage = next(s for s in stages if s.key == standing.step.stage)
    where = f"stage {stage.number} of {len(stages)}: {stage.title.lower()}"
    state = KINDS.get(standing.mark)
    return f"{where[0].upper()}{where[1:]}, {state}" if state else f"Do now, {where}"


def _asks(spec: Spec) -> tuple[Ask, ...]:
    return tuple(_ask(field) for field in spec.fields) if isinstance(spec, Value) else ()


def _ask(field: Field) -> Ask:
    low, high = (None if n is None else plain(n) for n in (field.low, field.high))
    both = (low, high) if low is not None and high is not None else None
    hint = ""
    if both:
        hint = f"Target {low} to {high} {field.unit}"
    elif field.optional:
        hint = "May be left blank"
    elif field.near:
        near = field.near
        hint = (
            f"Within {plain(near.by)} {field.unit} or {plain(near.percent)} % of the {near.field}"
        )
    return Ask(
        field.name,
        field.label,
        field.unit,
        hint,
        both,
        field_drawn(field, None, f"ask-{field.name}"),
        field.optional,
    )


def _range_shown(standing: Standing, others: Mapping[str, Standing]) -> Shown | None:
    """The arming range drawn, where the step before worked it out."""
    switch = _switch_before(standing, others)
    found = result_of(switch, others) if switch else None
    return Shown(drawing=found.drawing) if found else None


def _switch_before(standing: Standing, others: Mapping[str, Standing]) -> Standing | None:
    """The arm switch's readings, where they are done and a step of their stage comes after them."""
    before = (others[key] for key in standing.step.after if key in others)
    return next(
        (
            s
            for s in before
            if s.step.evidence.kind == "switch" and s.done and s.step.stage == standing.step.stage
        ),
        None,
    )


def _notes(standing: Standing, others: Mapping[str, Standing]) -> tuple[str, ...]:
    """What an earlier step worked out for this one: the arming range, from the switch."""
    switch = _switch_before(standing, others)
    found = judged(switch, others) if switch else None
    return (f"From {switch.step.number}: {found.says}",) if switch and found else ()


def _spinning(
    look: Look, standing: Standing, turn: Turn, others: Mapping[str, Standing]
) -> Spinning | None:
    """None where all outputs are recorded and none was asked for: the result shows then."""
    spec = standing.step.evidence
    if not isinstance(spec, Spins):
        return None
    taps = {int(t["output"]): t for t in (whole_answer(standing) or {"spins": []})["spins"]}
    found = judged(standing, others)
    due = tuple(found.result.get("again", ())) if found and found.state == "more" else ()
    asked = _asked(spec, turn, [n for n in spec.outputs if n not in taps], due)
    if asked is None:
        return None
    to_come = turn.again or tuple(n for n in due if n != asked)
    last = standing.entries[-1] if standing.entries else None
    recorded, correct = "", 0
    if last is not None:
        tap = whole_last(standing)
        correct = int(tap["output"])
        recorded = (
            f"output {correct}: {tap_says(tap)}, {last.by_name}, {stamped(last, look.clock)}."
        )
    stands = {n: tap for n, tap in taps.items() if n not in to_come}
    return Spinning(
        asked,
        ",".join(map(str, to_come)),
        tuple(_output(n, asked, stands) for n in spec.outputs),
        _corners(stands, asked),
        recorded,
        correct,
    )


def _asked(spec: Spins, turn: Turn, left: list[int], due: tuple[int, ...]) -> int | None:
    """The output named, else the first that was never recorded or is to be spun again."""
    return turn.output if turn.output in spec.outputs else next(iter([*left, *due]), None)


def _rounds(
    standing: Standing, others: Mapping[str, Standing], result: Result | None, page: str
) -> tuple[Round, ...]:
    """The ways to spin again: what changed first, then all four."""
    spec = standing.step.evidence
    if not isinstance(spec, Spins) or result is None:
        return ()
    again = result.again
    if not again and standing.mark == "stale" and spec.order in others:
        spun = [(e.id, json.loads(e.answer)) for e in standing.entries]
        orders = [(e.id, json.loads(e.answer)) for e in others[spec.order].entries]
        again = outputs_moved(spun, orders)
    return rounds_of(page, spec.outputs, again)


def whole_last(standing: Standing) -> Mapping[str, Any]:
    """The newest tap by itself."""
    return dict(json.loads(standing.entries[-1].answer))


def _output(number: int, asked: int, taps: Mapping[int, Mapping[str, Any]]) -> Output:
    if number == asked:
        return Output(number, "now", "spin now")
    if number in taps:
        return Output(number, "seen", _short(taps[number]))
    return Output(number, "next", "next")


def _short(tap: Mapping[str, Any]) -> str:
    return f"{tap['corner']} {tap['turn']}" if tap["seen"] == "turned" else tap_says(tap)


def _corners(taps: Mapping[int, Mapping[str, Any]], asked: int) -> tuple[Corner, ...]:
    held = {t["corner"]: n for n, t in taps.items() if t["seen"] == "turned" and n != asked}
    return tuple(Corner(c, PLACES[c], held.get(c, 0)) for c in CORNERS)
