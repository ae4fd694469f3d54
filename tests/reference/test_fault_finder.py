"""The fault finder's arithmetic against scipy, textbooks and a published study.

The weighing problem: D. J. C. MacKay, Information Theory, Inference, and Learning Algorithms,
Cambridge 2003, ch. 4.1, exercise 4.1 and figure 4.2 (from memory). The screening test: G.
Gigerenzer, U. Hoffrage, Psychological Review 102 (1995) 684, in natural frequencies (from memory).
Dirichlet: A. Gelman et al., Bayesian Data Analysis, section 3.4 (from memory), by scipy.
"""

from math import log2

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from server.trade.fault_finder import Cause, Check, FaultTable, Symptom, advise, bayes
from server.trade.power import Power

COLD = frozenset({Power.COLD})
WEIGHTS = st.lists(st.integers(1, 1000), min_size=1, max_size=12)


@given(WEIGHTS)
def test_entropy_agrees_with_scipy(weights):
    ours = bayes.entropy(bayes.shares(dict(enumerate(weights))))
    assert ours == pytest.approx(stats.entropy(weights, base=2), abs=1e-12)


@given(st.data())
def test_gain_is_the_mutual_information_of_scipy(data):
    """I(cause; outcome) = H(outcome) − Σ p(cause) H(outcome | cause)."""
    prior = np.array(data.draw(WEIGHTS), float)
    prior /= prior.sum()
    wide = st.lists(st.integers(1, 100), min_size=3, max_size=3)
    rows = np.array([data.draw(wide) for _ in prior], float)
    rows /= rows.sum(axis=1, keepdims=True)
    wanted = stats.entropy(prior @ rows, base=2) - prior @ stats.entropy(rows, base=2, axis=1)
    shares = dict(enumerate(prior))
    ours = bayes.gain(shares, [dict(enumerate(column)) for column in rows.T])
    assert ours == pytest.approx(wanted, abs=1e-12)


@given(WEIGHTS, st.data())
def test_prior_and_counts_join_as_scipy_s_dirichlet(weights, data):
    counts = [data.draw(st.integers(0, 50)) for _ in weights]
    prior = np.array(weights) / sum(weights)
    ours = bayes.counted(dict(enumerate(prior)), 10, dict(enumerate(counts)))
    wanted = stats.dirichlet(10 * prior + counts).mean()
    assert list(ours.values()) == pytest.approx(list(np.atleast_1d(wanted)), abs=1e-12)


def test_the_screening_test_of_the_study():
    # Of 1000 women 10 have the disease and 8 of them test positive; of the other 990, 95 do.
    test = Check("test", "", (), COLD, {"pos": "", "neg": ""}, (95, 895), {"ill": (8, 2)})
    causes = {name: Cause(name, "", "") for name in ("ill", "well")}
    made = FaultTable({"s": Symptom("s", "", {"ill": 10, "well": 990})}, causes, {"test": test})
    shares = {r.cause.code: r.share for r in advise(["s"], {"test": "pos"}, {}, table=made).causes}
    assert shares["ill"] == pytest.approx(8 / 103, abs=1e-12)
    assert round(shares["ill"], 3) == 0.078  # the study's 7.8 %


BALLS = [f"{way}{n}" for n in range(12) for way in ("heavy", "light")]


def weighing(each):
    """The first `each` balls against the next `each`: left falls, right falls, balance."""
    given = {}
    for n in range(12):
        side = 0 if n < each else 1 if n < 2 * each else 2
        for way in ("heavy", "light"):
            falls = side if way == "heavy" or side == 2 else 1 - side
            given[f"{way}{n}"] = tuple(int(falls == outcome) for outcome in range(3))
    outcomes = {"left": "", "right": "", "level": ""}
    return Check(f"{each} to {each}", "", (), COLD, outcomes, (1, 1, 1), given)


# H of the three outcomes' shares, of 24: figure 4.2, and as plain arithmetic.
WEIGHINGS = {
    6: 1.0,
    5: log2(24) - (20 * log2(10) + 4 * log2(4)) / 24,
    4: log2(3),
    3: 1.5,
    2: log2(24) - (8 * log2(4) + 16 * log2(16)) / 24,
    1: log2(24) - (4 * log2(2) + 20 * log2(20)) / 24,
}


def test_the_weighing_problem_starts_with_four_against_four():
    checks = {check.code: check for check in map(weighing, WEIGHINGS)}
    symptom = Symptom("s", "", dict.fromkeys(BALLS, 1))
    made = FaultTable({"s": symptom}, {b: Cause(b, "", "") for b in BALLS}, checks)
    said = advise(["s"], {}, {}, table=made)
    assert said.bits == pytest.approx(log2(24), abs=1e-12)
    assert {n.check.code: n.bits for n in said.checks} == {
        f"{each} to {each}": pytest.approx(bits, abs=1e-9) for each, bits in WEIGHINGS.items()
    }
    assert [n.check.code[0] for n in said.checks] == ["4", "3", "5", "2", "6", "1"]
    left = advise(["s"], {"4 to 4": "left"}, {}, table=made)
    assert {r.cause.code for r in left.causes} == {
        *(f"heavy{n}" for n in range(4)),
        *(f"light{n}" for n in range(4, 8)),
    }
    assert left.bits == pytest.approx(3, abs=1e-12)
