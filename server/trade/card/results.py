"""What was recorded at a step: read once, judged, merged with what was there before."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from server.trade.card.answers import Answer, BadAnswer, mapping
from server.trade.card.judgement import Judgement
from server.trade.card.kind import Blank, Results, kind_of
from server.trade.card.model import Step

NOTHING = Results({})


@dataclass(frozen=True)
class NewEntry:
    """An answer that was taken: as it is stored, and what the whole step is worth with it.

    `replaces` is the place of the earlier entry that it puts right.
    """

    stored: dict[str, Any]
    judgement: Judgement
    replaces: int | None


def take(step: Step, given: Answer, earlier: Sequence[Answer], before: Results) -> NewEntry:
    """Read what was posted at a step and judge it together with the step's earlier entries.

    `before` holds what is recorded at the steps that `step.reads`. Raises BadAnswer.
    """
    kind = kind_of(step.evidence)
    answer = read(step, given)
    entries = [_readable(step, each) for each in earlier]
    whole = kind.merge(step.evidence, [*entries, answer])
    judgement = judge(step, whole, before)
    return NewEntry(kind.write(answer), judgement, kind.replaced(entries, answer))


def stored(step: Step, given: Answer) -> dict[str, Any]:
    """What was posted at a step as it is stored. Raises BadAnswer."""
    return kind_of(step.evidence).write(read(step, given))


def read(step: Step, given: Answer) -> Any:
    """One entry as the typed answer of its kind. Raises BadAnswer."""
    return kind_of(step.evidence).read(step.evidence, mapping(given, "answer"))


def merged(step: Step, entries: Sequence[Answer]) -> Any | None:
    """All entries of one step, oldest first, as one typed answer.

    None where there is none, or none that can be read: an entry kept under an older reading of its
    kind still shows by what was found then, and counts for nothing new.
    """
    return kind_of(step.evidence).merge(step.evidence, [_readable(step, e) for e in entries])


def judge(step: Step, answer: Any, before: Results = NOTHING) -> Judgement:
    """What a typed answer is worth at `step`. Out of limits is a judgement, not an error."""
    return kind_of(step.evidence).judge(step.evidence, answer, before)


def blanks(step: Step) -> tuple[Blank, ...]:
    """Boxes and lines for the pen."""
    return kind_of(step.evidence).paper(step.evidence)


def example(step: Step) -> list[dict[str, Any]]:
    """Entries that pass this step together, as they are posted."""
    kind = kind_of(step.evidence)
    return [kind.write(answer) for answer in kind.example(step.evidence)]


def _readable(step: Step, entry: Answer) -> Any | None:
    try:
        return read(step, entry)
    except BadAnswer:
        return None
