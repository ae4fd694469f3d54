"""The card at the top: the step to do now, with its form, or what opens it."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from server.trade.card import Hazard
from server.web.bench import posted
from server.web.bench.found import Result, Shown
from server.web.bench.kind_view import Asking, Here, Layout, Turn
from server.web.bench.kinds import found_of, view_of
from server.web.bench.posted import typed_words
from server.web.bench.progress import stale_because
from server.web.bench.shut import Shut
from server.web.bench.state import BenchState
from server.web.site.errors import Refusal
from server.web.site.forms import Form
from server.work.bench.step_status import StepStatus

MARKS = {
    "stale": "to do again",
    "out": "out of limits",
    "done": "recorded; a new entry corrects it",
}


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
    template: str
    layout: Layout
    ask: object
    whole: bool
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


def first_open(look: BenchState) -> StepStatus | None:
    """The step to do now: a new battery's current, what has to be done again, the card's order."""
    first = look.situation.first_power
    due = look.standing(first.key) if first else None
    if due and not due.waits_for and look.power.state in due.step.states:
        return due
    ready = [s for s in look.steps if not s.done and not s.waits_for]
    again = [s for s in ready if s.mark in ("stale", "out")]
    return next(iter(again or ready), None)


def now_of(look: BenchState, standing: StepStatus, turn: Turn, sent: Sent | None = None) -> Now:
    """The Do now card of one step, as it stands or as it came back."""
    step, address = standing.step, look.step_address(standing.step.key)
    here = Here(standing, {s.step.key: s for s in look.steps}, turn, address, look.clock)
    view, shut = view_of(step), look.shut(standing)
    asking: Asking = view.ask(step.evidence, here)
    form = sent.form if sent else posted.blank(standing)
    handed = tuple(_handed_on(here))
    return Now(
        key=step.key,
        number=step.number,
        eyebrow=_eyebrow(look, standing),
        title=step.title if shut else asking.title or step.title,
        hazard=step.hazard,
        do=step.do,
        target=step.target,
        why=step.why,
        source=step.source,
        template=view.template,
        layout=view.layout,
        ask=asking.data,
        whole=asking.whole and not shut,
        action=f"{address}/{'file' if view.layout.attaches else 'evidence'}",
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
        result=None if asking.hides_result else found_of(here),
        notes=tuple(says for says, _ in handed),
        shown=view.shown(step.evidence) or next((shown for _, shown in handed), None),
        unsent=typed_words(step, form) if sent and shut else (),
    )


def _handed_on(here: Here) -> Iterator[tuple[str, Shown]]:
    """What steps before this one worked out for it: the arming range, from the switch."""
    for standing in (here.others[key] for key in here.step.after if key in here.others):
        found = found_of(replace(here, standing=standing)) if standing.done else None
        shown = view_of(standing.step).hands_on(found) if found else None
        if found and shown:
            yield f"From {standing.step.number}: {found.worth.says}", shown


def _eyebrow(look: BenchState, standing: StepStatus) -> str:
    stages = look.work.facts.card.stages if look.work else ()
    stage = next(s for s in stages if s.key == standing.step.stage)
    where = f"stage {stage.number} of {len(stages)}: {stage.title.lower()}"
    state = MARKS.get(standing.mark)
    return f"{where[0].upper()}{where[1:]}, {state}" if state else f"Do now, {where}"
