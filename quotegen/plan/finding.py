"""The plan of least present cost for some of a part's offers, or why there is none."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from quotegen.compare.comparison import Comparison
from quotegen.plan.building import problem_of
from quotegen.plan.drawing_up import plan_of
from quotegen.plan.plan import Plan
from quotegen.plan.problem import UNITS, Arriving, Problem, Shortage, Source, Why
from quotegen.plan.solve import solve
from quotegen.plan.sources import Setting, Supply

MOST_NEED = 20_000  # good parts; a plan to the piece for more takes longer than anyone waits


@dataclass(frozen=True, slots=True, kw_only=True)
class TooLong:
    """A plan to the piece would take too long: only a cost below which none can lie is known."""

    need: int
    at_least: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class OverLimit:
    """There are plans, but none of those looked at keeps every limit; free is the best of them."""

    free: Plan


Found = Plan | Shortage | TooLong | OverLimit


def plan_for(comparison: Comparison, supplies: Sequence[Supply], setting: Setting) -> Found:
    """The least present cost with these offers alone, R9, R12, R13, R15, R17 and R19 in full.

    Where no plan keeps the cover of R19, the least without it: its orders then say how likely it
    is to run out.
    """
    problem = problem_of(comparison, setting, supplies)
    if setting.horizon.need > MOST_NEED:
        return TooLong(need=setting.horizon.need, at_least=_least(problem, setting))
    return solved(problem, supplies, setting)


def solved(problem: Problem, supplies: Sequence[Supply], setting: Setting) -> Plan | Shortage:
    """The plan for a problem, with the cover of R19 where it can be kept."""
    found = solve(problem)
    if isinstance(found, Shortage) and found.why is Why.COVER:
        problem = _uncovered(problem)
        found = solve(problem)
    if isinstance(found, Shortage):
        return found
    return plan_of(setting, problem, found, supplies)


def not_before(problem: Problem, supplies: Sequence[Supply], day: datetime.date) -> Problem:
    """The same problem with nothing ordered before a day."""
    sources = zip(problem.sources, supplies, strict=True)
    return replace(problem, sources=tuple(_from(*each, day) for each in sources))


def _from(source: Source, supply: Supply, day: datetime.date) -> Source:
    timings = supply.timings
    again = {m: each for m, each in source.arriving.items() if timings[m].arrival.ordered >= day}
    firsts = [m for m in again if (tools := timings[m].tools) is not None and tools.ordered >= day]
    return replace(source, arriving=again, first=min(firsts, default=supply.setting.horizon.months))


def _uncovered(problem: Problem) -> Problem:
    return replace(problem, sources=tuple(_without_cover(each) for each in problem.sources))


def _without_cover(source: Source) -> Source:
    arriving = {month: _no_cover(each) for month, each in source.arriving.items()}
    return replace(source, arriving=arriving)


def _no_cover(arriving: Arriving) -> Arriving:
    return replace(arriving, covers=0, covers_first=0)


def _least(problem: Problem, setting: Setting) -> Fraction:
    """The need at the least cost of a good part in any order: nothing can be had for less."""
    every = (each for source in problem.sources for each in source.arriving.values())
    costs = [each.least_each for each in every if each.least_each is not None]
    return min(costs, default=Fraction(0)) * setting.horizon.need / UNITS
