"""Limits that a person has, whether a plan keeps them, and what each of them costs."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from quotegen.basics.money import Money
from quotegen.basics.printed import per_cent
from quotegen.compare.comparison import Comparison
from quotegen.plan.finding import OverLimit, plan_for
from quotegen.plan.plan import Plan
from quotegen.plan.problem import UNITS
from quotegen.plan.sources import Setting, Supply


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """A limit as a person wrote it, and the best plan with it and without it.

    kept tells whether the plan without it keeps it anyway. costs is what it costs, None where no
    plan keeps it; unproven is how much less a plan within it might cost than the one found, 0
    where that one is proven to cost least.
    """

    what: str
    written: str
    kept: bool
    without: Plan
    within: Plan | None
    unproven: Fraction

    @property
    def costs(self) -> Fraction | None:
        """None where no plan keeps it, and the cover of R19 with it."""
        if self.within is None or not self.within.is_as_safe_as(self.without):
            return None
        return self.within.present - self.without.present


Keeps = Callable[[Plan], bool]
MOST_HALVINGS = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ceiling:
    """A limit of money: what no plan may pass, as written, and whether a plan keeps it."""

    what: str
    written: str
    keeps: Keeps


def tools_in_any_year(plan: Plan) -> Fraction:
    """The most that is paid for tools within a year of the plan, counted from its first day."""
    years: dict[int, Fraction] = {}
    for each in plan.for_tools:
        year = (each.day - plan.setting.ordered).days // 365
        years[year] = years.get(year, Fraction(0)) + each.amount
    return max(years.values(), default=Fraction(0))


def kept(
    comparison: Comparison, supplies: Sequence[Supply], setting: Setting, free: Plan
) -> Plan | OverLimit:
    """The plan itself where it keeps every limit, else the least of those looked at that does."""
    broken = [each for each in _ceilings(comparison) if not each.keeps(free)]
    if not broken:
        return free
    every = [each.keeps for each in _ceilings(comparison)]
    least = _least(
        comparison, supplies, setting, free, lambda plan: all(keeps(plan) for keeps in every)
    )
    return least if least is not None else OverLimit(free=free)


def limits_of(
    comparison: Comparison,
    supplies: Sequence[Supply],
    setting: Setting,
    free: Plan,
    best: Plan | OverLimit,
) -> tuple[Limit, ...]:
    """What each limit costs by itself; shelf and shares are lifted to see it.

    best is what kept has found: it stands for a ceiling that is broken alone.
    """
    ceilings = _ceilings(comparison)
    broken = [each.what for each in ceilings if not each.keeps(free)]
    found = []
    for each in ceilings:
        plan: Plan | None = free
        if broken == [each.what]:
            plan = best if isinstance(best, Plan) else None
        elif each.what in broken:
            plan = _least(comparison, supplies, setting, free, each.keeps)
        found.append(_limit(each, free, plan))
    return (*found, *_held_limits(comparison, supplies, setting, free))


def _limit(ceiling: _Ceiling, free: Plan, plan: Plan | None) -> Limit:
    return Limit(
        what=ceiling.what,
        written=ceiling.written,
        kept=plan is free,
        without=free,
        within=plan,
        unproven=plan.present - free.present if plan is not None else Fraction(0),
    )


def _ceilings(comparison: Comparison) -> tuple[_Ceiling, ...]:
    """Limits that no state of the planner holds."""
    found = []
    budget = comparison.workshop.record.tooling_budget
    if budget is not None:
        keeps = _at_most(comparison, budget, tools_in_any_year)
        found.append(_Ceiling(what="tools in a year", written=str(budget), keeps=keeps))
    tied = comparison.part.record.money_tied_up_at_most
    if tied is not None:
        keeps = _at_most(comparison, tied, lambda plan: plan.peak[1])
        found.append(_Ceiling(what="money tied up", written=str(tied), keeps=keeps))
    return tuple(found)


def has_ceilings(comparison: Comparison) -> bool:
    """Whether there is a limit that a plan without it may break."""
    return bool(_ceilings(comparison))


def _at_most(comparison: Comparison, money: Money, measure: Callable[[Plan], Fraction]) -> Keeps:
    most = comparison.rates.convert(money)
    return lambda plan: measure(plan) <= most


def _held_limits(
    comparison: Comparison, supplies: Sequence[Supply], setting: Setting, bound: Plan
) -> Iterator[Limit]:
    """Shelf and share: the plan found keeps them; lifted one at a time they show what they cost."""
    part = comparison.part
    lifted = {
        "shelf_holds": ("good parts on the shelf", str(part.record.shelf_holds)),
        "most_from_one_supplier": (
            "good parts from one supplier",
            per_cent(part.record.most_from_one_supplier or Fraction(0)),
        ),
    }
    for field, (what, written) in lifted.items():
        if getattr(part.record, field) is None:
            continue
        free = plan_for(_with_part(comparison, {field: None}), supplies, setting)
        if isinstance(free, Plan):
            yield Limit(
                what=what,
                written=written,
                kept=free.present == bound.present,
                without=free,
                within=bound,
                unproven=Fraction(bound.solution.cost - bound.solution.bound, UNITS),
            )


def _with_part(comparison: Comparison, changes: Mapping[str, int | None]) -> Comparison:
    record = comparison.part.record.model_copy(update=dict(changes))
    return replace(comparison, part=replace(comparison.part, record=record))


def _least(
    comparison: Comparison,
    supplies: Sequence[Supply],
    setting: Setting,
    free: Plan,
    keeps: Keeps,
) -> Plan | None:
    """The cheapest plan found that keeps a limit: with fewer tools, and with less on the shelf.

    It keeps the cover of R19 as well where the plan without the limit does.
    """
    for_tools = tools_in_any_year(free) > _budget_for_tools(comparison, free)
    found: list[Plan] = []
    for chosen in _with_fewer_tools(supplies):
        given = free if len(chosen) == len(supplies) else None
        plan = _with_less_shelf(comparison, chosen, setting, keeps, given)
        if plan is not None and plan.is_as_safe_as(free):
            found.append(plan)
            if not for_tools:  # with fewer offers it hardly ever costs less; none of it is proven
                break
    return min(found, key=lambda plan: plan.present, default=None)


def _budget_for_tools(comparison: Comparison, free: Plan) -> Fraction:
    """The budget for tools in a year; where there is none, what the plan pays."""
    budget = comparison.workshop.record.tooling_budget
    return comparison.rates.convert(budget) if budget is not None else tools_in_any_year(free)


def _with_fewer_tools(supplies: Sequence[Supply]) -> Iterator[tuple[Supply, ...]]:
    """Every choice among the offers that want a tool, beside all that want none."""
    plain = tuple(each for each in supplies if not each.offer.has_tool)
    tooled = [each for each in supplies if each.offer.has_tool]
    for count in range(len(tooled), -1, -1):
        for chosen in itertools.combinations(tooled, count):
            yield tuple(sorted((*plain, *chosen), key=lambda each: each.offer.name))


def _with_less_shelf(
    comparison: Comparison,
    supplies: Sequence[Supply],
    setting: Setting,
    keeps: Keeps,
    given: Plan | None,
) -> Plan | None:
    """The best plan, which may be given, where it keeps the limit, else one for a smaller shelf.

    That is the largest shelf that keeps it. It is halved in on: less stock hardly ever ties up
    more money. Whether a cheaper plan keeps the limit is not proven, and is said not to be.
    """
    first = given or (plan_for(comparison, supplies, setting) if supplies else None)
    if not isinstance(first, Plan) or keeps(first):
        return first if isinstance(first, Plan) else None
    found, low = None, max(setting.horizon.demand) - 1
    high = max(month.before + month.arriving for month in first.months)
    for _ in range(MOST_HALVINGS):
        if high - low <= 1:
            break
        shelf = (low + high) // 2
        plan = plan_for(_with_part(comparison, {"shelf_holds": shelf}), supplies, setting)
        if isinstance(plan, Plan) and keeps(plan) and plan.is_as_safe_as(first):
            found, low = plan, shelf
        elif isinstance(plan, Plan) and plan.is_as_safe_as(first):
            high = shelf
        else:
            low = shelf
    return found
