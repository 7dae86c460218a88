"""The planner against the Wagner-Whitin of another library, on random demand."""

from __future__ import annotations

import hypothesis.strategies as st
import pytest
from hypothesis import given

from quotegen.plan.evenly import evenly
from quotegen.plan.problem import Arriving, Problem, Run, Solution, Source
from quotegen.plan.solve import solve

wagner_whitin = pytest.importorskip(
    "stockpyl.wagner_whitin",
    reason="stockpyl is not installed: .ci/setup tests installs it without what it depends on",
).wagner_whitin

DEMANDS = st.lists(st.integers(0, 30), min_size=1, max_size=24).filter(any)


def _problem(demand: list[int], order: list[int], piece: list[int], waits: int) -> Problem:
    """Any number of pieces, with a charge for each order, and by month another price of a piece."""
    months = range(len(demand))
    arriving = {
        month: Arriving(
            runs=(
                Run(
                    count=sum(demand) + 1,
                    pieces=1,
                    pieces_step=1,
                    good=1,
                    good_step=1,
                    cost=order[month] + piece[month],
                    cost_step=piece[month],
                ),
            ),
            waits=waits,
            left=waits * (len(demand) - month),
        )
        for month in months
    }
    return Problem(demand=tuple(demand), sources=(Source(name="A", arriving=arriving),))


@given(DEMANDS, st.integers(1, 60), st.integers(0, 9), st.integers(1, 5))
def test_the_least_cost_is_that_of_stockpyl_at_one_price(
    demand: list[int], order: int, piece: int, waits: int
) -> None:
    """stockpyl 1.0.2, wagner_whitin, after Wagner and Whitin (1958)."""
    count = len(demand)
    problem = _problem(demand, [order] * count, [piece] * count, waits)
    found = solve(problem)
    assert isinstance(found, Solution)
    assert evenly(problem, 10_000) is not None
    assert found.cost == round(wagner_whitin(count, waits, order, demand, piece)[1])


@given(DEMANDS, st.data())
def test_the_least_cost_is_that_of_stockpyl_where_prices_differ_by_month(
    demand: list[int], data: st.DataObject
) -> None:
    """stockpyl 1.0.2. Prices that rise more than keeping costs go to the tables of all stocks."""
    count, some = len(demand), st.integers(0, 40)
    order = data.draw(st.lists(st.integers(1, 60), min_size=count, max_size=count))
    piece = data.draw(st.lists(some, min_size=count, max_size=count))
    waits = data.draw(st.integers(1, 5))
    found = solve(_problem(demand, order, piece, waits))
    assert isinstance(found, Solution)
    assert found.cost == round(wagner_whitin(count, waits, order, demand, piece)[1])
