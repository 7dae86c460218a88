"""The answer at one value by brute force: every way planned afresh, nothing kept or skipped."""

from __future__ import annotations

from fractions import Fraction

from quotegen.judge.advice import Outcome
from quotegen.judge.turning.answer import Answer
from quotegen.judge.turning.figure import Figure, Sort, Turning
from quotegen.judge.turning.turning import Bench, Turnings, bench_of, turnings_of
from quotegen.plan.building import setting_of, supplies_of
from quotegen.plan.finding import plan_for
from quotegen.plan.limits import kept
from quotegen.plan.plan import Plan
from tests.folders import Forms, result_of


def bench(content: Forms) -> Bench:
    result = result_of(content)
    found = bench_of(result.comparison, result.planning, result.advice)
    if found is None:
        raise ValueError("nothing is planned")
    return found


def turnings(content: Forms) -> Turnings:
    return turnings_of(bench(content))


def one(found: Bench, sort: Sort, subject: str = "") -> Figure:
    (figure,) = [each for each in found.figures() if each.sort is sort and subject in each.subject]
    return figure


def turning_of(content: Forms, sort: Sort, subject: str = "") -> Turning:
    found = bench(content)
    return found.turning(one(found, sort, subject))


def brute(found: Bench, figure: Figure, value: Fraction) -> Answer:
    """By R15 and R16, written down again; ways are those of the study, and other bridges."""
    there = figure.change(found.comparison, value)
    setting = setting_of(there, there.needs.months)
    plans: list[tuple[bool, str, Plan]] = []
    ways = {way.name: way for way in (*found.ways, *found.moving_ways(figure, value))}.values()
    for way in ways:
        offers = [each for each in there.offers if each.name in way.offers]
        if setting is None:
            continue
        supplies = supplies_of(offers, setting)
        plan = plan_for(there, supplies, setting) if supplies else None
        if isinstance(plan, Plan) and way.signable:
            plan = kept(there, supplies, setting, plan)
        if isinstance(plan, Plan):
            own = plan.name == way.name or plan.main is None
            family = way.main if own or plan.main is None else plan.main.name
            plans.append((way.signable, family, plan))
    if any(signable and plan.is_covered for signable, _, plan in plans):
        plans = [each for each in plans if each[2].is_covered]
    costs: dict[str, Fraction] = {}
    for signable, family, plan in plans:
        if signable:
            costs[family] = min(plan.present, costs.get(family, plan.present))
    if not costs:
        return Answer(outcome=Outcome.NO_ROUTE, cheapest=None, ties=frozenset())
    margin = there.workshop.record.close_call
    first = [way.main for way in ways]
    best = min(costs, key=lambda name: (costs[name], first.index(name)))
    ties = frozenset(name for name, cost in costs.items() if cost <= costs[best] * (1 + margin))
    outcome = Outcome.TIE if len(ties) > 1 else Outcome.CHOSEN
    if any(not sign and plan.present < costs[best] * (1 - margin) for sign, _, plan in plans):
        outcome = Outcome.UNKNOWN
    return Answer(outcome=outcome, cheapest=best, ties=ties)


def said(turning: Turning, value: Fraction) -> set[object]:
    """The keys of the stretches that hold a value: two at an end."""
    return {each.answer.key for each in turning.stretches if each.first <= value <= each.last}
