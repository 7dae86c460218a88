"""The orders behind a least cost."""

from __future__ import annotations

import numpy as np

from quotegen.plan.problem import Arriving, Placed
from quotegen.plan.values import Values
from quotegen.plan.windows import Axis, Numbers


def trace(values: Values) -> tuple[Placed, ...]:
    """The orders behind the least cost from the opening stock on."""
    return tuple(order for order, _ in with_good(values))


def with_good(values: Values) -> list[tuple[Placed, int]]:
    """The same, with the good parts of each order."""
    problem, found = values.problem, list[tuple[Placed, int]]()
    stock, owned = problem.opening, 0
    for month, wanted in enumerate(problem.demand):
        if stock >= values.axes[month].high:
            break
        placed = _in_month(values, month, stock, owned)
        found += placed
        stock += sum(good for _, good in placed)
        for order, _ in placed:
            owned |= values.things.needed[order.source]
        stock -= wanted
        if problem.late is None or problem.late.lost:
            stock = max(0, stock)
    return found


def _in_month(values: Values, month: int, stock: int, owned: int) -> tuple[tuple[Placed, int], ...]:
    """The orders of a month with the good parts of each, from the state before it."""
    if _without_order(values, month, stock, owned) == values.least(month, stock, owned):
        return ()
    axis, sources = values.axes[month].above(stock), values.problem.sources
    last = values.after_arrivals(month, values.tables[month + 1])
    turns = [last[:, stock - values.axes[month].low :]]
    leave = values.leave(month, max(0, stock))
    for source, may in zip(reversed(sources), reversed(leave), strict=True):
        turns.append(values.turn(month, source, may, turns[-1], axis) if any(may) else turns[-1])
    found = []
    for place, (source, may) in enumerate(zip(sources, leave, strict=True)):
        before, after = turns[len(sources) - place], turns[len(sources) - place - 1]
        needed = values.things.needed[source.name]
        if stock >= axis.high or not may[owned & needed != needed]:
            continue
        best = _best_order(values, source.arriving[month], axis, stock, after[owned | needed])
        least, pieces, good = best
        if least + values.things.cost(source, month, owned) == before[owned, stock - axis.low]:
            found.append((Placed(month, source.name, pieces), good))
            stock, owned = stock + good, owned | needed
    return tuple(found)


def _without_order(values: Values, month: int, stock: int, owned: int) -> int:
    late, left = values.problem.late, stock - values.problem.demand[month]
    if late is None or left >= 0:
        return values.least(month + 1, left, owned) if left >= 0 else values.never
    after = 0 if late.lost else left
    return values.least(month + 1, after, owned) - left * late.cost[month]


def _best_order(
    values: Values, arriving: Arriving, axis: Axis, stock: int, row: Numbers
) -> tuple[int, int, int]:
    """Least cost with an order from here, without once; its pieces; its good parts.

    row is the least cost after it, by the stock then.
    """
    shelf = values.problem.shelf
    waiting = axis.waiting.astype(row.dtype)
    found = [(values.never, 0, 0)]
    for run in arriving.runs:
        lacking = axis.high - stock - run.good
        steps = max(0, -(-lacking // run.good_step)) if run.good_step else 0
        step = np.arange(min(run.count - 1, steps) + 1)
        stocks = stock + run.good + step * run.good_step
        if shelf is not None:
            step, stocks = step[stocks <= shelf], stocks[stocks <= shelf]
        if not len(step):
            continue
        place = np.minimum(stocks, axis.high) - axis.low
        costs = row[place] + run.cost + step.astype(row.dtype) * run.cost_step
        costs += (waiting[place] - waiting[stock - axis.low]) * arriving.waits
        costs += np.maximum(stocks - axis.high, 0).astype(row.dtype) * arriving.left
        best = int(np.argmin(costs))
        pieces = run.pieces + best * run.pieces_step
        found.append((int(costs[best]), pieces, run.good + best * run.good_step))
    return min(found)
