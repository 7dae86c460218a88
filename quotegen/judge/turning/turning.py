"""For each figure of a part every value at which the answer turns, each with what it turns to.

Ranks as the advice does: by the present cost of plans for the likely demand (R12, R15, R16).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import partial
from itertools import pairwise

from quotegen.compare.comparison import Comparison, compare
from quotegen.costing.bill import Kind
from quotegen.judge.advice import Advice
from quotegen.judge.turning import changes
from quotegen.judge.turning.answer import Answer, Judge
from quotegen.judge.turning.figure import Exact, Figure, Shape, Sort, Stretch, Turning
from quotegen.judge.turning.listing import figures_of
from quotegen.judge.turning.steps import Looks, Monotone, Settled, stretches_of, told_of
from quotegen.judge.turning.straight import FINE, Broken, Course, Solver, Straight
from quotegen.judge.turning.ways import (
    Clerk,
    Way,
    WayCost,
    always_blocked,
    over_limits,
    present_costs,
    shelves_of,
    ways_of,
    ways_of_routes,
)
from quotegen.plan.building import setting_of, supplies_of
from quotegen.plan.limits import has_ceilings
from quotegen.plan.planning import Planning

MOST_EDGES = 6  # of the plain comparison, the nearest
# evenly over a range whose steps are not all looked at
LOOKS = {Sort.DEMAND: 2}
FEW_LOOKS = 1
MOST_KEPT = 40  # changed comparisons that are kept for the figure at hand
NO_LEAD_TIMES = (
    "Lead times: the part's form does not say when the parts are needed, so that use begins when "
    "the slowest can deliver."
)
SHELF_STAYS = (
    "Limits of money: the plan keeps them with less on the shelf. That shelf stays as it is, and "
    "the limits are not held against plans at other values."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Turnings:
    """Every figure that was examined, the one whose turning lies nearest first.

    here is the answer at the likely demand as it is; over all futures another may be advised.
    """

    figures: tuple[Turning, ...]
    not_examined: tuple[str, ...]
    here: Answer


def turnings_of(bench: Bench) -> Turnings:
    found = [bench.turning(figure) for figure in bench.figures()]
    far = Fraction(10**9)
    order = sorted(
        range(len(found)),
        key=lambda n: (near if (near := found[n].nearest) is not None else far, n),
    )
    return Turnings(
        figures=tuple(found[n] for n in order),
        not_examined=bench.not_examined(),
        here=bench.judge.answer(told_of(bench.costs.values())),
    )


def bench_of(comparison: Comparison, planning: Planning | None, advice: Advice) -> Bench | None:
    if planning is None or planning.plan is None or not comparison.needs.likely:
        return None
    every = ways_of(comparison, planning, advice)
    over = over_limits(every, planning)
    ways = tuple(way for way in every if way.name not in over)
    setting = setting_of(comparison, comparison.needs.months)
    if setting is None:
        return None
    margin = comparison.workshop.record.close_call
    costs = present_costs(ways, planning)
    return Bench(
        comparison=comparison,
        ways=ways,
        costs=costs,
        over=over,
        judge=Judge(
            margin=margin,
            always_blocked=always_blocked(advice),
            order=tuple(dict.fromkeys(way.main for way in ways)),
        ),
        clerk=Clerk(
            calendar={
                each.offer.name: each
                for each in supplies_of(comparison.offers, setting, planning.borne)
            },
            borne=planning.borne,
            shelves=shelves_of(comparison, costs.values()),
        ),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """One part as it is: its ways with what they cost, and who reckons them at other values."""

    comparison: Comparison
    ways: tuple[Way, ...]
    costs: Mapping[str, WayCost]
    judge: Judge
    clerk: Clerk
    over: frozenset[str] = frozenset()
    changed: dict[tuple[int, Fraction], Comparison] = field(default_factory=dict)

    def figures(self) -> tuple[Figure, ...]:
        return figures_of(self.comparison, {name for way in self.ways for name in way.offers})

    def not_examined(self) -> tuple[str, ...]:
        return tuple(self._not_examined())

    def _not_examined(self) -> Iterator[str]:
        if self.comparison.part.record.needed_by is None:
            yield NO_LEAD_TIMES
        if self.clerk.shelves:
            yield SHELF_STAYS
        if self.over:
            yield f"Left out, since no plan keeps every limit: {', '.join(sorted(self.over))}."

    def with_figure(self, figure: Figure, value: Fraction) -> Bench:
        """The same part with another value of one figure, every way solved."""
        if value == figure.value:
            return replace(self, changed={})
        there = figure.change(self.comparison, value)
        found = {way.name: self.clerk.cost(there, way) for way in self.ways}
        costs = {name: each for name, each in found.items() if each is not None}
        return replace(self, comparison=there, costs=costs, changed={})

    def turning(self, figure: Figure) -> Turning:
        """Every stretch of the figure's range with its answer."""
        if figure.shape is Shape.STRAIGHT:
            try:
                return self._straight(figure)
            except Broken:
                return self._monotone(figure)
        if figure.shape in (Shape.RISING, Shape.FALLING):
            return self._monotone(figure)
        return self._looked(figure)

    def cost(
        self, figure: Figure, way: Way, value: Fraction, below: Fraction | None = None
    ) -> WayCost | None:
        if value == figure.value:
            return self.costs.get(way.name)
        return self.clerk.cost(self._at(figure, value), way, below)

    def _at(self, figure: Figure, value: Fraction) -> Comparison:
        key = (id(figure), value)
        if key not in self.changed:
            if len(self.changed) >= MOST_KEPT:
                self.changed.clear()
            self.changed[key] = figure.change(self.comparison, value)
        return self.changed[key]

    def _unlifted(self, figure: Figure, way: Way, value: Fraction) -> WayCost | None:
        """The cost without minimum values of orders: a line, and never more than with them."""
        there = changes.without_minimum_values(self._at(figure, value), figure.lifted)
        return self.clerk.cost(there, way)

    def _is_unlifted(self, figure: Figure, known: WayCost, value: Fraction) -> bool:
        """Whether no minimum value lifts an invoice of the plan at a value, and so none above."""
        bills = {offer.name: offer.bill for offer in self._at(figure, value).offers}
        return not any(
            line.schedule.at(order.pieces)
            for order in known.plan.orders
            for line in bills[order.offer.name].lines
            if line.kind is Kind.MINIMUM
        )

    def _moving(self, figure: Figure) -> tuple[Way, ...]:
        return tuple(way for way in self.ways if way.offers & figure.moves)

    def _fixed(self, figure: Figure) -> dict[str, WayCost]:
        moving = {way.name for way in self._moving(figure)}
        return {name: each for name, each in self.costs.items() if name not in moving}

    def _straight(self, figure: Figure) -> Turning:
        known = {told.family: told for told in told_of(self.costs.values())}
        courses = tuple(
            self._course(figure, way)
            for way in self.ways
            if way.name in self.costs and self._counts(way)
        )
        if not known:
            raise Broken
        straight = Straight(judge=self.judge, courses=courses, step=figure.step)
        if has_ceilings(self.comparison):
            self._within_limits(figure, courses)
        edges = sorted({figure.low, figure.value, figure.high})
        stretches = straight.stretches(tuple(edges))
        alike = _merged(stretches)
        return Turning(figure=figure, stretches=alike, exact=Exact.EXACT, looked_at=straight.looked)

    def _within_limits(self, figure: Figure, courses: Sequence[Course]) -> None:
        """At the highest value most money is spent: what keeps its limits there keeps them."""
        for course in courses:
            if not course.is_fixed and course.way.signable:
                course.learn(figure.high, figure.high)

    def _counts(self, way: Way) -> bool:
        """A plan that gives up the cover is none beside one that keeps it; no price changes it."""
        covered = any(each.covered and each.way.signable for each in self.costs.values())
        return self.costs[way.name].covered or not covered

    def _course(self, figure: Figure, way: Way) -> Course:
        solve: Solver | None = None
        here, sound = self.costs[way.name], _always
        if way.offers & figure.lifted:
            solve = partial(self._unlifted, figure)
            unlifted = solve(way, figure.value)
            if unlifted is None or unlifted.limited:
                raise Broken
            here, sound = unlifted, partial(self._is_unlifted, figure)
        elif way.offers & figure.moves:
            solve = partial(self.cost, figure)
        return Course(
            way=way,
            low=figure.low,
            high=figure.high,
            fine=figure.step / FINE,
            solve=solve,
            sound=sound,
            solved={figure.value: here},
        )

    def _monotone(self, figure: Figure) -> Turning:
        start = _number(figure, figure.value)
        low, high = _ends(figure)

        def look(way: Way, number: int) -> WayCost | None:
            return self.cost(figure, way, _value(figure, number))

        moving = self._moving(figure)
        steps = Monotone(
            judge=self.judge,
            moving=moving,
            fixed=self._fixed(figure),
            look=look,
            falls=figure.shape is Shape.FALLING,
            costs={way.name: {start: self.costs.get(way.name)} for way in moving},
        )
        settled = steps.settled(sorted({low, start, high}))
        return self._turning(figure, settled, Exact.STEP, steps.looked)

    def _looked(self, figure: Figure) -> Turning:
        known: dict[int, list[WayCost]] = {}

        def costs(number: int) -> list[WayCost]:
            if number not in known:
                known[number] = self.costs_at(figure, _value(figure, number))
            return known[number]

        def some(number: int, names: frozenset[str]) -> Answer:
            if number in known:
                return self._answer(known[number])
            return self._answer(self.costs_at(figure, _value(figure, number), names))

        looks = Looks(costs=costs, some=some, answer=self._answer)
        settled = looks.settled(self._numbers(figure), _number(figure, figure.value))
        return self._turning(figure, settled, Exact.LOOKED, len(known))

    def answer(self, figure: Figure, value: Fraction) -> Answer:
        """The answer at one value, every way that matters solved."""
        return self._answer(self.costs_at(figure, value))

    def _answer(self, costs: Sequence[WayCost]) -> Answer:
        return self.judge.answer(told_of(costs))

    def costs_at(
        self, figure: Figure, value: Fraction, names: frozenset[str] | None = None
    ) -> list[WayCost]:
        """What the ways cost at one value, those left out that cannot matter; or only some."""
        if value == figure.value:
            return list(self.costs.values())
        found = list(self._fixed(figure).values())
        for way in self._ways_at(figure, value):
            if names is None or way.name in names:
                known = self.cost(figure, way, value, self._below(found))
                found += [known] if known is not None else []
        return found

    def _below(self, found: Sequence[WayCost]) -> Fraction | None:
        """What a way has to cost less than to matter, once one that keeps the cover is known."""
        costs = [each.cost for each in found if each.covered and each.way.signable]
        return min(costs) * (1 + self.judge.margin) if costs else None

    def _ways_at(self, figure: Figure, value: Fraction) -> list[Way]:
        """The ways that move, the cheapest first; another lead time asks for other bridges."""
        moving = list(self._moving(figure))
        if figure.sort is Sort.LEAD:
            moving = self._with_bridges(figure, value, moving)
        none = Fraction(10**12)
        return sorted(
            moving,
            key=lambda way: self.costs[way.name].cost if way.name in self.costs else none,
        )

    def _with_bridges(self, figure: Figure, value: Fraction, moving: list[Way]) -> list[Way]:
        there = figure.change(self.comparison, value)
        routes = compare(there.workshop, there.part, there.offers, there.rates, there.today)
        known = {way.offers for way in self.ways}
        return moving + [
            way
            for way in ways_of_routes(routes)
            if way.offers & figure.moves and way.offers not in known
        ]

    def _numbers(self, figure: Figure) -> list[int]:
        low, high = _ends(figure)
        start = _number(figure, figure.value)
        found = {low, start, high}
        looks = LOOKS.get(figure.sort, FEW_LOOKS)
        found |= {low + (high - low) * each // looks for each in range(looks)}
        if figure.sort is Sort.DEMAND:
            numbers = {_number(figure, Fraction(each)) for each in self._demands()}
            found |= {each for each in numbers if low <= each <= high}
        return sorted(found)

    def _demands(self) -> set[int]:
        """Demands a year at which the plain comparison has another cheapest route, and before."""
        needs = self.comparison.needs
        per_year = Fraction(needs.demand.likely, max(1, needs.likely + needs.on_hand))
        found = {needs.demand.low, needs.demand.high}
        spans = self.comparison.envelope.spans
        edges = [b for a, b in pairwise(spans) if a.route.main.name != b.route.main.name]
        edges.sort(key=lambda span: abs(span.first - needs.likely))
        for span in edges[:MOST_EDGES]:
            first = math.ceil((span.first + needs.on_hand) * per_year) - 1
            found |= {first, first + 1}
        return found

    def _turning(
        self, figure: Figure, settled: list[Settled], exact: Exact, looked: int
    ) -> Turning:
        stretches = stretches_of(settled, lambda number: _value(figure, number))
        return Turning(figure=figure, stretches=stretches, exact=exact, looked_at=looked)


def _always(_: WayCost, __: Fraction) -> bool:
    return True


def _number(figure: Figure, value: Fraction) -> int:
    return round((value - figure.value) / figure.step)


def _ends(figure: Figure) -> tuple[int, int]:
    """The numbers of the lowest and the highest value; the last step may be a part of one."""
    below, above = figure.value - figure.low, figure.high - figure.value
    return -math.ceil(below / figure.step), math.ceil(above / figure.step)


def _value(figure: Figure, number: int) -> Fraction:
    return min(max(figure.value + number * figure.step, figure.low), figure.high)


def _merged(stretches: Sequence[Stretch]) -> tuple[Stretch, ...]:
    found: list[Stretch] = []
    for each in stretches:
        if found and found[-1].answer.key == each.answer.key:
            each = Stretch(first=found.pop().first, last=each.last, answer=each.answer)  # noqa: PLW2901
        found.append(each)
    return tuple(found)
