"""The staged way through all futures: one route until the tool works, then with it (R22)."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import plans_of
from quotegen.judge.futures.answer import Answer, InForce, answer_of, stalls_of
from quotegen.judge.futures.buying import Stall
from quotegen.judge.futures.draws import Draws, draw
from quotegen.judge.futures.follow import follow
from quotegen.judge.futures.knowledge import Knowledge
from quotegen.judge.futures.law import law_of
from quotegen.judge.futures.making import planned_outlook
from quotegen.judge.futures.staged_way import follow_staged
from quotegen.judge.futures.staging import Staged, staged_of
from quotegen.plan.plan import Plan
from tests.folders import a_quote, a_tool, an_item
from tests.judge.futures.by_hand import one_future
from tests.judge.futures.cases import MILL, found

DEAR_DIE = a_tool("3500 EUR", takes="60 days", sample_takes="10 days")
FOUNDRY = a_quote("foss-1", an_item("5 EUR per 1", tools=[DEAR_DIE], multiple="12"))
FEW_OR_MANY = {"low": "6", "likely": "24", "high": "240"}


@dataclass(frozen=True, kw_only=True)
class Case:
    comparison: Comparison
    plain: Plan
    staged: Staged
    stalls: dict[str, Stall]
    knowledge: Knowledge
    draws: Draws

    def answer(self, time: int | None = None) -> Answer:
        """Without the tool, or as if it had been ordered at a time."""
        then = None
        if time is not None:
            month = int(self.staged.arrives[time])
            then = InForce(stall=self.staged.tooled, month=month, with_tools=True)
        return answer_of(
            self.comparison, self.plain, self.stalls, self.knowledge, scatters=True, then=then
        )

    def followed(self, times: np.ndarray) -> np.ndarray:
        staged = replace(self.staged, times=times)
        return follow_staged(
            self.comparison, self.plain, staged, self.stalls, self.knowledge, self.draws
        ).cost


@pytest.fixture(scope="module")
def case() -> Case:
    result = found(MILL, FOUNDRY, demand=FEW_OR_MANY, workshop={"planning_months": "48"})
    plans = plans_of(result.comparison, result.planning)
    plans = {name: plan for name, plan in plans.items() if len(plan.offers) == 1 or "foss" in name}
    setting = next(iter(plans.values())).setting
    law, months = law_of(result.comparison.part.record.demand), setting.horizon.demand
    draws = draw(law, months, setting.change, 256)
    knowledge = Knowledge(law=law, demand=months, most_sold=int(draws.sold.max()))
    offers = [offer for plan in plans.values() for offer in plan.offers]
    stalls = dict(stalls_of(offers, setting, law.most))
    means = {
        name: float(
            follow(
                answer_of(result.comparison, plan, stalls, knowledge, scatters=True),
                draws,
                knowledge.shift,
            ).cost.mean()
        )
        for name, plan in plans.items()
    }
    staged = staged_of(plans, means, stalls, knowledge, draws)
    assert staged is not None
    return Case(
        comparison=result.comparison,
        plain=plans[staged.trigger.plain],
        staged=staged,
        stalls=stalls,
        knowledge=knowledge,
        draws=draws,
    )


def test_the_rule_waits_and_orders_in_some_futures_only(case: Case) -> None:
    assert case.staged.trigger.waits
    times = set(case.staged.times.tolist())
    assert case.draws.months in times
    assert len(times) > 2


def test_each_future_costs_what_its_orders_cost_by_themselves(case: Case) -> None:
    """Month by month with plain numbers: before the tool is ordered the first answer's orders."""
    costs = case.followed(case.staged.times)
    without = case.answer()
    for number in range(case.draws.count):
        time, answer = int(case.staged.times[number]), without
        if time < case.draws.months:
            both = case.answer(time)
            pairs = zip(without.rule, both.rule, strict=True)
            early = [(a, b, a is not None and a.known < time) for a, b in pairs]
            answer = replace(both, rule=tuple(a if is_early else b for a, b, is_early in early))
        wanted = np.diff(case.draws.sold[:, number]).tolist()
        struck = [month for month, who in enumerate(case.draws.struck) if number in who]
        one = one_future(answer, wanted, case.knowledge.shift, struck)
        assert costs[number] == pytest.approx(one.cost)


def test_a_tool_that_is_never_ordered_leaves_the_first_route(case: Case) -> None:
    never = np.full(case.draws.count, case.draws.months)
    first = follow(case.answer(), case.draws, case.knowledge.shift).cost
    assert case.followed(never) == pytest.approx(first)


def test_a_tool_that_is_ordered_at_once_is_known_to_every_order(case: Case) -> None:
    at_once = np.zeros(case.draws.count, dtype=np.int64)
    both = follow(case.answer(0), case.draws, case.knowledge.shift).cost
    assert case.followed(at_once) == pytest.approx(both)


def test_the_staged_way_is_listed_and_may_cost_least_of_all() -> None:
    """Few or many, and nobody knows which: who waits pays for the die if many."""
    result = found(MILL, FOUNDRY, demand=FEW_OR_MANY, workshop={"planning_months": "48"})
    outlook = planned_outlook(result.comparison, result.planning)
    assert outlook is not None
    assert outlook.staged is not None
    assert outlook.staged.mean < outlook.least_expected.mean
    assert sum(each.cheapest for each in outlook.listed) == pytest.approx(1, abs=0.001)
    assert set(outlook.routes) <= {route.name for route in result.comparison.routes}
