"""A route as it answers to any future: its reorder rule and what is paid beside the orders (R21).

The plan for the likely demand says from which month each offer is in force: its tool is ordered
then, whatever is sold. How much is ordered, and when, follows from what is sold.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from quotegen.compare.comparison import Comparison
from quotegen.costing.offer import Offer
from quotegen.judge.futures.buying import Buying, Stall, cheapest
from quotegen.judge.futures.knowledge import Knowledge
from quotegen.judge.futures.rule import Month, Ordering
from quotegen.plan.building import problem_of, supplies_of
from quotegen.plan.once import change_loss
from quotegen.plan.plan import Plan
from quotegen.plan.problem import UNITS, Problem
from quotegen.plan.sources import Borne, Setting, Supply


@dataclass(frozen=True, slots=True, kw_only=True)
class Worn:
    """A tool with a life in pieces ordered from some of the offers, by their numbers."""

    sources: frozenset[int]
    life: int
    another: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Owing:
    """What is owed at the end for each piece, or unit of value, that an offer lacks."""

    source: int
    amount: int
    each: float
    by_value: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The rule by month, and the money beside it, in the currency, on the plan's first day.

    once is what is paid whatever is sold; again by month what a new drawing that comes then makes
    due once more. late is what a piece that is owed at the end of a month costs, None where no
    price is stated; with lost it is not delivered any more. short is what a piece costs that
    lacks at the very end.
    """

    rule: tuple[Month | None, ...]
    opening: int
    once: float
    again: tuple[float, ...]
    worn: tuple[Worn, ...]
    owing: tuple[Owing, ...]
    late: tuple[float, ...] | None
    lost: bool
    short: float


def stalls_of(
    offers: Iterable[Offer], setting: Setting, most: float, borne: tuple[Borne, ...] = ()
) -> Mapping[str, Stall]:
    """The offers as stalls by name, with every order that a demand of so many times the likely
    one may ask for. borne is what the part bears of tools that serve others as well."""
    some = {offer.name: offer for offer in offers}
    demand = tuple(math.ceil(each * max(1.0, most)) for each in setting.horizon.demand)
    wider = replace(setting, horizon=replace(setting.horizon, demand=demand))
    narrow = supplies_of(some.values(), setting, borne)
    both = zip(narrow, supplies_of(some.values(), wider, borne), strict=True)
    return {
        supply.offer.name: Stall(supply=supply, segments=wide.segments) for supply, wide in both
    }


@dataclass(frozen=True, slots=True, kw_only=True)
class InForce:
    """An offer from the month of its first order on, for which its tools are made if with_tools."""

    stall: Stall
    month: int
    with_tools: bool


def answer_of(
    comparison: Comparison,
    plan: Plan,
    stalls: Mapping[str, Stall],
    knowledge: Knowledge,
    *,
    scatters: bool,
    then: InForce | None = None,
) -> Answer:
    """How the route of a plan answers; knowledge has the law and the months of the plan.

    then is an offer that takes over from the plan's own in its month.
    """
    own = (*_in_force(plan, stalls), *([then] if then is not None else []))
    route = _Route(comparison=comparison, plan=plan, offers=own)
    problem = problem_of(comparison, plan.setting, route.supplies)
    ordering = Ordering(
        knowledge=knowledge,
        buying=[route.buying(month) for month in range(plan.setting.horizon.months)],
        covers=route.covers,
        known=route.known,
        firsts=frozenset(each.month for each in own if each.with_tools),
        scatters=scatters,
        shelf=plan.problem.shelf,
    )
    late = problem.late
    return Answer(
        rule=ordering.rule,
        opening=problem.opening,
        once=float(sum(cost for _, cost, _ in route.once(problem))),
        again=route.again(problem),
        worn=tuple(route.worn(problem)),
        owing=tuple(route.owing(problem)),
        late=tuple(each / UNITS for each in late.cost) if late is not None else None,
        lost=late is not None and late.lost,
        short=float(route.supplies[-1].value_each) * plan.setting.at_end,
    )


def _in_force(plan: Plan, stalls: Mapping[str, Stall]) -> Iterator[InForce]:
    for offer in plan.offers:
        first = plan.first_of(offer)
        yield InForce(
            stall=stalls[offer.name],
            month=first.month,
            with_tools=first.tools_ordered is not None,
        )


