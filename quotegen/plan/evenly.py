"""The plan of one source that sells any number at one price: each order lasts until the next.

Wagner and Whitin, Dynamic version of the economic lot size model, Management Science 5 (1958)
89-96: where what is bought later is never dearer than what was kept, an order arrives when nothing
is left, and brings the demand of whole months.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from quotegen.plan.orders import Numbers
from quotegen.plan.problem import Arriving, Placed, Problem, Source

LARGEST = 2**61  # that a sum of costs may reach
MOST_MONTHS = 1_000  # whose pairs are looked at all at once


def evenly(problem: Problem, unit: int) -> tuple[Placed, ...] | None:
    """The orders of least cost, by the rule of solve; None where the problem is not so simple.

    unit is more than any plan has orders. The problem is without wear, commitments and share.
    """
    months = _months(problem)
    if months is None or len(months) > MOST_MONTHS:
        return None
    demand = _net(problem)
    most = len(demand) * sum(demand) * max(each.waits for each in months)
    most += sum(abs(each.runs[0].cost_step) for each in months) * sum(demand)
    most += sum(abs(each.runs[0].cost) for each in months)
    if 2 * most * unit >= LARGEST:
        return None
    costs = _costs(demand, months, unit)
    return tuple(_orders(problem.sources[0], demand, costs, _least(demand, costs)))


def _months(problem: Problem) -> Sequence[Arriving] | None:
    if len(problem.sources) != 1 or problem.late is not None or problem.shelf is not None:
        return None
    source, need = problem.sources[0], sum(problem.demand)
    months = [source.arriving.get(month) for month in range(len(problem.demand))]
    found = [each for each in months if each is not None and _is_even(each, need)]
    if len(found) < len(months) or source.once or not found:
        return None
    later_is_no_dearer = all(
        b.waits <= a.waits and b.runs[0].cost_step <= a.runs[0].cost_step + a.waits
        for a, b in pairwise(found)
    )
    return found if later_is_no_dearer else None


def _is_even(arriving: Arriving, need: int) -> bool:
    if len(arriving.runs) != 1 or arriving.covers or arriving.covers_first:
        return False
    run = arriving.runs[0]
    return run.good == 1 and run.good_step == 1 and run.count >= need


def _net(problem: Problem) -> list[int]:
    """The demand that what is on hand does not meet."""
    found, left = list[int](), problem.opening
    for wanted in problem.demand:
        found.append(max(0, wanted - left))
        left = max(0, left - wanted)
    return found


def _least(demand: Sequence[int], costs: Numbers) -> Numbers:
    """The least cost from each month on, with nothing left before it."""
    found, least_of = np.zeros(len(demand) + 1, dtype=np.int64), np.minimum.reduce
    for month in range(len(demand) - 1, -1, -1):
        ordered = least_of(costs[month, month:] + found[month + 1 :])
        found[month] = ordered if demand[month] else min(ordered, found[month + 1])
    return found


def _costs(demand: Sequence[int], months: Sequence[Arriving], unit: int) -> Numbers:
    """[month, last]: of an order that serves its month and all until the last."""
    wanted, number = np.array(demand), np.arange(len(demand))
    runs = [each.runs[0] for each in months]
    once = np.array([run.cost - run.cost_step for run in runs])[:, None]
    step = np.array([run.cost_step for run in runs])[:, None]
    waits = np.array([each.waits for each in months])[:, None]
    until, waited = np.cumsum(wanted), np.cumsum(wanted * number)
    good = until - (until - wanted)[:, None]
    kept = waited - (waited - wanted * number)[:, None] - number[:, None] * good
    costs: Numbers = (once + good * step + kept * waits) * unit + 1
    return costs


def _orders(
    source: Source, demand: Sequence[int], costs: Numbers, least: Numbers
) -> Iterator[Placed]:
    month = 0
    while month < len(demand):
        if not demand[month] and least[month] == least[month + 1]:
            month += 1
            continue
        # the first of equals: the smallest order
        after = month + 1 + int((costs[month, month:] + least[month + 1 :]).argmin())
        run, good = source.arriving[month].runs[0], sum(demand[month:after])
        yield Placed(month, source.name, run.pieces + (good - 1) * run.pieces_step)
        month = after
