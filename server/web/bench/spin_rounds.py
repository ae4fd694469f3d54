"""Spinning motors again after a change: which outputs, and the way to begin."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.trade.card.kinds.order import OutputOrder
from server.trade.card.kinds.spins import Taps
from server.trade.card.text import listed
from server.work.bench.step_status import StepStatus, answer_of


@dataclass(frozen=True)
class Round:
    """A way to spin again: some outputs, or all four."""

    label: str
    href: str


def outputs(text: str) -> tuple[int, ...]:
    """'3,4' as outputs; what is no number is left out."""
    return tuple(int(part) for part in text.split(",") if part.isdecimal())


def rounds_of(page: str, every: Sequence[int], again: Sequence[int]) -> tuple[Round, ...]:
    """What changed first, where that is not everything; then all of them."""
    all_four = Round("Spin all four again", _round(page, every))
    if not again or len(again) == len(every):
        return (all_four,)
    named = f"output{'s' * (len(again) > 1)} {listed(map(str, again))}"
    return (Round(f"Spin {named} again", _round(page, again)), all_four)


def _round(page: str, numbers: Sequence[int]) -> str:
    first, *rest = numbers
    return f"{page}?output={first}&again={','.join(map(str, rest))}"


def outputs_moved(spun: StepStatus, ordered: StepStatus) -> tuple[int, ...]:
    """The outputs of which the firmware was said to expect another corner after they were spun."""
    orders = [
        (entry.id, order.table)
        for entry in ordered.entries
        if isinstance(order := answer_of(ordered.step, entry), OutputOrder)
    ]
    if not orders:
        return ()
    tapped = {
        output: entry.id
        for entry in spun.entries
        if isinstance(taps := answer_of(spun.step, entry), Taps)
        for output in taps.by_output
    }
    now = orders[-1][1]

    def then(output: int) -> str | None:
        before = [table for entry, table in orders if entry < tapped[output]]
        return before[-1].get(output) if before else None

    return tuple(n for n in sorted(tapped) if then(n) != now.get(n))
