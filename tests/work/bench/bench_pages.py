"""What a page showed, kept, so that an act can be sent from it later, when it is stale."""

from dataclasses import dataclass
from typing import Any

from server.records.columns import core
from server.records.engine import reading
from server.records.tables import MapDraft
from server.trade.card import Step, example
from server.work.bench.progress import work_of
from server.work.shop import Shop
from tests import make


@dataclass(frozen=True)
class Shown:
    """One step on a page: its target, and the newest entry that the page knew of."""

    step: Step
    done: bool
    seen: int


@dataclass(frozen=True)
class Page:
    """A ticket as somebody had it on the screen."""

    number: int
    power: str
    steps: tuple[Shown, ...]
    draft: int
    findings: tuple[str, ...]

    def open(self) -> tuple[Shown, ...]:
        """The steps that were not done, in their order."""
        return tuple(shown for shown in self.steps if not shown.done)


def page_of(shop: Shop, number: int) -> Page:
    """The ticket as it is shown now."""
    head = make.head(shop, number)
    draft = core(MapDraft)
    with reading(shop.engine) as connection:
        work = work_of(connection, head)
        version = connection.execute(
            draft.select().with_only_columns(draft.c.version).where(draft.c.ticket_id == head.id)
        ).scalar()
    steps = work.steps if work else ()
    shown = (Shown(s.step, s.done, s.last.id if s.last else 0) for s in steps)
    found = tuple(f.key for f in work.facts.cautions) if work else ()
    return Page(number, head.power, tuple(shown), version or 0, found)


def bad_answer(step: Step) -> dict[str, Any]:
    """An answer that can be read and does not pass, where the step has one."""
    spec: Any = step.evidence
    if spec.kind == "choice":
        failing = [option.value for option in spec.options if not option.passes]
        return {"choice": failing[0]} if failing else example(step)[0]
    if spec.kind == "value":
        return {"values": {each.name: "99999" for each in spec.fields}}
    if spec.kind == "spins":
        return {"output": 1, "seen": "nothing"}
    return example(step)[0]
