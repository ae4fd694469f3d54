"""Whole plans against trying every placement: the rules alone judge, the planner is not asked."""

import pytest

from server.trade.planner import apply, plan
from tests.trade.planner.planning import (
    best_by_trying,
    cost,
    is_clean,
    small_sheet,
    wiring_findings,
)

# A wider run, 400 boards, took minutes and found nothing more; these take seconds.
SEEDS = (*range(1004, 1018), 1019, 1029, 1032, 1035)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_cheaper_placement_clears_the_links(seed: int):
    sheet = small_sheet(seed)
    found = plan(sheet)
    if found.unsolved:
        assert wiring_findings(apply(sheet, found))
        return
    assert is_clean(apply(sheet, found))
    assert best_by_trying(sheet, below=cost(found, sheet)) is None


@pytest.mark.parametrize("seed", range(40))
def test_what_stays_unsolved_no_placement_solves(seed: int):
    """One link on a board of a few pads: where the plan gives up, so does trying everything."""
    sheet = small_sheet(seed, links=1)
    if plan(sheet).unsolved:
        assert best_by_trying(sheet) is None


def test_both_kinds_are_among_the_boards_tried():
    unsolved = [bool(plan(small_sheet(seed)).unsolved) for seed in SEEDS]
    assert 3 < sum(unsolved) < len(unsolved) - 3
    alone = [bool(plan(small_sheet(seed, links=1)).unsolved) for seed in range(40)]
    assert 5 < sum(alone) < 35
