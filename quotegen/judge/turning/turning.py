"""For each figure of a part every value at which the answer turns, each with what it turns to.

Ranks as the advice does: by the present cost of plans for the likely demand (R12, R15, R16).
"""

from __future__ import annotations

import contextlib
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import partial

from quotegen.compare.comparison import Comparison, compare
from quotegen.costing.bill import Kind
from quotegen.judge.advice import Advice
from quotegen.judge.turning import changes
from quotegen.judge.turning.answer import Answer, Judge
from quotegen.judge.turning.figure import Exact, Figure, Shape, Sort, Stretch, Turning
from quotegen.judge.turning.listing import figures_of
from quotegen.judge.turning.steps import Looks, Monotone, Settled, TooMany, stretches_of, told_of
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

MOST_KEPT = 40  # changed comparisons that are kept for the figure at hand
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
        """Every stretch of the figure's range with its answer.

        Where a limit of money bends what one way relies on, or takes it too long, the next is
        taken.
        """
        if figure.shape is Shape.STRAIGHT:
            with contextlib.suppress(Broken):
                return self._straight(figure)
        if figure.shape is not Shape.ANY and not self._is_short_of_room(figure):
            with contextlib.suppress(Broken, TooMany):
                return self._monotone(figure)
        return self._looked(figure)

    def _is_short_of_room(self, figure: Figure) -> bool:
        """Whether what less demand or fewer rejects leave over may find no place on the shelf."""
        return bool(self.clerk.shelves) and figure.sort in (Sort.DEMAND, Sort.REJECTS)

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
        settled: list[Settled] = []
        looked = 0
        for low, high in _parts(figure):
            within = low <= start <= high
            moving = self.moving_ways(figure, _value(figure, low))
            known = {way.name: self.costs.get(way.name) for way in moving}
            steps = Monotone(
                judge=self.judge,
                moving=moving,
                fixed=self._fixed(figure),
                look=partial(self._look, figure),
                wavers=partial(_wavers, figure),
                falls=figure.shape is Shape.FALLING,
                costs={name: {start: each} if within else {} for name, each in known.items()},
            )
            settled += steps.settled(sorted({low, high, *([start] if within else [])}))
            looked += steps.looked
        return self._turning(figure, settled, Exact.STEP, looked)

    def _look(
        self, figure: Figure, way: Way, number: int, others: Sequence[WayCost]
    ) -> WayCost | None:
        found = self._beaten_by(way, others) or self.cost(figure, way, _value(figure, number))
        if found is not None and found.limited and figure.wavers is not None:
            raise Broken
        return found

    def moving_ways(self, figure: Figure, value: Fraction) -> tuple[Way, ...]:
        """Those whose offers the figure is of, those of several first; with a lead time that is
        late where the present one is not, or the other way round, there are other bridges."""
        moving = self._moving(figure)
        here, start = _number(figure, value), _number(figure, figure.value)
        part = next((low, high) for low, high in _parts(figure) if low <= here <= high)
        if figure.sort is Sort.LEAD and not part[0] <= start <= part[1]:
            moving += self._more_bridges(figure, part, moving)
        return tuple(sorted(moving, key=lambda way: -len(way.offers)))

    def _looked(self, figure: Figure) -> Turning:
        ways = {part: self.moving_ways(figure, _value(figure, part[0])) for part in _parts(figure)}

        def costs(number: int, beside: Sequence[WayCost]) -> list[WayCost]:
            moving = next(each for part, each in ways.items() if part[0] <= number <= part[1])
            return self._costs_at(figure, _value(figure, number), moving, beside)

        looks = Looks(costs=costs, answer=self._answer)
        settled = looks.settled(_numbers(figure), _number(figure, figure.value))
        exact = Exact.STEP if figure.every == 1 else Exact.LOOKED
        return self._turning(figure, settled, exact, looks.looked)

    def answer(self, figure: Figure, value: Fraction) -> Answer:
        """The answer at one value, every way that matters solved."""
        return self._answer(self.costs_at(figure, value))

    def _answer(self, costs: Sequence[WayCost]) -> Answer:
        return self.judge.answer(told_of(costs))

    def costs_at(self, figure: Figure, value: Fraction) -> list[WayCost]:
        """What the ways cost at one value, those left out that cannot matter."""
        return self._costs_at(figure, value, self._moving(figure), ())

    def _costs_at(
        self, figure: Figure, value: Fraction, moving: Iterable[Way], beside: Sequence[WayCost]
    ) -> list[WayCost]:
        """beside is what was found at a value near it: who was cheap there is asked first."""
        if value == figure.value:
            return list(self.costs.values())
        found = list(self._fixed(figure).values())
        known = {each.way.name: each.cost for each in (*self.costs.values(), *beside)}
        none = Fraction(10**12)
        for way in sorted(moving, key=lambda way: (known.get(way.name, none), -len(way.offers))):
            if self._beaten_by(way, found) is None:
                cost = self.cost(figure, way, value, self._below(found))
                found += [cost] if cost is not None else []
        return found

    def _beaten_by(self, way: Way, found: Sequence[WayCost]) -> WayCost | None:
        """A plan of its family that was found among more offers than its own: none of its own
        costs less."""
        if has_ceilings(self.comparison) or len(way.offers) > 1:
            return None
        more = (
            each
            for each in found
            if way.offers < each.way.offers
            and each.way.signable
            and each.family == way.main
            and not self._share_a_tool(each.way)
        )
        return next(more, None)

    def _share_a_tool(self, way: Way) -> bool:
        """Then two quotes may describe it in two ways, and the dearer one counts for both."""
        offers = [each for each in self.comparison.offers if each.name in way.offers]
        tools = [tool.tool for offer in offers for tool in offer.case.item.tools]
        return len(set(tools)) < len(tools)

    def _below(self, found: Sequence[WayCost]) -> Fraction | None:
        """What a way has to cost less than to matter, once one that keeps the cover is known."""
        costs = [each.cost for each in found if each.covered and each.way.signable]
        return min(costs) * (1 + self.judge.margin) if costs else None

    def _more_bridges(
        self, figure: Figure, part: tuple[int, int], moving: Sequence[Way]
    ) -> tuple[Way, ...]:
        """The bridges of the first and of the last value of a part of the range."""
        known = {way.offers: way for way in moving}
        for number in part:
            there = self._at(figure, _value(figure, number))
            routes = compare(there.workshop, there.part, there.offers, there.rates, there.today)
            for way in ways_of_routes(routes):
                if way.offers & figure.moves:
                    known.setdefault(way.offers, way)
        return tuple(known.values())[len(moving) :]

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


