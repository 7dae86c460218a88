"""Money in units so small that the number of orders counts only between equal costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from quotegen.plan.problem import Arriving, Late, Problem, Rows, Run, Source


def most_orders(problem: Problem) -> int:
    """One more than any plan can have orders."""
    return len(problem.demand) * len(problem.sources) + 1


def counting_orders(problem: Problem) -> Problem:
    """The same in such small units of money that each order may cost one unit more.

    So the cheapest plan is one with the fewest orders among the cheapest; the cost of the plan is
    the whole part of its cost here over most_orders.
    """
    unit, late = most_orders(problem), problem.late
    return replace(
        problem,
        sources=tuple(_counting(source, unit) for source in problem.sources),
        late=Late(cost=tuple(each * unit for each in late.cost), lost=late.lost) if late else None,
    )


def _counting(source: Source, unit: int) -> Source:
    return replace(
        source,
        arriving={month: _dearer(each, unit) for month, each in source.arriving.items()},
        once={thing: tuple(each * unit for each in cost) for thing, cost in source.once.items()},
    )


def _dearer(arriving: Arriving, unit: int) -> Arriving:
    runs = _runs(arriving.runs, unit)
    return replace(arriving, runs=runs, waits=arriving.waits * unit, left=arriving.left * unit)


def _runs(runs: Sequence[Run], unit: int) -> Sequence[Run]:
    dearer = runs.counting(unit) if isinstance(runs, Rows) else None
    if dearer is not None:
        return dearer
    return tuple(
        replace(run, cost=run.cost * unit + 1, cost_step=run.cost_step * unit) for run in runs
    )
