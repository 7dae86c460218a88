"""What the routes of a part cost when one of its figures is another: by their plans.

This is the one door through which everything here asks for a cost. Costs are those of the plans
for the likely demand (R12), as the advice ranks by them; a ranking by another measure has to
change nothing but this module.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from quotegen.basics.money import Money
from quotegen.compare.comparison import Comparison
from quotegen.costing.offer import Standing
from quotegen.judge.advice import Advice
from quotegen.plan.building import problem_of, setting_of, supplies_of
from quotegen.plan.finding import MOST_NEED, Found, OverLimit, solved
from quotegen.plan.limits import kept, tools_in_any_year
from quotegen.plan.plan import Plan
from quotegen.plan.planning import Planning
from quotegen.plan.problem import UNITS, Problem, Source
from quotegen.plan.sources import Borne, Setting, Supply

MOST_SOURCES = 4  # in a bound over every choice among them


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """The offers that one plan may order from: those of a route, or one that cannot be signed.

    main is the name of the route's main offer. signable is False for an offer that cannot be
    signed today and would keep us from ordering if it were cheaper.
    """

    name: str
    offers: frozenset[str]
    main: str
    signable: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class WayCost:
    """The least present cost of a way, and the family that its plan belongs to (R16).

    limited tells that the plan was found under a limit of money, so that it need not be one of
    least cost for its offers.
    """

    way: Way
    plan: Plan
    limited: bool = False

    @property
    def cost(self) -> Fraction:
        return self.plan.present

    @property
    def covered(self) -> bool:
        return self.plan.is_covered

    @property
    def family(self) -> str:
        main = self.plan.main
        if main is None or self.plan.name == self.way.name:
            return self.way.main
        return main.name


def ways_of(comparison: Comparison, planning: Planning, advice: Advice) -> tuple[Way, ...]:
    """A way for each route, in the order in which a tie is settled, and for each open offer."""
    found = list(ways_of_routes(comparison))
    best = planning.plan
    if best is not None and best.name not in {way.name for way in found} and best.main is not None:
        offers = frozenset(offer.name for offer in best.offers)
        found.append(Way(name=best.name, offers=offers, main=best.main.name))
    holding = {offer.supplier for offer in comparison.offers if offer.holds}
    found += [
        Way(name=offer.name, offers=frozenset({offer.name}), main=offer.name, signable=False)
        for offer in comparison.offers
        if not offer.holds
        and offer.priced
        and offer.standing not in (Standing.EXPIRED, Standing.REPLACED)
        and offer.supplier not in holding
        and offer.name not in _without_saving(advice)
    ]
    return tuple(found)


def _without_saving(advice: Advice) -> frozenset[str]:
    """Open offers that block whatever anything costs: what they save is not known."""
    return frozenset(each.offer.name for each in advice.unsettled if each.saving is None)


def always_blocked(advice: Advice) -> bool:
    return any(each.blocks and each.saving is None for each in advice.unsettled)


def ways_of_routes(comparison: Comparison) -> tuple[Way, ...]:
    return tuple(_of_route(r.name, [o.name for o in r.offers]) for r in comparison.routes)


def _of_route(name: str, offers: Sequence[str]) -> Way:
    return Way(name=name, offers=frozenset(offers), main=offers[-1])


def present_costs(ways: Iterable[Way], planning: Planning) -> dict[str, WayCost]:
    """What the study has found already, by the name of the way."""
    plans = {way: _found(way, planning) for way in ways}
    return {
        way.name: WayCost(way=way, plan=plan)
        for way, plan in plans.items()
        if isinstance(plan, Plan)
    }


def over_limits(ways: Iterable[Way], planning: Planning) -> frozenset[str]:
    """The ways of which no plan that was looked at keeps every limit of money."""
    return frozenset(way.name for way in ways if isinstance(_found(way, planning), OverLimit))


def _found(way: Way, planning: Planning) -> Found | None:
    best = planning.plan
    if best is not None and best.name == way.name:
        return best
    known = planning.routes if way.signable else planning.if_signed
    return known.get(way.name)


@dataclass(frozen=True, kw_only=True)
class Clerk:
    """Reckons what a way costs for a changed comparison.

    calendar has the supplies of the study as it is, by offer: the days of their orders stand as
    long as no lead time and no first day of use is another. borne is what the part bears of tools
    that other parts use as well (R5); it stays as it is. shelves has the most good parts on the
    shelf by which the study made a way keep its limits of money: that stays, and the limits
    themselves are not held against it at other values. last has the supply of each offer that was
    asked for last.
    """

    calendar: Mapping[str, Supply]
    borne: tuple[Borne, ...] = ()
    shelves: Mapping[str, int] = field(default_factory=dict)
    last: dict[str, Supply] = field(default_factory=dict)

    def supplies(self, comparison: Comparison, way: Way, setting: Setting) -> tuple[Supply, ...]:
        offers = [offer for offer in comparison.offers if offer.name in way.offers]
        return tuple(self._again(each) for each in supplies_of(offers, setting, self.borne))

    def _again(self, supply: Supply) -> Supply:
        """The last one of the offer where it is the same: several ways order from one offer."""
        last = self.last.get(supply.offer.name)
        if last is None or last.offer is not supply.offer or last.setting != supply.setting:
            last = self._known(supply)
            self.last[supply.offer.name] = last
        return last

    def _known(self, supply: Supply) -> Supply:
        """The supply with all that is reckoned already: itself, or the days of its orders."""
        known = self.calendar.get(supply.offer.name)
        if known is None or known.setting.horizon.starts != supply.setting.horizon.starts:
            return supply
        if known.offer is supply.offer and known.setting == supply.setting:
            return known
        if known.offer.arrival.reached != supply.offer.arrival.reached:
            return supply
        return replace(supply, longer=known)

    def cost(
        self, comparison: Comparison, way: Way, below: Fraction | None = None
    ) -> WayCost | None:
        """None where there is no plan, or where it certainly costs more than below."""
        setting = setting_of(comparison, comparison.needs.months)
        supplies = self.supplies(comparison, way, setting) if setting is not None else ()
        if setting is None or not supplies or setting.horizon.need > MOST_NEED:
            return None
        if way.name in self.shelves:
            comparison = _with_shelf(comparison, self.shelves[way.name])
        problem = problem_of(comparison, setting, supplies)
        if below is not None and least_cost(problem) > below:
            return None
        found = solved(problem, supplies, setting)
        if not isinstance(found, Plan):
            return None
        within: Found | None = found
        if way.signable and way.name not in self.shelves:
            within = _within_limits(comparison, supplies, setting, found)
        if not isinstance(within, Plan):
            return None
        return WayCost(way=way, plan=within, limited=within is not found)


def shelves_of(comparison: Comparison, costs: Iterable[WayCost]) -> dict[str, int]:
    """By the ways that keep their limits of money with less on the shelf, how much at most."""
    usual = comparison.part.record.shelf_holds
    found = {each.way.name: each.plan.problem.shelf for each in costs if each.way.signable}
    return {name: most for name, most in found.items() if most is not None and most != usual}


def _with_shelf(comparison: Comparison, most: int) -> Comparison:
    record = comparison.part.record.model_copy(update={"shelf_holds": most})
    return replace(comparison, part=replace(comparison.part, record=record))


def _within_limits(
    comparison: Comparison, supplies: tuple[Supply, ...], setting: Setting, free: Plan
) -> Found | None:
    """The plan under every limit of money; None where a tool of its offers alone breaks one.

    What is left without that tool's offer is a way of its own.
    """
    budget = comparison.workshop.record.tooling_budget
    if budget is not None:
        most = comparison.rates.convert(budget)
        if tools_in_any_year(free) > most < _dearest_tool(comparison, free):
            return None
    return kept(comparison, supplies, setting, free)


def _dearest_tool(comparison: Comparison, plan: Plan) -> Fraction:
    """The price of one tool that the plan buys, the dearest of them."""
    bought = {tool.tool for tool in plan.tools if tool.ordered is not None}
    prices = (
        comparison.rates.convert(tool.price)
        for offer in plan.offers
        for tool in offer.case.item.tools
        if tool.tool in bought and isinstance(tool.price, Money)
    )
    return max(prices, default=Fraction(0))


def least_cost(problem: Problem) -> Fraction:
    """A present cost below which no plan can lie: every part at the least that it can cost.

    Of each choice of sources what is paid once, where it is least, and the need at the least cost
    of a good part. 0 where pieces may be given up, or where there are too many choices.
    """
    need = sum(problem.demand) - problem.opening
    able = [source for source in problem.sources if source.arriving]
    if need <= 0 or problem.late is not None or not 0 < len(able) <= MOST_SOURCES:
        return Fraction(0)
    each = {source.name: _least_each(source) for source in able}
    return min(
        (sum(_once(chosen).values()) + need * min(each[source.name] for source in chosen)) / UNITS
        for count in range(1, len(able) + 1)
        for chosen in itertools.combinations(able, count)
    )


def _least_each(source: Source) -> Fraction:
    costs = [each.least_each for each in source.arriving.values() if each.least_each is not None]
    return min(costs, default=Fraction(0))


def _once(sources: Iterable[Source]) -> dict[str, int]:
    """By what is paid once, its least cost in any month in which its order could arrive."""
    found: dict[str, int] = {}
    for source in sources:
        months = [month for month in source.arriving if month >= source.first]
        for name, costs in source.once.items():
            least = min((costs[month] for month in months), default=0)
            found[name] = min(found.get(name, least), least)
    return found
