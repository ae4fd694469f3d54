"""The page of the bench card: its prose is written by hand, its steps are made from the code."""

from collections.abc import Iterable, Iterator
from pathlib import Path

from server.trade.card import KINDS, SETTINGS, Card, Stage, Step, derive
from server.trade.power import Power
from tests import example_sheet
from tests.trade.card import fitted

PAGE = Path(__file__).parent / "bench-card.md"
MADE_FROM_HERE = "\n## Steps\n"
EVIDENCE, AFTER_IT = "\n## Evidence\n", "\n\nOut of limits is an answer"  # the kinds stand between
EXPLAINED = """\
The steps of the build-sheet format's example, with every further kind of part fitted. A step marked
+ is not on the example's own card. Targets are those of this craft. From here on the page is made
by `python -m docs.generate`."""


def bench_card() -> str:
    """The page: all before the steps as it stands but for the kinds, then steps and settings."""
    by_hand = PAGE.read_text("utf-8").partition(MADE_FROM_HERE)[0] + MADE_FROM_HERE
    before, _, rest = by_hand.partition(EVIDENCE)
    by_hand = before + EVIDENCE + "\n" + _kinds() + AFTER_IT + rest.partition(AFTER_IT)[2]
    plain, all_fitted = derive(example_sheet.sheet()), derive(fitted.sheet())
    made = [EXPLAINED.replace("\n", " "), *_stages(plain, all_fitted), _settings()]
    return by_hand + "\n" + "\n\n".join(made) + "\n"


def _kinds() -> str:
    """Every kind of result with the shape of its answer, as the docstring of its spec has it."""
    rows = (
        (f"`{name}`", " ".join((kind.spec.__doc__ or "").split()))
        for name, kind in sorted(KINDS.items())
    )
    return _table(("kind", "answer"), rows)


def _stages(plain: Card, all_fitted: Card) -> Iterator[str]:
    own = {step.key for step in plain.steps()}
    for stage in all_fitted.stages:
        yield _stage(stage, own)


def _stage(stage: Stage, own: set[str]) -> str:
    head = ("step", "target", "power", "evidence", "rests on", "source")
    return f"### {stage.title}\n\n" + _table(head, (_row(step, own) for step in stage.steps))


def _row(step: Step, own: set[str]) -> tuple[str, ...]:
    mark = "" if step.key in own else " +"
    power = ", ".join(state.value for state in Power if state in step.states)
    hazard = f"; {step.hazard.word}" if step.hazard else ""
    rests = ", ".join(step.basis_parts) if len(step.basis_parts) <= 6 else _long(step)
    title = f"**{step.title}**{mark}<br>`{step.key}`"
    return title, step.target, power + hazard, step.evidence.kind, rests or "–", step.source


def _long(step: Step) -> str:
    first = list(step.basis_parts)[:3]
    return f"{', '.join(first)} and {len(step.basis_parts) - len(first)} more"


def _settings() -> str:
    rows = ((f"`{setting.key}`", setting.says) for setting in SETTINGS)
    says = (
        "Steps speak in words that hold for any set-up program. A shop may enter what its own "
        "program calls a setting, and its cards then say both. None of it is shipped."
    )
    return f"## Settings that a shop may name\n\n{says}\n\n" + _table(("key", "is"), rows)


def _table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [heads, tuple("---" for _ in heads), *rows]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)
