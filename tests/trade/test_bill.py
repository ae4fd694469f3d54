"""Bills by hand-worked examples (common practice, no source)."""

import pytest

from server.trade.bill import bill, tax_on


@pytest.mark.parametrize(
    ("net", "bp", "tax"),
    [
        (4500, 2000, 900),  # 45.00 at 20 %: 9.00
        (333, 1900, 63),  # 0.6327: down
        (250, 1900, 48),  # 0.4750: half up
        (50, 900, 5),  # 0.045: half up, where half to even gives 0.04
        (150, 900, 14),  # 0.135: half up
        (0, 2000, 0),
        (1, 10_000, 1),
    ],
)
def test_half_a_minor_unit_rounds_up(net, bp, tax):
    assert tax_on(net, bp) == tax


def test_tax_is_rounded_on_each_line():
    # 2 × 2.50 at 19 % on one line is 0.95; on two lines 0.475 each rounds to 0.48, 0.96 in all.
    assert bill([("a", 2, 250)], 1900).tax_minor == 95
    assert bill([("a", 1, 250), ("b", 1, 250)], 1900).tax_minor == 96


def test_a_bill_adds_up_and_knows_what_is_owed():
    found = bill([("Set-up", 1, 4500), ("Wire", 3, 125)], 2000, paid_minor=1000)
    assert (found.net_minor, found.tax_minor) == (4875, 975)
    assert (found.total_minor, found.owed_minor) == (5850, 4850)


def test_more_paid_than_due_is_below_zero():
    assert bill([("Set-up", 1, 100)], 0, paid_minor=150).owed_minor == -50


def test_a_bill_without_lines_is_nothing():
    assert bill([], 2000).total_minor == 0
