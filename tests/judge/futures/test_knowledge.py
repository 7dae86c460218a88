"""What the sales tell about the level: Bayes' rule, reckoned in another way (R21)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.judge.futures.knowledge import MOST_BINS, Knowledge
from quotegen.judge.futures.law import Law, pert

TWO = Law(levels=np.array([0.5, 2.0]), below=np.array([0.75, 1.0]), is_single=True)


@given(st.integers(0, 6), st.integers(0, 60))
def test_the_mean_level_is_that_of_bayes_rule(months: int, sold: int) -> None:
    demand = (4, 5, 0, 7, 3, 6)
    known = Knowledge(law=TWO, demand=demand, most_sold=60)
    exposure = sum(demand[:months])
    weights = [
        share * math.exp(-level * exposure) * (level * exposure) ** sold
        for level, share in ((0.5, 0.75), (2.0, 0.25))
    ]
    if sum(weights):
        mean = (0.5 * weights[0] + 2.0 * weights[1]) / sum(weights)
        assert known.expected[months][sold] == pytest.approx(mean)


def test_before_anything_is_sold_the_law_alone_speaks() -> None:
    known = Knowledge(law=TWO, demand=(5, 5), most_sold=40)
    assert known.expected[0] == pytest.approx(np.full(41, 0.875))


def test_many_pieces_are_looked_up_in_bins_near_enough() -> None:
    law = pert(0.3, 1.0, 1.5)
    demand = (400,) * 12
    known = Knowledge(law=law, demand=demand, most_sold=7000)
    assert len(known.bins) <= MOST_BINS
    exact = known.mean(2400.0, np.array([2200.0]))[0]
    assert known.expected[6][2200 >> known.shift] == pytest.approx(exact, rel=5e-3)
    assert exact == pytest.approx(2200 / 2400, rel=0.01)


def test_the_widest_future_that_was_drawn_does_not_change_the_rule() -> None:
    law, demand = pert(0.3, 1.0, 1.5), (400,) * 12
    shifts = {Knowledge(law=law, demand=demand, most_sold=most).shift for most in (4000, 9000)}
    assert shifts == {4}
