"""The least cost with one order more, for every stock at once."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from quotegen.plan.orders import Grid, Numbers, Orders
from quotegen.plan.problem import Arriving, Run


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """The stocks of one month from low to high.

    With whole, high is all that is still needed; else it is the most that there can be, which is
    less. waiting[x - low] is how many months the first x pieces in stock wait in all, first in
    first out.
    """

    low: int
    high: int
    waiting: Numbers
    whole: bool = True

    @property
    def length(self) -> int:
        return self.high - self.low + 1

    def above(self, low: int) -> Axis:
        """The same from a higher stock on."""
        return replace(self, low=low, waiting=self.waiting[low - self.low :])


@dataclass(frozen=True, slots=True)
class Scale:
    """Money in units `times` as small, in which each order costs so many units more.

    With one unit more for an order, and units so small that all orders of a plan do not come to
    one of the problem's, the cheapest plan is one with the fewest orders among the cheapest.
    """

    times: int = 1
    order: int = 0


AS_IT_IS = Scale()


def with_one_order(
    after: Numbers,
    arriving: Arriving,
    axis: Axis,
    shelf: int | None,
    never: int,
    scale: Scale = AS_IT_IS,
) -> Numbers:
    """[row, s - low]: the least cost of one order that arrives at stock s, and all after it.

    after[row, x - low] is the least cost from stock x on; beyond the high of a whole axis it is the
    same as there, 0. About never or more means that it cannot be done. An order that takes s to x
    costs besides its own cost waits x (waiting(x) - waiting(s)), and left for each piece beyond it.
    """
    held = axis.waiting.astype(after.dtype) * (arriving.waits * scale.times)
    found = np.full_like(after, never)
    ahead = after + held
    if shelf is not None:
        ahead[:, max(0, shelf + 1 - axis.low) :] = never
    if after.dtype == object:
        _run_by_run(found, ahead, arriving, axis, shelf, never, scale)
    else:
        orders = scaled(arriving.orders(axis.length - 1), scale)
        if _grids_take_longer(arriving, axis):
            _order_by_order(found, ahead, orders, never)
        else:
            for grid in arriving.grids:
                _within(found, ahead, grid, scale)
        left, last = arriving.left * scale.times, int(held[-1])
        if shelf is None:
            _enough(found, axis, orders, left, last)
        elif axis.whole and axis.high <= shelf:
            _enough_for_shelf(found, axis, orders, left, last, shelf)
    found -= held
    return found


def scaled(orders: Orders, scale: Scale) -> Orders:
    if scale.times == 1:
        return orders
    return Orders(
        goods=orders.goods,
        costs=orders.costs * scale.times + scale.order,
        pieces=orders.pieces,
        least=orders.least * scale.times + scale.order,
    )


def _grids_take_longer(arriving: Arriving, axis: Axis) -> bool:
    """Measured: a slide takes some 20 us and 4 ns a stock, an order from a stock 0.6 ns."""
    return 0.6 * axis.length**2 < arriving.slides * (20_000 + 4 * axis.length)


def _run_by_run(
    found: Numbers,
    ahead: Numbers,
    arriving: Arriving,
    axis: Axis,
    shelf: int | None,
    never: int,
    scale: Scale,
) -> None:
    """Where costs do not fit into 64 bits."""
    held = int(axis.waiting[-1]) * arriving.waits * scale.times
    for grid in arriving.grids:
        _within(found, ahead, grid, scale)
    for run in arriving.runs:
        first = max(axis.low, axis.high - run.good - (run.count - 1) * run.good_step)
        if first < axis.high and (shelf is None or (axis.whole and axis.high <= shelf)):
            spare, cost = _beyond(run, arriving, axis.high - np.arange(first, axis.high), found)
            cost = cost * scale.times + scale.order + held
            if shelf is not None:
                cost[axis.high + spare > shelf] = never
            here = found[:, first - axis.low : -1]
            np.minimum(here, cost, out=here)


def _order_by_order(found: Numbers, ahead: Numbers, orders: Orders, never: int) -> None:
    """Every order from every stock, with no use of runs: quicker where these are short and many.

    The stocks are taken in blocks, since the higher ones have fewer before them.
    """
    length = found.shape[1]
    near = int(orders.goods.searchsorted(length))
    if not near:
        return
    first, last = int(orders.goods[0]), int(orders.goods[near - 1])
    costs = orders.costs[:near]
    if near < last + 1 - first:
        costs = np.full(last + 1 - first, never)
        costs[orders.goods[:near] - first] = orders.costs[:near]
    block = max(LEAST_BLOCK, length // 4)
    beside = np.full((len(ahead), length + block), never)
    beside[:, :length] = ahead
    for low in range(0, length - first, block):
        high = min(low + block, length - first)
        span = min(len(costs), length - first - low)
        # row s of the windows is what lies from stock s on; a view, nothing is copied
        windows = _windows(beside, low + first, high - low, span)
        here = found[:, low:high]
        np.minimum(here, (windows + costs[:span]).min(axis=2), out=here)


LARGEST_COST = 2**62
LEAST_BLOCK = 140  # stocks: with fewer the calls take longer than the sums


def _windows(values: Numbers, first: int, rows: int, span: int) -> Numbers:
    row, each = values.strides
    shape, strides = (len(values), rows, span), (row, each, each)
    return np.ndarray(shape, values.dtype, values, first * each, strides)


def _enough(found: Numbers, axis: Axis, orders: Orders, left: int, held: int) -> None:
    """Orders that bring all that is still needed, or more: nothing is ordered afterwards."""
    if not len(orders.goods):
        return
    first = max(0, axis.length - 1 - int(orders.goods[-1]))  # from here on one order is enough
    needed = np.arange(axis.length - 1 - first, 0, -1)
    cost = orders.least[orders.goods.searchsorted(needed)] - needed * left + held
    here = found[:, first:-1]
    np.minimum(here, cost, out=here)


def _enough_for_shelf(
    found: Numbers, axis: Axis, orders: Orders, left: int, held: int, shelf: int
) -> None:
    """As _enough, but no more than the shelf holds beside what is there."""
    spare, span = shelf - axis.high, axis.length
    costs = np.full(span + spare, LARGEST_COST)
    near = int(np.searchsorted(orders.goods, span + spare))
    costs[orders.goods[:near]] = orders.costs[:near] + orders.goods[:near] * left
    least = _slid(costs[None, :], spare + 1, 1)[0]
    needed = np.arange(span - 1, 0, -1)
    known = least[needed] < LARGEST_COST
    cost = least[needed] - needed * left + held
    np.minimum(found[:, :-1], cost, out=found[:, :-1], where=known)


def _within(found: Numbers, ahead: Numbers, grid: Grid, scale: Scale) -> None:
    """Orders that do not pass what is still needed."""
    if grid.good >= found.shape[1]:
        return
    here, least = found[:, : found.shape[1] - grid.good], ahead[:, grid.good :]
    if grid.across > 1:
        least = _slope(least, grid.across, grid.good_across, grid.cost_across * scale.times)
    if grid.count > 1 and grid.good_step:
        least = _slope(least, grid.count, grid.good_step, grid.cost_step * scale.times)
    np.minimum(here, least + (grid.cost * scale.times + scale.order), out=here)


def _slope(values: Numbers, count: int, stride: int, each: int) -> Numbers:
    """As _slid, each further one dearer by `each`."""
    length = values.shape[1]
    slope = np.arange(length, dtype=values.dtype)
    if stride > 1:
        slope //= stride
    slope *= each
    least = _slid(values + slope, min(count, (length - 1) // stride + 1), stride)
    least -= slope
    return least


def _slid(values: Numbers, count: int, stride: int) -> Numbers:
    """The least of count values, stride apart, from each place on; fewer at the end of the row."""
    if stride == 1 and count >= values.shape[1]:
        suffix: Numbers = np.minimum.accumulate(values[:, ::-1], axis=1)[:, ::-1]
        return suffix
    have, other = 1, np.empty_like(values)  # two arrays in turn: numpy would copy overlapping ones
    while have < count:
        more = min(have, count - have)
        left = values.shape[1] - more * stride
        if left <= 0:
            break
        np.minimum(values[:, :left], values[:, more * stride :], out=other[:, :left])
        other[:, left:] = values[:, left:]
        values, other = other, values
        have += more
    return values


def _beyond(
    run: Run, arriving: Arriving, needed: Numbers, like: Numbers
) -> tuple[Numbers, Numbers]:
    """The first order of the run that brings what is needed, a larger one would only cost more.

    Its pieces that are left over, and its cost with them; the same for all rows, since nothing
    is ordered afterwards.
    """
    lacking = needed - run.good
    step = np.maximum(-(-lacking // run.good_step), 0) if run.good_step else np.zeros_like(needed)
    spare = step * run.good_step - lacking
    cost = step.astype(like.dtype) * run.cost_step + run.cost
    return spare, cost + spare.astype(like.dtype) * arriving.left


def magnitude(arriving: Arriving, axis: Axis) -> int:
    """No figure that with_one_order adds to a cost is larger, and no sum of them."""
    cost, cost_step, spare = arriving.sizes
    return 2 * arriving.waits * int(axis.waiting[-1]) + cost + 2 * axis.length * cost_step + spare
