"""The plans of one part: for each route, the best of all, and how they stand against others."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from quotegen.basics.days import months_after
from quotegen.compare.comparison import Comparison
from quotegen.compare.lots import order_for
from quotegen.compare.route import Route
from quotegen.costing.offer import Offer
from quotegen.plan.building import problem_of, setting_of, supplies_of
from quotegen.plan.drawing_up import plan_of
from quotegen.plan.finding import Found, TooLong, not_before, plan_for, solved
from quotegen.plan.limits import Limit, has_ceilings, kept, limits_of
from quotegen.plan.plan import Plan, PlannedOrder
from quotegen.plan.problem import Placed, Problem, Shortage, Solution, Why
from quotegen.plan.recost import recost
from quotegen.plan.sources import Borne, Setting, Supply


@dataclass(frozen=True, slots=True, kw_only=True)
class NextOrder:
    """What is ordered first, by when, and what becomes of it a month later.

    day is the last one on which it can be placed; of_tools tells that it is the tools which are
    ordered then. a_month_late is the best plan when nothing is ordered for a month from that day,
    or the shortage that follows; costs_more is what that plan costs more, None where it gives up
    the cover of R19.
    """

    order: PlannedOrder
    day: datetime.date
    of_tools: bool
    a_month_late: Found
    costs_more: Fraction | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Habit:
    """A way of ordering that needs no plan, what it would cost, and what a plan saves.

    It knows no limits of money or shelf, so that it is held against the best plan without them.
    """

    what: str
    plan: Plan
    saves: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class OtherMonths:
    """The best plan over another number of months (R13)."""

    months: int
    found: Found


@dataclass(frozen=True, kw_only=True)
class Planning:
    """Everything planned for one part.

    routes has what was found for each route of the comparison by its name; if_signed the same for
    each offer that cannot be signed, as if it could. best is over all offers that hold, every
    limit kept. earliest is the first day on which parts can be there, where
    too few can be in time. borne has the tools that are paid for together with other parts.
    """

    setting: Setting
    routes: Mapping[str, Found]
    if_signed: Mapping[str, Found]
    best: Found
    free: Plan | None
    limits: tuple[Limit, ...]
    others: tuple[OtherMonths, ...]
    next_order: NextOrder | None
    habits: tuple[Habit, ...]
    earliest: datetime.date | None
    borne: tuple[Borne, ...] = ()

    @property
    def plan(self) -> Plan | None:
        """The best plan; None where there is none."""
        return self.best if isinstance(self.best, Plan) else None

    @property
    def bridges(self) -> Mapping[str, int]:
        """Good parts that come before the main offer takes over, by the route that is planned.

        0 for the best plan where it orders from one offer alone.
        """
        found = {}
        for name, plan in {**self.routes, "": self.best}.items():
            if isinstance(plan, Plan) and len(plan.offers) == 2 and name in ("", plan.name):
                takes_over = min(o.month for o in plan.orders if o.offer is plan.offers[1])
                first = [o for o in plan.orders if o.offer is plan.offers[0]]
                found[plan.name] = sum(o.good for o in first if o.month <= takes_over)
        if self.plan is not None and len(self.plan.offers) == 1:
            found[self.plan.name] = 0
        return found


def plan_part(comparison: Comparison, borne: tuple[Borne, ...] = ()) -> Planning | None:
    """Plan a part over the workshop's months; None where nothing can be ordered or is wanted.

    borne is what it bears of tools that other parts use as well; any other tool it pays alone.
    """
    months = comparison.needs.months
    longest = setting_of(comparison, 2 * months)
    if longest is None or not comparison.needs.likely:
        return None
    holding = [offer for offer in comparison.offers if offer.holds]
    supplies = supplies_of(holding, longest, borne)
    bench = _Bench(comparison=comparison, longest=supplies, months=months)
    return replace(bench.planning(), borne=borne)


@dataclass(frozen=True, kw_only=True)
class _Bench:
    """A part's offers over the longest months looked at; fewer months are cut from them."""

    comparison: Comparison
    longest: tuple[Supply, ...]
    months: int

    def over(self, months: int) -> tuple[Setting, tuple[Supply, ...]]:
        setting = setting_of(self.comparison, months)
        if setting is None:
            raise ValueError("no offer holds")
        return setting, tuple(each.over(setting) for each in self.longest)

    @cached_property
    def here(self) -> tuple[Setting, tuple[Supply, ...]]:
        return self.over(self.months)

    def planning(self) -> Planning:
        setting, supplies = self.here
        found = plan_for(self.comparison, supplies, setting)
        best: Found = found
        if isinstance(found, Plan):
            best = kept(self.comparison, supplies, setting, found)
        routes = {route.name: self._route(route, best) for route in self.comparison.routes}
        if not isinstance(found, Plan) or isinstance(best, Shortage | TooLong):
            return _no_plan(self.comparison, setting, routes, self._if_signed(), found)
        shown = best if isinstance(best, Plan) else found
        return Planning(
            setting=setting,
            routes=routes,
            if_signed=self._if_signed(),
            best=best,
            free=found,
            limits=limits_of(self.comparison, supplies, setting, found, best),
            others=tuple(self._other_months()),
            next_order=_next_order(shown, supplies, setting),
            habits=tuple(_habits(self.comparison, supplies, setting, found, routes)),
            earliest=None,
        )

    def _route(self, route: Route, best: Found) -> Found:
        """The plan for a route's offers that keeps every limit.

        Where the best plan of all orders from no others, it is the best of these as well.
        """
        if isinstance(best, Plan) and {each.name for each in best.offers} <= _names(route):
            return best
        setting, supplies = self.here
        own = [each for each in supplies if each.offer in route.offers]
        found = plan_for(self.comparison, own, setting)
        if not isinstance(found, Plan):
            return found
        return kept(self.comparison, own, setting, found)

    def _if_signed(self) -> Mapping[str, Found]:
        setting, _ = self.here
        offers = [each for each in self.comparison.offers if not each.holds and each.priced]
        return {
            supply.offer.name: plan_for(self.comparison, [supply], setting)
            for supply in supplies_of(offers, setting)
        }

    def _other_months(self) -> Iterator[OtherMonths]:
        """The answer at half and at double the months, since tools suffer from a short horizon."""
        for months in (self.months // 2, self.months * 2):
            if months:
                setting, supplies = self.over(months)
                found = plan_for(self.comparison, supplies, setting)
                yield OtherMonths(months=months, found=found)


def _names(route: Route) -> set[str]:
    return {offer.name for offer in route.offers}


def _no_plan(
    comparison: Comparison,
    setting: Setting,
    routes: Mapping[str, Found],
    if_signed: Mapping[str, Found],
    found: Found,
) -> Planning:
    earliest = None
    if isinstance(found, Shortage) and found.why is Why.TIME:
        arrivals = [offer.arrival.first_parts for offer in comparison.offers if offer.holds]
        earliest = min((day for day in arrivals if day is not None), default=None)
    return Planning(
        setting=setting,
        routes=routes,
        if_signed=if_signed,
        best=found,
        free=None,
        limits=(),
        others=(),
        next_order=None,
        habits=(),
        earliest=earliest,
    )


def _next_order(plan: Plan, supplies: Sequence[Supply], setting: Setting) -> NextOrder | None:
    if not plan.orders:
        return None
    order = min(plan.orders, key=lambda each: (each.begins, each.month))
    day = order.begins
    own = [each for each in supplies if each.offer.name in {s.name for s in plan.problem.sources}]
    late = solved(not_before(plan.problem, own, months_after(day, 1)), own, setting)
    return NextOrder(
        order=order,
        day=day,
        of_tools=order.tools_ordered is not None,
        a_month_late=late,
        costs_more=_more(late, plan),
    )


def _more(late: Found, plan: Plan) -> Fraction | None:
    if not isinstance(late, Plan) or not late.is_as_safe_as(plan):
        return None
    return late.present - plan.present


def _habits(
    comparison: Comparison,
    supplies: Sequence[Supply],
    setting: Setting,
    best: Plan,
    routes: Mapping[str, Found],
) -> Iterator[Habit]:
    """Always at the cheapest piece price, and always a year's need at once."""
    able = [each for each in supplies if each.segments]
    cheapest = min(able, key=lambda each: (each.value_each, each.offer.name), default=None)
    if cheapest is not None:
        alone = None if has_ceilings(comparison) else routes.get(cheapest.offer.name)
        if alone is None:
            alone = plan_for(comparison, (cheapest,), setting)
        if isinstance(alone, Plan) and alone.is_as_safe_as(best):
            what = f"always at the cheapest piece price, {cheapest.offer.supplier_name}"
            yield Habit(what=what, plan=alone, saves=alone.present - best.present)
    yearly = _a_year_at_once(comparison, supplies, setting, best)
    if yearly is not None:
        what = "the same suppliers, always a year's need at once"
        yield Habit(what=what, plan=yearly, saves=yearly.present - best.present)


def _a_year_at_once(
    comparison: Comparison, supplies: Sequence[Supply], setting: Setting, best: Plan
) -> Plan | None:
    """The best plan until its main supplier delivers; from then a year's need, when it is time."""
    own = [each for each in supplies if each.offer in best.offers]
    problem = problem_of(comparison, setting, own)
    main = best.main
    if main is None:
        return None
    placed = _year_orders(problem, best, main)
    try:
        cost = recost(problem, placed)
    except ValueError:  # the habit cannot be kept up with these suppliers
        return None
    solution = Solution(orders=placed, cost=cost, bound=best.solution.bound)
    return plan_of(setting, problem, solution, own)


def _year_orders(problem: Problem, best: Plan, main: Offer) -> tuple[Placed, ...]:
    starts = min(order.month for order in best.orders if order.offer is main)
    orders = [each for each in best.solution.orders if each.month < starts]
    source = next(each for each in problem.sources if each.name == main.name)
    stock = problem.opening + sum(o.good for o in best.orders if o.month < starts)
    stock -= sum(problem.demand[:starts])
    for month in range(starts, len(problem.demand)):
        ahead = source.arriving.get(month + 1)
        needed = problem.demand[month] + (ahead.covers if ahead is not None else 0)
        rest = sum(problem.demand[month:]) - stock
        if stock < needed and rest > 0 and month in source.arriving:
            year = sum(problem.demand[month : month + 12])
            pieces = order_for(main.bill, min(year, rest))
            orders.append(Placed(month=month, source=main.name, pieces=pieces))
            stock += main.bill.good(pieces)
        stock -= problem.demand[month]
    return tuple(orders)
