"""How long a card takes; printed, not asserted: `pytest tests/bench/test_card_bench.py -s`."""

from statistics import median
from time import perf_counter

from server.trade.card import Card, compare, derive
from server.trade.sheet import Sheet
from tests import example_sheet
from tests.trade.card import fitted

ROUNDS = 300


def timed(sheet: Sheet) -> tuple[Card, list[float]]:
    """The card, and the milliseconds that each of many derivations took."""
    card = derive(sheet)
    times = []
    for _ in range(ROUNDS):
        start = perf_counter()
        derive(sheet)
        times.append((perf_counter() - start) * 1000)
    return card, times


def test_deriving_a_card_is_timed() -> None:
    for name, sheet in (("example", example_sheet.sheet()), ("fitted", fitted.sheet())):
        card, times = timed(sheet)
        steps = len(list(card.steps()))
        print(f"\nderive {name}: {steps} steps, {median(times):.2f} ms, best {min(times):.2f} ms")
        assert steps > 30
        assert len(times) == ROUNDS


def test_comparing_two_cards_is_timed() -> None:
    old, new = derive(example_sheet.sheet()), derive(fitted.sheet())
    start = perf_counter()
    for _ in range(ROUNDS):
        changes = compare(old, new)
    print(f"\ncompare: {(perf_counter() - start) * 1000 / ROUNDS:.2f} ms")
    assert changes.reopened
