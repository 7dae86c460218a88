"""Why there is no plan: the first month that cannot be served, and what stands in the way."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable
from dataclasses import replace

from quotegen.plan.problem import Arriving, Late, Problem, Rows, Run, Shortage, Why
from quotegen.plan.values import values_of


def shortage_of(problem: Problem) -> Shortage:
    """For a problem without a plan, its wear, commitments and share left out."""
    free = _of_arriving(problem, _for_nothing)
    if problem.late is not None:
        free = replace(free, late=Late(cost=(0,) * len(problem.demand)))
        month, lacking = len(problem.demand) - 1, _least(free, at_end=1)
    else:
        months = range(len(problem.demand))
        month = bisect_left(months, True, key=lambda last: not _served(_until(free, last)))
        free = _until(free, month)
        # All earlier months are served, since one piece of theirs outweighs this whole month.
        weights = (sum(free.demand) + 1,) * month + (1,)
        lacking = _least(replace(free, late=Late(cost=weights, lost=True)))
    return Shortage(month=month, pieces=lacking, why=_why(free))


def _why(free: Problem) -> Why:
    uncovered = _of_arriving(free, lambda each: replace(each, covers=0, covers_first=0))
    if not _served(replace(uncovered, shelf=None)):
        return Why.TIME
    return Why.COVER if _served(uncovered) else Why.SHELF


def _served(problem: Problem) -> bool:
    if problem.opening >= sum(problem.demand):
        return True
    values = values_of(problem)
    return values.least(0, problem.opening, 0) < values.never


def _least(problem: Problem, at_end: int | None = None) -> int:
    return values_of(problem, at_end).least(0, problem.opening, 0)


def _until(problem: Problem, last: int) -> Problem:
    """The problem of the months up to the last, which counts."""
    sources = tuple(
        replace(
            source,
            arriving={month: each for month, each in source.arriving.items() if month <= last},
            once={thing: costs[: last + 1] for thing, costs in source.once.items()},
        )
        for source in problem.sources
    )
    return replace(problem, demand=problem.demand[: last + 1], sources=sources)


def _of_arriving(problem: Problem, change: Callable[[Arriving], Arriving]) -> Problem:
    """The problem with its orders changed, and nothing to pay once."""
    sources = tuple(
        replace(
            source,
            arriving={month: change(each) for month, each in source.arriving.items()},
            once={thing: (0,) * len(costs) for thing, costs in source.once.items()},
        )
        for source in problem.sources
    )
    return replace(problem, sources=sources)


def _for_nothing(arriving: Arriving) -> Arriving:
    runs = arriving.runs
    free = runs.free if isinstance(runs, Rows) else tuple(_free(run) for run in runs)
    return replace(arriving, runs=free, waits=0, left=0)


def _free(run: Run) -> Run:
    return replace(run, cost=0, cost_step=0)
