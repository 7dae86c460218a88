"""Which route is cheapest over two figures at once: demand and the price of a tool."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from quotegen.compare.comparison import Comparison
from quotegen.judge.advice import Advice
from quotegen.judge.turning.answer import Judge
from quotegen.judge.turning.figure import Exact, Figure, Sort, Stretch, joined
from quotegen.judge.turning.turning import Bench, Turnings, bench_of, turnings_of
from quotegen.plan.planning import Planning


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One demand a year, and which family is cheapest at every tool price of the range.

    exact is as of a turning; None where nothing can be planned at that demand.
    """

    demand: int
    stretches: tuple[Stretch, ...]
    exact: Exact | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OverTwo:
    """Columns from the lowest demand to the highest; tool is the figure of the price."""

    tool: Figure
    columns: tuple[Column, ...]


def over_two(bench: Bench, turnings: Turnings) -> OverTwo | None:
    """Of the tool whose turning lies nearest; None for a part without a tool to pay for."""
    tools = [each.figure for each in turnings.figures if each.figure.sort is Sort.TOOL]
    demands = [each.figure for each in turnings.figures if each.figure.sort is Sort.DEMAND]
    if not tools or not demands:
        return None
    plain = without_margin(bench)
    columns = tuple(
        _column(plain, demands[0], tools[0], each) for each in _demands(bench.comparison)
    )
    return OverTwo(tool=tools[0], columns=columns)


def _demands(comparison: Comparison) -> tuple[int, ...]:
    """From the low demand to the high one; where they are the likely one, from half to twice."""
    demand = comparison.part.record.demand
    high = demand.high if demand.high > demand.likely else 2 * demand.likely
    low = demand.low if demand.low < demand.likely else demand.likely // 2
    found = {max(1, low), demand.likely, (demand.likely + high) // 2, high}
    return tuple(sorted(each for each in found if each))


def _column(bench: Bench, demand: Figure, tool: Figure, likely: int) -> Column:
    there = bench.with_figure(demand, Fraction(likely))
    same = [
        each
        for each in there.figures()
        if each.sort is Sort.TOOL and (each.subject, each.place) == (tool.subject, tool.place)
    ]
    if not there.costs or not same:
        return Column(demand=likely, stretches=(), exact=None)
    turning = there.turning(same[0])
    stretches = joined(turning.stretches, lambda answer: answer.cheapest)
    return Column(demand=likely, stretches=stretches, exact=turning.exact)


def without_margin(bench: Bench) -> Bench:
    """Only the cheapest route is asked for: no ties, and nothing that blocks."""
    judge = Judge(margin=Fraction(0), always_blocked=False, order=bench.judge.order)
    ways = tuple(way for way in bench.ways if way.signable)
    names = {way.name for way in ways}
    costs = {name: each for name, each in bench.costs.items() if name in names}
    return replace(bench, judge=judge, ways=ways, costs=costs, changed={})


@dataclass(frozen=True, kw_only=True)
class Turned:
    """What would change the answer of one part: reckoned when it is asked for, and once."""

    comparison: Comparison
    planning: Planning | None
    advice: Advice

    @cached_property
    def bench(self) -> Bench | None:
        return bench_of(self.comparison, self.planning, self.advice)

    @cached_property
    def turnings(self) -> Turnings | None:
        """None where nothing is planned to the piece, so that nothing can be ranked."""
        return turnings_of(self.bench) if self.bench is not None else None

    @cached_property
    def over_two(self) -> OverTwo | None:
        if self.bench is None or self.turnings is None:
            return None
        return over_two(self.bench, self.turnings)
