"""Bills by examples worked by hand, and rounding by the tables of others."""

from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.trade.bill import ROUNDINGS, bill, tax_on

# Net and tax rate such that the exact tax, in minor units, is the halfway case of the sources:
# 11.5 and 12.5 are the examples under 'Rounding rules' of IEEE 754 as Wikipedia tabulates them
# (ties to even 12 and 12, ties away from zero 12 and 13); 2.5 and 3.5 are the two that Python's
# documentation of round() and of decimal.ROUND_HALF_EVEN turns on. All typed from memory, worked
# out again by hand.
TIES = [
    # net, bp, exact, half-up, half-even
    (23, 5000, "11.5", 12, 12),
    (25, 5000, "12.5", 13, 12),
    (5, 5000, "2.5", 3, 2),
    (7, 5000, "3.5", 4, 4),
    (1, 5000, "0.5", 1, 0),
    (250, 1900, "47.5", 48, 48),  # 2.50 at 19 %
    (50, 900, "4.5", 5, 4),  # 0.50 at 9 %
    (150, 900, "13.5", 14, 14),  # 1.50 at 9 %
    (1000, 825, "82.5", 83, 82),  # 10.00 at 8.25 %
    (3000, 775, "232.5", 233, 232),  # 30.00 at 7.75 %
]
# No tie: both roundings agree. Worked by hand (common practice, no source).
PLAIN = [
    (4500, 2000, 900),  # 45.00 at 20 %: 9.00
    (333, 1900, 63),  # 63.27
    (1999, 1900, 380),  # 379.81
    (101, 4950, 50),  # 49.995
    (0, 2000, 0),
    (1, 10_000, 1),
]


@pytest.mark.parametrize(("net", "bp", "exact", "up", "even"), TIES)
def test_half_a_minor_unit_goes_as_the_shop_says(net, bp, exact, up, even):
    assert Decimal(net) * bp / 10_000 == Decimal(exact), "the case is not the one it says"
    assert (tax_on(net, bp, "half-up"), tax_on(net, bp, "half-even")) == (up, even)


@pytest.mark.parametrize(("net", "bp", "tax"), PLAIN)
@pytest.mark.parametrize("rounding", ROUNDINGS)
def test_what_is_no_half_is_rounded_alike(net, bp, tax, rounding):
    assert tax_on(net, bp, rounding) == tax


@given(st.integers(0, 10**12), st.integers(0, 10_000))
def test_rounding_agrees_with_whole_number_arithmetic(net, bp):
    # The outside reference is division with remainder, without a decimal point anywhere.
    whole, rest = divmod(net * bp, 10_000)
    assert tax_on(net, bp, "half-up") == whole + (rest >= 5000)
    assert tax_on(net, bp, "half-even") == whole + (rest > 5000 or (rest == 5000 and whole % 2))


def test_the_sources_own_names_mean_what_is_used():
    # Python's documentation, decimal, 'Rounding modes': ties away from zero; ties to nearest even.
    assert Decimal("0.5").quantize(Decimal(1), ROUND_HALF_UP) == 1
    assert Decimal("0.5").quantize(Decimal(1), ROUND_HALF_EVEN) == 0


def test_an_unknown_rounding_is_a_mistake():
    with pytest.raises(KeyError):
        tax_on(100, 2000, "up")


def lines(*told):
    return [(*line, "labour") for line in told]


def test_tax_is_rounded_on_each_line():
    # 2 × 2.50 at 19 % on one line is 0.95; on two lines 0.475 each rounds to 0.48, 0.96 in all.
    assert bill(lines(("a", 2, 250)), 1900).tax_minor == 95
    assert bill(lines(("a", 1, 250), ("b", 1, 250)), 1900).tax_minor == 96


def test_a_bill_adds_up_and_knows_what_is_owed():
    told = lines(("Set-up", 1, 4500), ("Wire", 3, 125))
    found = bill(told, 2000, paid_minor=1500, deposit_minor=1000, currency="EUR")
    assert (found.net_minor, found.tax_minor) == (4875, 975)
    assert (found.total_minor, found.owed_minor) == (5850, 4350)
    assert (found.paid_minor, found.deposit_minor, found.currency) == (1500, 1000, "EUR")


def test_more_paid_than_due_is_below_zero():
    assert bill(lines(("Set-up", 1, 100)), 0, paid_minor=150).owed_minor == -50


def test_a_bill_without_lines_is_nothing():
    assert bill([], 2000).total_minor == 0
