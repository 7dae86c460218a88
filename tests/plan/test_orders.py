"""The tables of a source over all its months against the same, run by run and month by month."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from quotegen.plan.orders import LARGEST_SUM, Shape, Tables, orders_of, sizes_of
from quotegen.plan.problem import Arriving, Rows, Run

LARGE = st.sampled_from([10**12, 2**53 + 1, 2**60])
COSTS = st.one_of(st.integers(-5, 5), st.integers(-50, 500), LARGE)


@st.composite
def tables(draw: st.DrawFn, costs: st.SearchStrategy[int] = COSTS) -> Tables:
    """Some runs, of which several may bring the same number of good parts, in some months."""
    few = st.integers(1, 4)
    row = st.tuples(few, st.integers(1, 30), few, st.integers(0, 9), st.integers(0, 3))
    shape = [(*each, 0, 0) for each in draw(st.lists(row, min_size=1, max_size=5))]
    runs, months = len(shape), draw(st.integers(1, 3))
    cost = [[draw(costs) for _ in range(runs)] for _ in range(months)]
    step = [[draw(costs) for _ in range(runs)] for _ in range(months)]
    left = [draw(st.integers(-9, 9)) for _ in range(months)]
    return Tables(
        shape=Shape(table=np.array(shape, dtype=np.int64)),
        cost=np.array(cost, dtype=np.int64),
        cost_step=np.array(step, dtype=np.int64),
        left=np.array(left, dtype=np.int64),
    )


def _rows(found: Tables) -> list[Rows]:
    counted = ((0, 0),) * len(found.shape.table)
    return [Rows(found, place, counted) for place in range(len(found.left))]


@given(tables(st.integers(-50, 500)))
def test_the_orders_of_all_months_are_those_of_each(found: Tables) -> None:
    for place, (rows, here) in enumerate(zip(_rows(found), found.orders, strict=True)):
        alone = orders_of(found.table(place), rows.left)
        for name in ("goods", "costs", "pieces", "least"):
            assert getattr(here, name).tolist() == getattr(alone, name).tolist()


@given(tables(st.integers(-50, 500)))
def test_the_largest_figures_of_all_months_are_those_of_each(found: Tables) -> None:
    alone = [sizes_of(found.table(rows.place), rows.left) for rows in _rows(found)]
    assert list(found.sizes) == alone


@given(tables())
def test_runs_that_are_taken_together_to_be_sound_are_so_one_by_one(found: Tables) -> None:
    for rows in _rows(found):
        alone = Arriving(runs=tuple(rows), left=rows.left)
        together = Arriving(runs=rows, left=rows.left)
        assert together.flaw == alone.flaw
        assert together.falls == alone.falls
        falling = {run for run in rows if run.falls(rows.left)}
        assert falling <= set(rows.doubtful)


@given(tables(), st.sampled_from([1, 37, 2**30]))
def test_in_smaller_units_each_order_costs_one_unit_more(found: Tables, unit: int) -> None:
    for rows in _rows(found):
        dearer = rows.counting(unit)
        if dearer is None:
            assert any(
                max(abs(run.cost), abs(run.cost_step)) * unit >= LARGEST_SUM
                for each in _rows(found)
                for run in each
            )
            continue
        assert dearer.left == rows.left * unit
        assert [(run.cost, run.cost_step) for run in dearer] == [
            (run.cost * unit + 1, run.cost_step * unit) for run in rows
        ]


@given(tables())
def test_for_nothing_only_the_costs_are_gone(found: Tables) -> None:
    for rows in _rows(found):
        assert rows.free.left == 0
        assert [_without_cost(run) for run in rows] == list(rows.free)


def _without_cost(run: Run) -> Run:
    return Run(
        count=run.count,
        pieces=run.pieces,
        pieces_step=run.pieces_step,
        good=run.good,
        good_step=run.good_step,
        cost=0,
        cost_step=0,
    )
