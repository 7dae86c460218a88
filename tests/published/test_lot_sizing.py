"""Plans as books on lot sizing have them: demand, a charge for each order, a charge for holding."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from quotegen.plan.problem import Arriving, Placed, Problem, Run, Solution, Source
from quotegen.plan.solve import solve


def plan_of(
    demand: Sequence[int], setup: Sequence[int], holding: int, prices: Sequence[int] | None = None
) -> Solution:
    """The plan; what is left at the end waits until then, as in the books."""
    months = range(len(demand))
    each = prices or [0] * len(demand)
    runs = {month: (run(setup[month], each[month], sum(demand)),) for month in months}
    arriving = {
        month: Arriving(runs=runs[month], waits=holding, left=holding * (len(demand) - month))
        for month in months
    }
    found = solve(Problem(demand=tuple(demand), sources=(Source(name="A", arriving=arriving),)))
    assert isinstance(found, Solution)
    assert found.is_proven
    return found


def run(setup: int, price: int, most: int) -> Run:
    return Run(
        count=most,
        pieces=1,
        pieces_step=1,
        good=1,
        good_step=1,
        cost=setup + price,
        cost_step=price,
    )


def orders(*pieces: int) -> tuple[Placed, ...]:
    """An amount for each month, 0 for none."""
    return tuple(Placed(month, "A", each) for month, each in enumerate(pieces) if each)


DEMAND = (69, 29, 36, 61, 61, 26, 34, 67, 45, 67, 79, 56)
SETUP = (85, 102, 102, 101, 98, 114, 105, 86, 119, 110, 98, 114)


def test_twelve_months_with_a_charge_that_varies() -> None:
    """Wagner and Whitin, Dynamic version of the economic lot size model, Management Science 5
    (1958) 89-96, table 1: 864, and these orders."""
    found = plan_of(DEMAND, SETUP, 1)
    assert found.cost == 864
    assert found.orders == orders(98, 0, 97, 0, 121, 0, 0, 112, 0, 67, 135, 0)


@pytest.mark.parametrize(
    ("months", "cost"),
    list(enumerate((85, 114, 186, 277, 348, 400, 469, 555, 600, 710, 789, 864), 1)),
)
def test_the_first_of_these_months_alone(months: int, cost: int) -> None:
    """The same table: the least cost by the length of the plan."""
    assert plan_of(DEMAND[:months], SETUP[:months], 1).cost == cost


def test_five_periods_in_which_a_rule_of_thumb_is_right() -> None:
    """The Silver-Meal example, from memory Nahmias, Production and Operations Analysis: 310. Two
    plans cost that; the one with fewer orders is taken."""
    found = plan_of((18, 30, 42, 5, 20), (80,) * 5, 2)
    assert found.cost == 310
    assert found.orders == orders(48, 0, 67, 0, 0)


def test_four_weeks() -> None:
    """The Wagner-Whitin example, from memory Nahmias, Production and Operations Analysis."""
    found = plan_of((52, 87, 23, 56), (75,) * 4, 1)
    assert (found.cost, found.orders) == (248, orders(52, 110, 0, 56))


@pytest.mark.parametrize(("first", "cost"), [(0, 1380), (1, 940), (2, 640), (3, 500)])
def test_from_each_of_four_periods_on(first: int, cost: int) -> None:
    """Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed., Wiley 2019, example 3.9:
    the costs from each period on, and the orders of all four."""
    found = plan_of((90, 120, 80, 70)[first:], (500,) * (4 - first), 2)
    assert found.cost == cost
    if not first:
        assert found.orders == orders(210, 0, 150, 0)


def test_a_price_that_will_rise_makes_one_large_order_early() -> None:
    """stockpyl's instance scmo_ww_hw_c: 4,940 with 0.1 for holding; here in tenths."""
    prices = [10 * price for price in (3, 1, 4, 6, 6)]
    found = plan_of((400, 500, 500, 1100, 900), (1000,) * 5, 1, prices)
    assert (found.cost, found.orders) == (49_400, orders(400, 3000, 0, 0, 0))
