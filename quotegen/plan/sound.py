"""What the solvers rely on in a problem; a builder that breaks it has a bug."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from quotegen.plan.problem import Arriving, Problem, Run, Source


def check(problem: Problem) -> None:
    """Raise ValueError, with the place, where the problem is not one that can be solved."""
    for complaint in _complaints(problem):
        raise ValueError(complaint)


def _complaints(problem: Problem) -> Iterator[str]:
    names = [source.name for source in problem.sources]
    if len(set(names)) < len(names):
        yield "two sources have one name"
    if min((*problem.demand, problem.opening, problem.shelf or 0), default=0) < 0:
        yield "demand, opening or shelf is below nothing"
    if problem.late is not None:
        yield from _by_month("late", problem.late.cost, problem)
    for source in problem.sources:
        yield from _of_source(source, problem)
    yield from _of_terms(problem, set(names))


def _by_month(what: str, costs: tuple[int, ...], problem: Problem) -> Iterator[str]:
    if len(costs) != len(problem.demand):
        yield f"{what}: {len(costs)} costs for {len(problem.demand)} months"
    elif min(costs, default=0) < 0:
        yield f"{what}: a cost is below nothing"


def _of_source(source: Source, problem: Problem) -> Iterator[str]:
    for thing, costs in source.once.items():
        yield from _by_month(f"{source.name}: {thing}", costs, problem)
    for month, arriving in source.arriving.items():
        if not 0 <= month < len(problem.demand):
            yield f"{source.name}: month {month} is not in the plan"
        if arriving.waits < 0 or arriving.covers < 0 or arriving.covers_first < 0:
            yield f"{source.name}, month {month}: waits or cover is below nothing"
        if arriving.flaw is not None:
            yield f"{source.name}, month {month}: {arriving.flaw}"


def without_falls(problem: Problem) -> Problem:
    """The same with runs of one where a run of two has a price break inside."""
    if not any(each.falls for source in problem.sources for each in source.arriving.values()):
        return problem
    sources = tuple(
        replace(source, arriving={month: _split(each) for month, each in source.arriving.items()})
        for source in problem.sources
    )
    return replace(problem, sources=sources)


def _split(arriving: Arriving) -> Arriving:
    if not arriving.falls:
        return arriving
    runs = (
        single(run, step) if run.falls(arriving.left) else run
        for run in arriving.runs
        for step in range(run.count if run.falls(arriving.left) else 1)
    )
    return replace(arriving, runs=tuple(runs))


def single(run: Run, step: int) -> Run:
    """One order of the run, as a run."""
    return Run(
        count=1,
        pieces=run.pieces + step * run.pieces_step,
        pieces_step=0,
        good=run.good + step * run.good_step,
        good_step=0,
        cost=run.cost + step * run.cost_step,
        cost_step=0,
        counted=run.counted + step * run.counted_step,
    )


def _of_terms(problem: Problem, names: set[str]) -> Iterator[str]:
    if len({wear.tool for wear in problem.wears}) < len(problem.wears):
        yield "two lives of one tool"
    for wear in problem.wears:
        yield from _by_month(wear.tool, wear.replacement, problem)
        if wear.life < 1 or not wear.sources <= names:
            yield f"{wear.tool}: a life of nothing, or a source that is not there"
    for commitment in problem.commitments:
        owed = commitment.owed
        if commitment.source not in names or commitment.amount < 0 or (owed or 0) < 0:
            yield f"{commitment.source}: not a commitment that can be kept"
    if problem.share is not None and not 0 <= problem.share.most <= 1:
        yield "a share below nothing or above all"
