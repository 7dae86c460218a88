"""How a route answers: against plain numbers, against the plan, and what it cannot know (R21)."""

from __future__ import annotations

from itertools import product
from typing import Any

import numpy as np
import pytest

from quotegen.judge.futures.draws import Draws, certain, draw
from quotegen.judge.futures.follow import follow
from quotegen.judge.futures.law import pert
from quotegen.plan.problem import UNITS, Placed
from quotegen.plan.recost import recost
from tests.judge.futures.by_hand import one_future
from tests.judge.futures.cases import FOUNDRY, MILL, SHEETS, SURE, answering, found

BOTH = "mill/mill-1 then foss/foss-1"
LIFE = {"life": "100 shots", "replacement": "500 EUR"}


def _worn_foundry() -> Any:
    item = dict(FOUNDRY["items"][0])
    item["tools"] = [item["tools"][0] | LIFE]
    return FOUNDRY | {"items": [item]}


CASES = {
    "one offer": ((MILL,), "mill/mill-1", {}),
    "a bridge and a tool": ((MILL, FOUNDRY), BOTH, {"needed_by": "2026-12-07"}),
    "a break and a minimum": ((SHEETS,), "plate/plate-1", {"on_hand": "15"}),
    "a small shelf": ((SHEETS,), "plate/plate-1", {"shelf_holds": "60"}),
    "a drawing that changes": (
        (MILL, FOUNDRY),
        BOTH,
        {"needed_by": "2026-12-07", "design_stands": "60 % a year"},
    ),
    "a tool that wears": ((MILL, _worn_foundry()), BOTH, {"needed_by": "2026-12-07"}),
    "late at a price": ((MILL,), "mill/mill-1", {"late_costs": "3 EUR"}),
    "late and lost": ((MILL,), "mill/mill-1", {"late_costs": "90 EUR", "late_is_lost": "yes"}),
    "worth something at the end": ((SHEETS,), "plate/plate-1", {"surplus_is_worth": "50 %"}),
}


@pytest.mark.parametrize("case", CASES)
def test_all_futures_at_once_cost_what_each_costs_by_itself(case: str) -> None:
    """Against plain numbers, month by month, one future after the other."""
    quotes, name, part = CASES[case]
    of = answering(found(*quotes, **part), name, scatters=True)
    setting, shift = of.plan.setting, of.knowledge.shift
    draws = draw(of.knowledge.law, setting.horizon.demand, setting.change, 256)
    every = follow(of.answer, draws, shift)
    for number in range(draws.count):
        wanted = np.diff(draws.sold[:, number]).tolist()
        struck = [month for month, who in enumerate(draws.struck) if number in who]
        one = one_future(of.answer, wanted, shift, struck)
        assert every.cost[number] == pytest.approx(one.cost)
        assert every.late[number] == one.late


@pytest.mark.parametrize("case", [each for each in CASES if "drawing" not in each])
def test_where_everything_is_certain_a_route_costs_what_its_plan_does_and_never_less(
    case: str,
) -> None:
    """The rule's own orders, reckoned by the plan's second evaluator, cost what it says.

    A rule does not steer by the life of a tool, so that it may pay for another too early.
    """
    quotes, name, part = CASES[case]
    of = answering(found(*quotes, **part | {"demand": SURE}), name, scatters=False)
    plan, law = of.plan, of.knowledge.law
    cost = float(follow(of.answer, certain(law, plan.setting.horizon.demand, 1), 0).cost[0])
    one = one_future(of.answer, plan.setting.horizon.demand, of.knowledge.shift)
    placed = [
        Placed(month, plan.offers[source].name, pieces) for month, source, pieces in one.orders
    ]
    assert one.late == 0
    assert cost == pytest.approx(recost(plan.problem, placed) / UNITS, rel=1e-6)
    most = 1.12 if "wears" in case else 1.03
    assert float(plan.present) - 0.001 <= cost <= most * float(plan.present)


def test_a_route_orders_the_same_until_sales_differ() -> None:
    """What is sold after the day of an order cannot change it."""
    of = answering(found(MILL, FOUNDRY, needed_by="2026-12-07"), BOTH, scatters=True)
    base = list(of.plan.setting.horizon.demand)
    shift = of.knowledge.shift
    before = one_future(of.answer, base, shift).orders
    for month in range(1, 24):
        other = base[:month] + [2 * each + 7 for each in base[month:]]
        after = one_future(of.answer, other, shift).orders
        known = [m for m, rule in enumerate(of.answer.rule) if rule and rule.known <= month]
        assert [each for each in after if each[0] in known] == [
            each for each in before if each[0] in known
        ]


def test_the_mean_cost_is_that_of_all_futures_weighed_by_their_chance() -> None:
    """Exact enumeration: each of four months wants 0, 10 or 30, on its own."""
    of = answering(found(MILL, workshop={"planning_months": "4"}), "mill/mill-1", scatters=True)
    every = np.array(list(product((0, 10, 30), repeat=4))).T
    sold = np.concatenate([np.zeros((1, 81), dtype=int), np.cumsum(every, axis=0)])
    none = np.empty(0, dtype=np.intp)
    draws = Draws(level=np.ones(81), sold=sold.astype(np.int32), struck=(none,) * 4, scatters=True)
    exact = (
        sum(one_future(of.answer, each.tolist(), of.knowledge.shift).cost for each in every.T) / 81
    )
    assert follow(of.answer, draws, of.knowledge.shift).cost.mean() == pytest.approx(exact)


def test_more_is_kept_where_single_orders_scatter() -> None:
    result = found(MILL, demand=SURE)
    demand = result.plain.needs.demand
    months = tuple(demand.of_month(number) for number in range(24))
    draws = draw(pert(0.999, 1.0, 1.001), months, 0.0, 4096)
    some = {
        scatters: follow(answering(result, "mill/mill-1", scatters=scatters).answer, draws, 2)
        for scatters in (False, True)
    }
    assert some[True].late.mean() < some[False].late.mean() / 3


def test_a_route_learns_from_its_sales() -> None:
    """Sales at the high level make for larger orders later, sales at the low one for smaller."""
    of = answering(found(MILL), "mill/mill-1", scatters=True)
    law, shift = of.knowledge.law, of.knowledge.shift
    likely = of.plan.setting.horizon.demand
    large = one_future(of.answer, [round(law.most * each) for each in likely], shift)
    small = one_future(of.answer, [round(law.least * each) for each in likely], shift)
    assert large.orders[0] == small.orders[0]
    assert max(pieces for _, _, pieces in large.orders[1:]) > 1.4 * max(
        pieces for _, _, pieces in small.orders[1:]
    )
