"""Plans whose cost depends on all orders before: tool life, commitments, a supplier's share.

The least cost without these terms is a bound. Where its plan costs no more with them, that plan
is proven; this is the usual case. Else plans are built month by month, many at once. One is
given up where its cost so far and a bound for the rest reach the best plan known, or where
another plan in the same state can only end better. What is left at the end is the best.

The number of plans begun that are carried from month to month has a limit, a number and not a
time. Where it is passed those with the lowest bounds are kept, and the lowest bound given up is
said with the plan.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property

from quotegen.plan.bounds import (
    Bound,
    commitment_bounds,
    over_share,
    plain_bound,
    share_bounds,
    wear_bound,
)
from quotegen.plan.choices import Choices, Reach, choices_of
from quotegen.plan.counters import Counters
from quotegen.plan.counting import most_orders
from quotegen.plan.labels import begin
from quotegen.plan.problem import Placed, Problem, Share, Shortage, Solution, Source, Why
from quotegen.plan.recost import recost
from quotegen.plan.search import Search, goal_of
from quotegen.plan.trace import trace
from quotegen.plan.values import LARGEST, Values

# Of plans begun that are carried from one month to the next, when few and when many are tried:
# no more than that, but so many that about LOOKS orders are looked at in all, and some at least.
FEW_LABELS, FEW_LOOKS = 1_000, 6_000_000
MANY_LABELS, MANY_LOOKS = 5_000, 6_000_000
LEAST_LABELS = 20
SHARE_LOOKS = 4  # a look is so much dearer where there is a share
FEWEST_ORDERS = 64  # of a run, that are looked at where larger ones may still be of use
PARTS = (Fraction(1), Fraction(1, 2))


def remembering(problem: Problem, values: Values) -> Solution | Shortage:
    """The plan of least cost with all terms; values are the tables without them, with a plan.

    Where the search passed its limit, the best plan it met, with a bound below its cost.
    """
    memory = _Memory(problem=problem, values=values)
    memory.try_plan_of(values)
    if memory.orders is None or memory.best > values.least(0, problem.opening, 0):
        memory.search()
    if memory.orders is None:
        return Shortage(month=len(problem.demand) - 1, pieces=0, why=_why(memory))
    unit = most_orders(problem)
    cost = memory.best // unit
    if recost(problem, memory.orders) != cost:
        raise RuntimeError(f"the plan was to cost {cost}: {memory.orders}")
    bound = cost if memory.missed is None else min(cost, memory.missed // unit)
    return Solution(orders=memory.orders, cost=cost, bound=bound)


def _why(memory: _Memory) -> Why:
    problem = memory.problem
    if problem.share is not None and _too_few(problem, problem.share):
        return Why.SHARE
    if memory.missed is not None:
        return Why.SEARCH
    if problem.share is None:
        return Why.COMMITMENT
    if all(each.owed is not None for each in problem.commitments):
        return Why.SHARE
    unshared = remembering(replace(problem, share=None), memory.values)
    return Why.SHARE if isinstance(unshared, Solution) else Why.COMMITMENT


def _too_few(problem: Problem, share: Share) -> bool:
    """Whether the suppliers together may not bring everything, each with the most of its share."""
    suppliers = {share.suppliers.get(each.name, each.name) for each in problem.sources}
    return len(suppliers) * share.most < 1


@dataclass(kw_only=True)
class _Memory:
    """In units of counting_orders: best of the best plan known, missed of what was let go."""

    problem: Problem
    values: Values
    best: int = LARGEST
    orders: tuple[Placed, ...] | None = None
    missed: int | None = None
    bounds: list[Bound] = field(default_factory=list)

    @cached_property
    def counters(self) -> Counters:
        return Counters(problem=self.problem)

    def try_plan_of(self, values: Values) -> None:
        """The plan of these tables may be the best known with all terms."""
        if values.least(0, self.problem.opening, 0) >= values.never:
            return
        orders = trace(values)
        try:
            cost = recost(self.problem, orders)
        except ValueError:
            return
        cost = cost * self.counters.unit + len(orders)
        if self.orders is None or cost < self.best:
            self.best, self.orders = cost, orders

    def search(self) -> None:
        """With few plans at once, which is mostly enough; else with as many as may be."""
        choices = self._choices()
        if self.values.wide or choices is None:
            self.missed = self.values.least(0, self.problem.opening, 0)
            return
        self._find_bounds(sum(_most(each) for month in choices for each in month.values()))
        orders = max(1, sum(len(each.pieces) for month in choices for each in month.values()))
        few = max(LEAST_LABELS, min(FEW_LABELS, FEW_LOOKS // orders))
        many = max(LEAST_LABELS, min(MANY_LABELS, MANY_LOOKS // orders))
        missed = self._search(choices, few, spare=False)
        if self.problem.share is not None:
            missed = self._search(choices, max(LEAST_LABELS, many // SHARE_LOOKS), spare=True)
        elif missed < self.best:
            missed = max(missed, self._search(choices, many, spare=True))
        self.missed = missed if missed < self.best else None

    def _search(self, choices: list[Mapping[int, Choices]], width: int, *, spare: bool) -> int:
        search = Search(
            problem=self.problem,
            values=self.values,
            counters=self.counters,
            bounds=[plain_bound(self.values), *self.bounds],
            choices=choices,
            width=width,
            spare=spare,
            best=self.best,
            orders=self.orders,
        )
        search.run()
        self.best, self.orders = search.best, search.orders
        return search.missed

    def _choices(self) -> list[Mapping[int, Choices]] | None:
        """By month and place of the source; None where the sums may not fit in 64 bits."""
        found = [self._in_month(month) for month in range(len(self.problem.demand))]
        if any(each is None for month in found for each in month.values()):
            return None
        return [{place: each for place, each in month.items() if each} for month in found]

    def _in_month(self, month: int) -> Mapping[int, Choices | None]:
        return {
            place: choices_of(arriving, self._reach(month, source), self._dearest(source.name))
            for place, source in enumerate(self.values.problem.sources)
            if (arriving := source.arriving.get(month))
        }

    def _reach(self, month: int, source: Source) -> Reach:
        own = [each for each in self.problem.commitments if each.source == source.name]
        goal = goal_of(self.problem, self.values, month)
        good = goal - self.values.axes[month].low
        # For a share an order may be of use that brings more than anybody needs.
        spare = self.problem.share is not None
        return Reach(
            good=2 * good if spare else good,
            orders=FEWEST_ORDERS if spare else 1,
            pieces=max((each.amount for each in own if not each.by_value), default=0),
            counted=max((each.amount for each in own if each.by_value), default=0),
        )

    def _dearest(self, name: str) -> int:
        """The most that one piece can cost in further tools."""
        own = (wear for wear in self.problem.wears if name in wear.sources)
        return sum(max(wear.replacement, default=0) for wear in own) * self.counters.unit

    def _find_bounds(self, most: int) -> None:
        """most is the most good parts that a plan can buy."""
        for group in self._possible_bounds(most):
            for values in (each for bound in group for each in (bound.values, bound.without)):
                if values is not None:
                    self.try_plan_of(values)
            fit = [bound for bound in group if not bound.wide]
            if fit:
                self.bounds.append(max(fit, key=self._at_start))

    def _at_start(self, bound: Bound) -> int:
        """The bound before the first month."""
        start = begin(self.problem.opening, self.counters.start(), 0)
        return int(bound.of(bound.of_month(0), 0, start.stock, start.owned, start.counters)[0])

    def _possible_bounds(self, most: int) -> Iterator[list[Bound]]:
        """The bounds in groups, of each of which the one that is highest at the start serves."""
        plain, unit = self.values.problem, self.counters.unit
        if self.problem.wears:
            wears = tuple(
                replace(wear, replacement=tuple(each * unit for each in wear.replacement))
                for wear in self.problem.wears
            )
            yield from ([wear_bound(plain, wears, part)] for part in PARTS)
        for column, each in enumerate(self.problem.commitments, self.counters.of_commitments):
            yield list(commitment_bounds(plain, each, column, unit))
        if self.problem.share is not None and most:
            columns = self.counters.of_suppliers
            # For a supplier that has not too much without the share, a price only lowers the bound.
            for supplier in over_share(self.values, self.problem.share):
                yield list(share_bounds(plain, self.problem.share, supplier, columns, most))


def _most(choices: Choices) -> int:
    return int(choices.good.max(initial=0))
