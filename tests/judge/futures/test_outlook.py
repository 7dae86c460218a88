"""The figures over all futures, counted by hand on a few of them (R21)."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from quotegen.judge.futures.draws import GROUPS
from quotegen.judge.futures.follow import Followed
from quotegen.judge.futures.making import planned_outlook
from quotegen.judge.futures.outlook import Outlook, Steps, coarsest, routes_over, step_from
from tests.judge.futures.cases import FOUNDRY, MILL, SHEETS, SURE, found


def over(**costs: list[float]) -> Outlook:
    many = {
        name: Followed(cost=np.array(cost), late=np.zeros(len(cost), dtype=np.int32))
        for name, cost in costs.items()
    }
    routes = {each.name: each for each in routes_over(many)}
    return Outlook(routes=routes, futures=4, months=1, level_mean=1.0)


def test_mean_regret_and_chance_of_being_cheapest_counted_by_hand() -> None:
    outlook = over(oak=[10, 10, 10, 50], ash=[20, 20, 20, 20])
    oak, ash = outlook.routes["oak"], outlook.routes["ash"]
    assert (oak.mean, ash.mean) == (20, 20)
    assert (oak.cheapest, ash.cheapest) == (Fraction(3, 4), Fraction(1, 4))
    assert (oak.regret, ash.regret) == (Fraction(15, 2), Fraction(15, 2))
    assert oak.worst == Fraction(2910, 100)
    assert ash.worst == 10


def test_regret_is_against_the_best_of_the_same_future() -> None:
    """Against the best of all futures, oak would have a regret of 5 in the first."""
    outlook = over(oak=[10, 40], ash=[15, 45], elm=[5 + 10, 100])
    assert outlook.routes["oak"].regret == 0
    assert outlook.routes["ash"].regret == 5


def test_routes_that_cost_the_same_share_the_future() -> None:
    outlook = over(oak=[10, 10], ash=[10, 30])
    assert [each.cheapest for each in outlook.routes.values()] == [Fraction(3, 4), Fraction(1, 4)]


def test_least_cost_and_least_regret_may_be_two_routes() -> None:
    outlook = over(oak=[10] * 9 + [100], ash=[21] * 10)
    assert outlook.least_expected.name == "oak"
    assert outlook.least_regret.name == "ash"


@pytest.mark.parametrize(
    ("least", "step"), [(0.0, 1), (1.0, 1), (1.2, 2), (3.0, 5), (6.0, 10), (18.0, 20), (54.0, 100)]
)
def test_steps_are_1_2_5_10_and_so_on(least: float, step: int) -> None:
    assert step_from(least) == step


def steps_of(first: np.ndarray, second: np.ndarray) -> tuple[Steps, ...]:
    late = np.zeros(len(first), dtype=np.int32)
    many = {str(n): Followed(cost=each, late=late) for n, each in enumerate((first, second))}
    return tuple(each.steps for each in routes_over(many))


def test_a_figure_is_rounded_to_a_share_of_itself() -> None:
    """Nothing differs between the groups: 1.5 hundredths of 10,000 are 150, 0.4 of 5,000 are 20."""
    cost = np.full(GROUPS * 10, 10_000.0)
    dear, cheap = steps_of(cost, cost / 2)
    assert dear == Steps(mean=200, tails=500, regret=500, worst=2000)
    assert cheap == Steps(mean=100, tails=500, regret=20, worst=200)


def test_the_error_is_seen_between_groups_of_futures() -> None:
    """Each group costs another hundred; a share of the mean would be less."""
    cost = 100 * np.repeat(np.arange(GROUPS, dtype=float), 10)
    error = 100 * np.arange(GROUPS).std(ddof=1) / GROUPS**0.5
    assert steps_of(cost, cost * 0)[0].mean == step_from(12 * error)


def test_what_two_routes_share_is_rounded_to_the_coarser_step() -> None:
    one, other = (
        Steps(mean=10, tails=1, regret=1, worst=5),
        Steps(mean=2, tails=20, regret=1, worst=5),
    )
    assert coarsest([one, other]) == Steps(mean=10, tails=20, regret=1, worst=5)
    assert coarsest([]) == Steps(mean=1, tails=1, regret=1, worst=1)


def test_the_printed_mean_hardly_moves_with_other_draws() -> None:
    result = found(MILL, FOUNDRY, needed_by="2026-12-07")
    outlook = planned_outlook(result.comparison, result.planning)
    again = planned_outlook(result.comparison, result.planning, seed=7)
    assert outlook is not None
    assert again is not None
    for name, route in outlook.routes.items():
        assert abs(route.mean - again.routes[name].mean) < route.steps.mean
        assert abs(route.cheapest - again.routes[name].cheapest) < Fraction(1, 100)


def test_a_demand_of_one_number_leaves_nothing_to_look_out_for() -> None:
    result = found(MILL, SHEETS, demand=SURE)
    assert planned_outlook(result.comparison, result.planning) is None
    assert result.advice.outlook is None


def test_the_route_of_least_mean_cost_is_recommended_though_another_plan_costs_less() -> None:
    """A die for 1,000 pays at the likely 100 pieces and not at the 36 that come on average."""
    result = found(
        MILL,
        FOUNDRY,
        demand={
            "low": "6",
            "likely": "60",
            "high": "60",
            "scenarios": [
                {"a year": "6", "weight": "80 %"},
                {"a year": "60", "weight": "20 %"},
            ],
        },
        workshop={"planning_months": "24"},
    )
    advice = result.advice
    present = {each.route.main.supplier: advice.present(each) for each in advice.ranking}
    assert present["foss"] < present["mill"]
    assert advice.cost is not None
    assert advice.cost.route.main.supplier == "mill"
    assert advice.outlook is not None
    assert advice.expected(advice.cost) == advice.outlook.least_expected.mean
