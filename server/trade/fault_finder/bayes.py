"""The arithmetic of the fault finder: shares, what is learnt from an answer, and bits.

Sums are exactly rounded (`math.fsum`), so that the order of the causes changes no figure.
Sources: entropy and conditional entropy, C. E. Shannon, Bell System Technical Journal 27 (1948)
379; Bayes' theorem; the Dirichlet prior to a multinomial and its predictive mean, A. Gelman et al.,
Bayesian Data Analysis, 3rd ed., section 3.4. All from memory.
"""

from collections.abc import Hashable, Mapping, Sequence
from math import fsum, log2
from typing import TypeVar

C = TypeVar("C", bound=Hashable)
Shares = dict[C, float]


def shares(weights: Mapping[C, float]) -> Shares[C]:
    """`weights` scaled to a sum of 1. Empty where there is no weight at all."""
    whole = fsum(weights.values())
    return {key: weight / whole for key, weight in weights.items()} if whole > 0 else {}


def entropy(shared: Mapping[C, float]) -> float:
    """How uncertain the cause is, in bits; 0 for a single one."""
    return fsum(-p * log2(p) for p in shared.values() if p > 0) or 0.0


def counted(prior: Mapping[C, float], strength: float, seen: Mapping[C, int]) -> Shares[C]:
    """The predictive shares of a Dirichlet prior of `strength` pseudo-counts and counts `seen`.

    `prior` sums to 1. A cause that was `seen` and is not in `prior` does not count.
    """
    return shares({cause: strength * share + seen.get(cause, 0) for cause, share in prior.items()})


def after(before: Mapping[C, float], chances: Mapping[C, float]) -> Shares[C]:
    """Bayes: the shares after something was seen that has these chances under each cause.

    A cause under which it cannot be seen is gone from the result, which is empty where that is so
    of all.
    """
    joint = {c: share * chances[c] for c, share in before.items()}
    return shares({cause: weight for cause, weight in joint.items() if weight > 0})


def gain(before: Mapping[C, float], rows: Sequence[Mapping[C, float]]) -> float:
    """Bits expected from a check: the entropy now, less its mean after each possible outcome.

    `rows` has one entry an outcome: its chance under each cause; the rows of a cause sum to 1.
    """
    left = []
    for chances in rows:
        chance = fsum(share * chances[c] for c, share in before.items())
        left.append(chance * entropy(after(before, chances)))
    return entropy(before) - fsum(left)
