"""Mean and variance of three-point laws of demand.

Standard results. The triangular law of a = 2, m = 5, b = 11 has mean 6 and variance 7/2. PERT is
the beta law with shape 4, of mean (a + 4m + b) / 6 = 11/2; its true variance is
(mean - a)(b - mean) / 7 = 11/4. The classic ((b - a) / 6)^2 = 9/4 of Malcolm, Roseboom, Clark and
Fazar (1959) is an approximation and is not what is drawn from.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from quotegen.judge.futures.law import law_of, mean_of, variance_of
from quotegen.model.part import Demand

EVERY = (np.arange(100_000) + 0.5) / 100_000


def a_demand(law: str) -> Demand:
    return Demand.model_validate({"low": "2", "likely": "5", "high": "11", "law": law})


@pytest.mark.parametrize(
    ("law", "mean", "variance"),
    [("triangular", Fraction(6), Fraction(7, 2)), ("PERT", Fraction(11, 2), Fraction(11, 4))],
)
def test_the_moments_are_the_published_ones(law: str, mean: Fraction, variance: Fraction) -> None:
    demand = a_demand(law)
    assert (mean_of(demand), variance_of(demand)) == (mean, variance)
    drawn = law_of(demand).at(EVERY) * demand.likely
    assert drawn.mean() == pytest.approx(float(mean), rel=1e-5)
    assert drawn.var() == pytest.approx(float(variance), rel=1e-4)


def test_trap_the_classic_variance_is_not_what_is_drawn_from() -> None:
    drawn = law_of(a_demand("PERT")).at(EVERY) * 5
    assert drawn.var() > 1.2 * 2.25


def test_trap_the_likely_value_is_not_the_mean() -> None:
    assert mean_of(a_demand("PERT")) != 5
    assert mean_of(a_demand("triangular")) != mean_of(a_demand("PERT"))
