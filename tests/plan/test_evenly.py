"""One source at one price: each order lasts until the next, as the tables of all stocks say."""

from __future__ import annotations

from dataclasses import replace

import hypothesis.strategies as st
from hypothesis import given

from quotegen.plan.evenly import evenly
from quotegen.plan.problem import Arriving, Late, Placed, Problem, Run, Source
from quotegen.plan.trace import trace
from quotegen.plan.values import values_of
from quotegen.plan.windows import Scale

UNIT = 100


def _by_tables(problem: Problem) -> tuple[Placed, ...]:
    return trace(values_of(problem, scale=Scale(times=UNIT, order=1)))


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    """Orders of any number at one price; what is bought later is never dearer than what is kept."""
    demand = draw(st.lists(st.integers(0, 5), min_size=1, max_size=9))
    opening = draw(st.integers(0, 6))
    waits, price, arriving = draw(st.integers(0, 4)), draw(st.integers(0, 6)), {}
    for month in range(len(demand)):
        run = Run(
            count=sum(demand) + 1,
            pieces=2,
            pieces_step=3,
            good=1,
            good_step=1,
            cost=price + draw(st.integers(0, 9)),
            cost_step=price,
        )
        left = waits * (len(demand) - month)
        arriving[month] = Arriving(runs=(run,), waits=waits, left=left)
        price = draw(st.integers(0, price + waits))
        waits = draw(st.integers(0, waits))
    return Problem(
        demand=tuple(demand), opening=opening, sources=(Source(name="A", arriving=arriving),)
    )


@given(problems())
def test_the_orders_are_those_of_the_tables_ties_too(problem: Problem) -> None:
    if problem.opening < sum(problem.demand):
        assert evenly(problem, UNIT) == _by_tables(problem)


def _steady(**changes: object) -> Problem:
    run = Run(count=40, pieces=1, pieces_step=1, good=1, good_step=1, cost=50, cost_step=2)
    arriving = {month: Arriving(runs=(run,), waits=1, left=4 - month) for month in range(4)}
    problem = Problem(demand=(9, 9, 9, 9), sources=(Source(name="A", arriving=arriving),))
    return replace(problem, **changes)  # type: ignore[arg-type]


def test_a_problem_that_is_not_so_simple_goes_to_the_tables() -> None:
    steady = _steady()
    source = steady.sources[0]
    assert evenly(steady, UNIT) is not None
    first = source.arriving[0]
    covered = replace(first, covers=1)
    others = (
        _steady(shelf=20),
        _steady(late=Late(cost=(1, 1, 1, 1))),
        _steady(sources=(source, replace(source, name="B"))),
        _steady(sources=(replace(source, once={"tool": (5, 5, 5, 5)}),)),
        _steady(sources=(replace(source, arriving={0: first}),)),
        _steady(sources=(replace(source, arriving={**source.arriving, 0: covered}),)),
    )
    assert [evenly(each, UNIT) for each in others] == [None] * len(others)


def test_a_price_that_rises_more_than_keeping_costs_goes_to_the_tables() -> None:
    """Bought in the second month at 9 a part is dearer than kept from the first at 2 and 1."""
    source = _steady().sources[0]
    dear = replace(source.arriving[1].runs[0], cost=57, cost_step=9)
    arriving = {**source.arriving, 1: replace(source.arriving[1], runs=(dear,))}
    assert evenly(_steady(sources=(replace(source, arriving=arriving),)), UNIT) is None


def test_costs_too_large_for_64_bits_are_reckoned_as_well() -> None:
    source = _steady().sources[0]
    run = replace(source.arriving[0].runs[0], cost=2**90)
    huge = {month: replace(each, runs=(run,)) for month, each in source.arriving.items()}
    problem = _steady(sources=(replace(source, arriving=huge),))
    assert evenly(problem, UNIT) == (Placed(0, "A", 36),)


def test_a_first_piece_cheaper_than_the_next_goes_to_the_tables() -> None:
    """An order that serves more could then cost less than nothing beside the pieces."""
    source = _steady().sources[0]
    run = replace(source.arriving[0].runs[0], cost=1)
    cheap = {month: replace(each, runs=(run,)) for month, each in source.arriving.items()}
    assert evenly(_steady(sources=(replace(source, arriving=cheap),)), UNIT) is None
