"""How many sheets a second the rules read; printed, not asserted:
`pytest tests/bench/test_check_bench.py -s`."""

from time import perf_counter, process_time

from server.trade.recheck import found
from server.trade.rules import check
from server.trade.sheet import read_json
from server.trade.sheet.write import dump_json
from tests import example_sheet
from tests.trade.card import fitted

ROUNDS = 400


def test_sheets_checked_a_second_are_counted() -> None:
    for name, sheet in (("example", example_sheet.sheet()), ("fitted", fitted.sheet())):
        again = [sheet.model_copy() for _ in range(ROUNDS)]
        cpu, began = process_time(), perf_counter()
        findings = [check(each) for each in again]
        cpu, spent = process_time() - cpu, perf_counter() - began
        print(f"\ncheck {name}: {ROUNDS / spent:.0f} sheets a second, {ROUNDS / cpu:.0f} by CPU")
        assert all(each == findings[0] for each in findings)


def test_stored_sheets_audited_a_second_are_counted() -> None:
    stored = dump_json(example_sheet.sheet())
    assert read_json(stored.encode()) == example_sheet.sheet()
    cpu, began = process_time(), perf_counter()
    rows = [found(stored) for _ in range(ROUNDS)]
    cpu, spent = process_time() - cpu, perf_counter() - began
    print(f"\nread and check: {ROUNDS / spent:.0f} a second, {ROUNDS / cpu:.0f} by CPU")
    assert len(rows) == ROUNDS
    assert len(set(rows)) == 1