def _numbers(figure: Figure) -> list[int]:
    """The values that are looked at whatever is found there: the present one and every so many."""
    low, high = _ends(figure)
    start = _number(figure, figure.value)
    below = range(start, low, -figure.every)
    return sorted({low, *below, *range(start, high, figure.every), high})


def _wavers(figure: Figure, first: int, last: int, orders: int) -> Fraction:
    if figure.wavers is None:
        return Fraction(0)
    return figure.wavers.share(_value(figure, first), _value(figure, last), orders)


def _parts(figure: Figure) -> list[tuple[int, int]]:
    """The range in parts, each from a jump of its bills to before the next."""
    low, high = _ends(figure)
    found = {math.ceil((each - figure.value) / figure.step) for each in figure.jumps}
    jumps = sorted(each for each in found if low < each <= high)
    firsts = [low, *jumps]
    return list(zip(firsts, [*(each - 1 for each in jumps), high], strict=True))


def _value(figure: Figure, number: int) -> Fraction:
    return min(max(figure.value + number * figure.step, figure.low), figure.high)


def _merged(stretches: Sequence[Stretch]) -> tuple[Stretch, ...]:
    found: list[Stretch] = []
    for each in stretches:
        if found and found[-1].answer.key == each.answer.key:
            each = Stretch(first=found.pop().first, last=each.last, answer=each.answer)  # noqa: PLW2901
        found.append(each)
    return tuple(found)
