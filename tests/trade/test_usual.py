"""How usual a thing is: the interval against scipy's, and its edges."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from server.trade.usual import wilson


@pytest.mark.parametrize(("count", "of"), [(31, 37), (9, 37), (28, 37), (0, 5), (5, 5), (1, 1)])
def test_interval_agrees_with_scipy(count, of):
    other = binomtest(count, of).proportion_ci(confidence_level=0.95, method="wilson")
    assert wilson(count, of) == pytest.approx((other.low, other.high), abs=1e-9)


def test_interval_is_the_one_on_paper():
    # Worked by hand: p = 0.5, n = 10, z² = 3.8415: (0.5 ± 0.26337) with the middle unmoved.
    assert wilson(5, 10) == pytest.approx((0.23659, 0.76341), abs=1e-5)


@given(st.integers(1, 5000).flatmap(lambda of: st.tuples(st.integers(0, of), st.just(of))))
def test_share_lies_within_its_interval(case):
    count, of = case
    low, high = wilson(count, of)
    assert 0 <= low <= count / of + 1e-12
    assert count / of - 1e-12 <= high <= 1


def test_nothing_counted_says_nothing():
    assert wilson(0, 0) == (0.0, 1.0)


@pytest.mark.parametrize(("count", "of"), [(3, 2), (-1, 2)])
def test_impossible_count_is_refused(count, of):
    with pytest.raises(ValueError, match="no share"):
        wilson(count, of)
