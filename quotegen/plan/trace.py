"""The orders behind a least cost."""

from __future__ import annotations

import numpy as np

from quotegen.plan.orders import Numbers, Orders, orders_of
from quotegen.plan.problem import Arriving, Placed
from quotegen.plan.values import Values
from quotegen.plan.windows import Axis, scaled


def trace(values: Values) -> tuple[Placed, ...]:
    """The orders behind the least cost from the opening stock on."""
    return tuple(order for order, _ in with_good(values))


def with_good(values: Values) -> list[tuple[Placed, int]]:
    """The same, with the good parts of each order."""
    problem, found = values.problem, list[tuple[Placed, int]]()
    stock, owned = problem.opening, 0
    for month, wanted in enumerate(problem.demand):
        if stock >= values.needed[month]:
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
    least = values.least(month, stock, owned)
    if _without_order(values, month, stock, owned) == least:
        return ()
    axis, sources = values.axes[month].above(stock), values.problem.sources
    last = values.after_arrivals(month, values.tables[month + 1])
    turns = [last[:, stock - values.axes[month].low :]]
    leave = values.leave(month, max(0, stock))
    for source, may in zip(sources[:0:-1], leave[:0:-1], strict=True):
        turns.append(values.turn(month, source, may, turns[-1], axis) if any(may) else turns[-1])
    found = []
    for source, may, after in zip(sources, leave, reversed(turns), strict=True):
        needed = values.things.needed[source.name]
        if stock >= values.needed[month] or not may[owned & needed != needed]:
            continue
        best = _best_order(values, source.arriving[month], axis, stock, after[owned | needed])
        cost, pieces, good = best
        if cost + values.cost_once(source, month, owned) == least:
            found.append((Placed(month, source.name, pieces), good))
            stock, owned = stock + good, owned | needed
            least = int(after[owned, min(stock, axis.high) - axis.low])
    return tuple(found)


def _without_order(values: Values, month: int, stock: int, owned: int) -> int:
    late, left = values.problem.late, stock - values.problem.demand[month]
    if late is None or left >= 0:
        return values.least(month + 1, left, owned) if left >= 0 else values.never
    after = 0 if late.lost else left
    return values.least(month + 1, after, owned) - left * late.cost[month] * values.scale.times


def _best_order(
    values: Values, arriving: Arriving, axis: Axis, stock: int, row: Numbers
) -> tuple[int, int, int]:
    """Least cost with an order from here, without once; its pieces; its good parts.

    row is the least cost after it, by the stock then.
    """
    orders = _orders(arriving, axis.high - stock, values.wide)
    orders, shelf = scaled(orders, values.scale), values.problem.shelf
    stocks = stock + orders.goods
    if shelf is not None:
        stocks = stocks[: np.searchsorted(stocks, shelf, side="right")]
    if not len(stocks):
        return values.never, 0, 0
    waiting, place = axis.waiting.astype(row.dtype), np.minimum(stocks, axis.high) - axis.low
    costs = row[place] + orders.costs[: len(stocks)]
    times = values.scale.times
    costs += (waiting[place] - waiting[stock - axis.low]) * (arriving.waits * times)
    costs += np.maximum(stocks - axis.high, 0).astype(row.dtype) * (arriving.left * times)
    best = int(np.argmin(costs))
    return int(costs[best]), int(orders.pieces[best]), int(orders.goods[best])


def _orders(arriving: Arriving, most: int, wide: bool) -> Orders:
    if wide:
        return orders_of(arriving.table.astype(object), arriving.left, most)
    return arriving.orders(most)