@dataclass(frozen=True, kw_only=True)
class _Route:
    """A route's offers, numbered in the order in which they come into force."""

    comparison: Comparison
    plan: Plan
    offers: tuple[InForce, ...]

    @cached_property
    def supplies(self) -> tuple[Supply, ...]:
        return tuple(each.stall.supply for each in self.offers)

    def in_force(self, month: int) -> int:
        """The last offer that has come into force by a month, the first before all of them."""
        found = [n for n, each in enumerate(self.offers) if each.month <= month]
        return max(found, default=0)

    def buying(self, month: int) -> Buying | None:
        offers = self.offers[: self.in_force(month) + 1]
        found = [each.stall.in_month(month, number) for number, each in enumerate(offers)]
        return cheapest([each for each in found if each is not None])

    @property
    def covers(self) -> tuple[int, ...]:
        """The cover of R19 by month, of the offer in force; at its first order, of that one."""
        if self.comparison.part.record.late_costs is not None:
            return (0,) * self.plan.setting.horizon.months
        found = []
        for month in range(self.plan.setting.horizon.months):
            number = self.in_force(month)
            arriving = self.supplies[number].arriving.get(month)
            covers = arriving.covers if arriving is not None else 0
            own = self.offers[number]
            if arriving is not None and own.month == month and own.with_tools:
                covers = arriving.covers_first
            found.append(covers)
        return tuple(found)

    @property
    def known(self) -> tuple[int, ...]:
        """Months that are over on the day of the order for each month; no later one knows less.

        So that no order reckons with one that rests on later knowledge.
        """
        months = range(self.plan.setting.horizon.months)
        found = [self._known(self.supplies[self.in_force(month)], month) for month in months]
        for month in reversed(months[:-1]):
            found[month] = min(found[month], found[month + 1])
        return tuple(found)

    def _known(self, supply: Supply, month: int) -> int:
        timing = supply.timings.get(month)
        if timing is None:
            return month
        over = self.plan.setting.horizon.starts[1:]
        return min(month, sum(day <= timing.arrival.ordered for day in over))

    def once(self, problem: Problem) -> Iterator[tuple[int, float, float]]:
        """What is paid once: its month, its cost, and what a new drawing makes due again."""
        owned, setting = set(problem.owned), self.plan.setting
        for supply, source, own in zip(self.supplies, problem.sources, self.offers, strict=True):
            for key in sorted(set(source.once) - owned):
                loss = change_loss(supply, key, own.month, self.supplies)
                waits = setting.change * (setting.horizon.months - own.month)
                again = loss / waits if waits else 0.0
                yield own.month, source.once[key][own.month] / UNITS - loss, again
            owned |= set(source.once)

    def again(self, problem: Problem) -> tuple[float, ...]:
        """By month: what a new drawing makes due again of all that is paid for by then."""
        setting, once = self.plan.setting, tuple(self.once(problem))
        found = []
        for month, day in enumerate(setting.horizon.starts[:-1]):
            paid = 0.0
            for first, _, due in once:
                then = setting.discount.factor(setting.horizon.starts[first])
                paid += due * setting.discount.factor(day) / then if first <= month else 0.0
            found.append(paid)
        return tuple(found)

    def worn(self, problem: Problem) -> Iterator[Worn]:
        for wear in problem.wears:
            yield Worn(
                sources=frozenset(self._numbers[name] for name in wear.sources),
                life=wear.life,
                another=tuple(each / UNITS for each in wear.replacement),
            )

    def owing(self, problem: Problem) -> Iterator[Owing]:
        """Balances and yearly minimum values; a minimum that nothing is owed for is left out."""
        for each in problem.commitments:
            if each.owed is not None:
                unit = Fraction(1, UNITS) if not each.by_value else Fraction(1)
                yield Owing(
                    source=self._numbers[each.source],
                    amount=each.amount,
                    each=float(each.owed * unit),
                    by_value=each.by_value,
                )

    @property
    def _numbers(self) -> Mapping[str, int]:
        return {each.offer.name: number for number, each in enumerate(self.supplies)}
