"""The card as a table: a row a step, a fold a stage, and the punched edge above them."""

from dataclasses import dataclass

from server.trade.card import Stage
from server.trade.gate import Blocked, current_first, waits_for, wrong_power
from server.web.bench.kinds import view_of
from server.web.bench.state import BenchState
from server.web.site.parts import StageCell, StepRow, StepState
from server.web.ticket.frame import arrived
from server.work.bench.situation import step_task
from server.work.bench.step_status import StepStatus

STATES: dict[str, StepState] = {
    "todo": "todo",
    "done": "done",
    "out": "out",
    "stale": "stale",
    "more": "more",
}


@dataclass(frozen=True)
class More:
    """What a row that asks for a hand says beneath it."""

    says: str
    do: str
    drawing: str
    label: str
    href: str


@dataclass(frozen=True)
class StepLine:
    """A step's row, and what to do where it is not right."""

    row: StepRow
    more: More | None


@dataclass(frozen=True)
class StageView:
    """A stage of the card. `changed`: the last act touched it, so htmx gets it anew."""

    key: str
    number: int
    title: str
    short: str
    note: str
    states: tuple[StepState, ...]
    open: bool
    changed: bool
    lines: tuple[StepLine, ...]


def stage_views(look: BenchState, current: str, touched: str = "") -> tuple[StageView, ...]:
    """Every stage; `current` is the step asked for now, `touched` the one just recorded."""
    if look.work is None:
        return ()
    stands = {s.step.key: s for s in look.steps}
    found = []
    for stage in look.work.facts.card.stages:
        steps = [stands[step.key] for step in stage.steps]
        found.append(_stage(look, stage, steps, current, touched))
    return tuple(found)


def cells(stages: tuple[StageView, ...], current: str) -> tuple[StageCell, ...]:
    """The punched edge, from the same stages; `current` is the stage of the step asked for."""
    return tuple(
        StageCell(s.number, s.short, f"#stage-{s.key}", s.states, s.key == current) for s in stages
    )


def state_of(look: BenchState, standing: StepStatus) -> StepState:
    """The mark of a step in the table."""
    if standing.mark == "todo" and _locked(look, standing):
        return "locked"
    return STATES[standing.mark]


def _locked(look: BenchState, standing: StepStatus) -> Blocked | None:
    """What a step waits for, in the table: other steps, and a battery; USB is at hand."""
    task, now = step_task(standing), look.situation
    return (
        waits_for(task)
        or current_first(task, now)
        or (wrong_power(task, now) if standing.step.needs_battery else None)
    )


def _stage(
    look: BenchState, stage: Stage, steps: list[StepStatus], current: str, touched: str
) -> StageView:
    marks = [s.mark for s in steps]
    here = any(s.step.key == current for s in steps)
    begun = any(m != "todo" for m in marks) and not all(m == "done" for m in marks)
    return StageView(
        key=stage.key,
        number=stage.number,
        title=stage.title,
        short=stage.short,
        note=_note(look, steps),
        states=tuple(state_of(look, s) for s in steps),
        open=here or begun,
        changed=bool(touched) and (here or any(_follows(s, touched) for s in steps)),
        lines=tuple(_line(look, s) for s in steps),
    )


def _follows(standing: StepStatus, touched: str) -> bool:
    step = standing.step
    return touched in (step.key, *step.after, *step.reads)


def _note(look: BenchState, steps: list[StepStatus]) -> str:
    marks = [s.mark for s in steps]
    said = [f"{marks.count('done')} of {len(marks)} done"]
    if again := marks.count("stale"):
        said.append(f"{again} to do again")
    if out := marks.count("out"):
        said.append(f"{out} out of limits")
    last = max((s.last for s in steps if s.last), key=lambda e: e.id, default=None)
    if len(said) == 1 and last and marks.count("done") == len(marks):
        said = [
            f"{len(marks)} of {len(marks)}",
            f"{last.initials} {look.clock.clock(last.made_at)}",
        ]
    return ", ".join(said)


def _line(look: BenchState, standing: StepStatus) -> StepLine:
    step, last = standing.step, standing.last
    state = state_of(look, standing)
    row = StepRow(
        key=slug(step.key),
        number=step.number,
        state=state,
        do=step.title,
        href=look.step_address(step.key),
        why=_why(look, standing, state),
        target=step.target,
        found=last.found if last else "",
        found_note=_found_note(look, standing),
        initials=last.initials if last else "",
        at=look.clock.clock(last.made_at) if last else "",
        revision=look.stale_since(standing),
    )
    return StepLine(row, _more(look, standing))


def slug(key: str) -> str:
    """A step's key as part of an id: no slash, no space."""
    return "-".join(key.replace("/", " ").split())


def _why(look: BenchState, standing: StepStatus, state: StepState) -> str:
    if state == "stale":
        return stale_because(look, standing)
    blocked = _locked(look, standing) if state == "locked" else None
    return blocked.row if blocked else ""


def stale_because(look: BenchState, standing: StepStatus) -> str:
    """Why a step is to be done again."""
    if standing.entries:
        return f"{look.numbers(standing.step.reads)} was recorded anew after this."
    revision = look.stale_since(standing)
    return f"Map revision {revision} changed what this step rests on." if revision else ""


def _found_note(look: BenchState, standing: StepStatus) -> str:
    last = standing.last
    if last is None:
        return ""
    under = f"under map revision {last.revision}" if standing.mark == "stale" else ""
    return ", ".join(filter(None, (under, arrived(last, look.clock))))


def _more(look: BenchState, standing: StepStatus) -> More | None:
    if standing.mark not in ("out", "stale"):
        return None
    step, last = standing.step, standing.last
    href = look.step_address(step.key)
    if standing.mark == "stale" or last is None:
        return More("", "", "", f"Do step {step.number} again", href)
    answer, prefix = standing.answer, f"row-{slug(step.key)}"
    drawing = "" if answer is None else view_of(step).row_drawing(step.evidence, answer, prefix)
    return More(last.says, last.do, drawing, f"Do step {step.number} again", href)
