"""The law of the level of demand, held against scipy and against its own definition (R21)."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from quotegen.judge.futures.law import Law, law_of, mean_of, pert, triangular, variance_of
from quotegen.model.part import Demand

SHARES = np.linspace(0.001, 0.999, 997)


def a_demand(low: int, likely: int, high: int, **more: object) -> Demand:
    form = {"low": str(low), "likely": str(likely), "high": str(high)} | more
    return Demand.model_validate(form)


@pytest.mark.parametrize(("low", "high"), [(0.2, 1.5), (0.0, 4.0), (1.0, 1.4), (0.5, 1.0)])
def test_pert_is_the_beta_law_with_shape_4(low: float, high: float) -> None:
    first, second = 1 + 4 * (1 - low) / (high - low), 1 + 4 * (high - 1) / (high - low)
    beta = stats.beta(first, second, loc=low, scale=high - low)
    assert np.abs(pert(low, 1.0, high).at(SHARES) - beta.ppf(SHARES)).max() < 1e-6


@pytest.mark.parametrize(("low", "high"), [(0.2, 1.5), (0.0, 4.0), (1.0, 1.4), (0.5, 1.0)])
def test_triangular_is_scipys(low: float, high: float) -> None:
    law = stats.triang((1 - low) / (high - low), loc=low, scale=high - low)
    assert np.abs(triangular(low, 1.0, high).at(SHARES) - law.ppf(SHARES)).max() < 1e-4


def test_scenarios_are_drawn_as_often_as_they_weigh() -> None:
    scenarios = [
        {"a year": "120", "weight": "30 %"},
        {"a year": "30", "weight": "60 %"},
        {"a year": "60", "weight": "10 %"},
    ]
    law = law_of(a_demand(30, 60, 120, scenarios=scenarios))
    levels = law.at((np.arange(1000) + 0.5) / 1000)
    found = dict(zip(*np.unique(levels, return_counts=True), strict=True))
    assert found == {0.5: 600, 1.0: 100, 2.0: 300}


def test_a_demand_of_one_number_has_one_level() -> None:
    law = law_of(a_demand(60, 60, 60))
    assert (law.least, law.most, law.at(SHARES).tolist()) == (1.0, 1.0, [1.0] * len(SHARES))


@pytest.mark.parametrize("law", ["PERT", "triangular"])
@given(st.integers(0, 50), st.integers(0, 50), st.integers(1, 50))
def test_drawn_levels_have_the_exact_mean_and_variance(
    law: str, below: int, above: int, low: int
) -> None:
    demand = a_demand(low, low + below, low + below + above + 1, law=law)
    levels = law_of(demand).at((np.arange(20_000) + 0.5) / 20_000) * demand.likely
    assert levels.mean() == pytest.approx(float(mean_of(demand)), rel=1e-4)
    assert levels.var() == pytest.approx(float(variance_of(demand)), rel=2e-3)


def test_the_points_of_a_law_stand_for_it() -> None:
    law = pert(0.2, 1.0, 1.6)
    levels, chances = law.points
    assert chances.sum() == pytest.approx(1)
    assert levels @ chances == pytest.approx((0.2 + 4 + 1.6) / 6, rel=1e-4)
    single = Law(levels=np.array([1.0, 3.0]), below=np.array([0.25, 1.0]), is_single=True)
    assert [each.tolist() for each in single.points] == [[1.0, 3.0], [0.25, 0.75]]


def test_the_mean_of_scenarios_is_weighed() -> None:
    scenarios = [{"a year": "10", "weight": "25 %"}, {"a year": "50", "weight": "75 %"}]
    demand = a_demand(10, 40, 50, scenarios=scenarios)
    assert (mean_of(demand), variance_of(demand)) == (40, Fraction(300))
