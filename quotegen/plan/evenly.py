"""The plan of one source that sells any number at one price: each order lasts until the next.

Wagner and Whitin, Dynamic version of the economic lot size model, Management Science 5 (1958)
89-96: where what is bought later is never dearer than what was kept, an order arrives when nothing
is left, and brings the demand of whole months.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from quotegen.plan.problem import Arriving, Placed, Problem, Source


def evenly(problem: Problem, unit: int) -> tuple[Placed, ...] | None:
    """The orders of least cost, by the rule of solve; None where the problem is not so simple.

    unit is more than any plan has orders. The problem is without wear, commitments and share.
    """
    months = _months(problem)
    if months is None:
        return None
    demand = _net(problem)
    return tuple(_orders(problem.sources[0], demand, _following(demand, months, unit)))


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
    is_any_number = run.good == 1 and run.good_step == 1 and run.count >= need
    return is_any_number and 0 <= run.cost_step <= run.cost


def _net(problem: Problem) -> list[int]:
    """The demand that what is on hand does not meet."""
    found, left = list[int](), problem.opening
    for wanted in problem.demand:
        found.append(max(0, wanted - left))
        left = max(0, left - wanted)
    return found


def _following(demand: Sequence[int], months: Sequence[Arriving], unit: int) -> list[int]:
    """For each month in which nothing is left, the first that its order does not serve.

    It is the month itself where none is ordered. An order that serves one month more never costs
    less: once it costs as much as the best, no larger one is looked at.
    """
    end = len(demand)
    least, follows = [0] * (end + 1), list(range(end))
    for month in range(end - 1, -1, -1):
        run, waits = months[month].runs[0], months[month].waits * unit
        each, cost = run.cost_step * unit, (run.cost - run.cost_step) * unit + 1
        best, after = -1, month
        for last in range(month, end):
            cost += demand[last] * each
            each += waits
            if 0 <= best <= cost:
                break
            total = cost + least[last + 1]
            if best < 0 or total < best:  # of equals the first: the smallest order
                best, after = total, last + 1
        if demand[month] or best < least[month + 1]:
            least[month], follows[month] = best, after
        else:
            least[month] = least[month + 1]
    return follows


def _orders(source: Source, demand: Sequence[int], follows: Sequence[int]) -> Iterator[Placed]:
    month = 0
    while month < len(demand):
        after = follows[month]
        if after > month:
            run, good = source.arriving[month].runs[0], sum(demand[month:after])
            yield Placed(month, source.name, run.pieces + (good - 1) * run.pieces_step)
        month = max(after, month + 1)
