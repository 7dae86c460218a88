"""The least cost with one order more, for every stock at once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.lib.stride_tricks import as_strided
from numpy.typing import NDArray

from quotegen.plan.problem import Arriving, Run

Numbers = NDArray[Any]  # int64 where it holds, Python's own numbers where not


@dataclass(frozen=True, slots=True, kw_only=True)
class Axis:
    """The stocks of one month from low to high, high being all that is still needed.

    waiting[x - low] is how many months the first x pieces in stock wait in all, first in first
    out.
    """

    low: int
    high: int
    waiting: Numbers

    @property
    def length(self) -> int:
        return self.high - self.low + 1

    def above(self, low: int) -> Axis:
        """The same from a higher stock on."""
        return Axis(low=low, high=self.high, waiting=self.waiting[low - self.low :])


def with_one_order(
    after: Numbers, arriving: Arriving, axis: Axis, shelf: int | None, never: int
) -> Numbers:
    """[row, s - low]: the least cost of one order that arrives at stock s, and all after it.

    after[row, x - low] is the least cost from stock x on; beyond axis.high it is the same as
    there, 0. About never or more means that it cannot be done. An order that takes s to x costs
    besides its own cost waits x (waiting(x) - waiting(s)), and left for each piece beyond high.
    """
    held = axis.waiting.astype(after.dtype) * arriving.waits
    found = np.full_like(after, never)
    ahead = after + held
    if shelf is not None:
        ahead[:, max(0, shelf + 1 - axis.low) :] = never
    if after.dtype == object:
        _run_by_run(found, ahead, arriving, axis, shelf, never)
    else:
        goods, costs = _orders(arriving, axis)
        if _runs_take_longer(arriving, axis):
            _order_by_order(found, ahead, goods, costs, never)
        else:
            for run in arriving.runs:
                _within(found, ahead, run, axis.length)
        if shelf is None:
            _enough(found, arriving, axis, goods, costs)
        elif axis.high <= shelf:
            _enough_for_shelf(found, arriving, axis, goods, costs, shelf)
    found -= held
    return found


def _runs_take_longer(arriving: Arriving, axis: Axis) -> bool:
    """Measured: a run takes some 20 us and 4 ns a stock, an order from a stock 1.2 ns."""
    return 1.2 * axis.length**2 < len(arriving.runs) * (20_000 + 4 * axis.length)


def _run_by_run(
    found: Numbers, ahead: Numbers, arriving: Arriving, axis: Axis, shelf: int | None, never: int
) -> None:
    """Where costs do not fit into 64 bits."""
    held = axis.waiting[-1].astype(found.dtype) * arriving.waits
    for run in arriving.runs:
        _within(found, ahead, run, axis.length)
        first = max(axis.low, axis.high - run.good - (run.count - 1) * run.good_step)
        if first < axis.high and (shelf is None or axis.high <= shelf):
            spare, cost = _beyond(run, arriving, axis.high - np.arange(first, axis.high), found)
            cost += held
            if shelf is not None:
                cost[axis.high + spare > shelf] = never
            here = found[:, first - axis.low : -1]
            np.minimum(here, cost, out=here)


def _order_by_order(
    found: Numbers, ahead: Numbers, goods: Numbers, costs: Numbers, never: int
) -> None:
    """Every order from every stock, with no use of runs: quicker where these are short and many."""
    length = found.shape[1]
    near = goods < length
    dense = np.full(length, never)
    dense[goods[near]] = costs[near]
    nothing = np.full(length - 1, never)
    for row, values in zip(found, ahead, strict=True):
        beside = np.concatenate([values, nothing])
        # row s of the windows is what lies from stock s on; a view, nothing is copied
        windows = as_strided(beside, (length, length), beside.strides * 2, writeable=False)
        np.minimum(row, (windows + dense).min(axis=1), out=row)


def _enough(found: Numbers, arriving: Arriving, axis: Axis, goods: Numbers, costs: Numbers) -> None:
    """Orders that bring all that is still needed, or more: nothing is ordered afterwards."""
    needed = axis.high - np.arange(axis.low, axis.high)
    least = np.minimum.accumulate((costs + goods * arriving.left)[::-1])[::-1]
    place = np.searchsorted(goods, needed)
    first = int(np.count_nonzero(place == len(goods)))  # place falls as the stock rises
    held = int(axis.waiting[-1]) * arriving.waits
    cost = least[place[first:]] - needed[first:] * arriving.left + held
    here = found[:, first:-1]
    np.minimum(here, cost, out=here)


def _enough_for_shelf(
    found: Numbers,
    arriving: Arriving,
    axis: Axis,
    goods: Numbers,
    costs: Numbers,
    shelf: int,
) -> None:
    """As _enough, but no more than the shelf holds beside what is there."""
    held = int(axis.waiting[-1]) * arriving.waits
    for at, needed in enumerate(range(axis.high - axis.low, 0, -1)):
        first, after = np.searchsorted(goods, (needed, needed + shelf - axis.high + 1))
        if first < after:
            spare = goods[first:after] - needed
            cost = (costs[first:after] + spare * arriving.left).min() + held
            np.minimum(found[:, at], cost, out=found[:, at])


def _orders(arriving: Arriving, axis: Axis) -> tuple[Numbers, Numbers]:
    """Good parts of the orders, each number once and rising, with the least cost of it.

    Each run goes to the first order that brings all that can be needed, and no further.
    """
    runs = arriving.runs
    shape = np.array([(run.count, run.good, run.good_step) for run in runs]).reshape(-1, 3)
    count, good, step = shape.T
    steps = np.maximum(0, -(-(axis.length - 1 - good) // np.maximum(step, 1))) * (step > 0)
    count = np.minimum(count, steps + 1)
    number = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    first, by = (np.array([run.cost for run in runs]), np.array([run.cost_step for run in runs]))
    goods = np.repeat(good, count) + np.repeat(step, count) * number
    costs = np.repeat(first, count) + np.repeat(by, count) * number
    order = np.lexsort((costs, goods))
    goods, costs = goods[order], costs[order]
    cheapest = np.ones(len(goods), dtype=bool)
    cheapest[1:] = goods[1:] != goods[:-1]
    return goods[cheapest], costs[cheapest]


def _within(found: Numbers, ahead: Numbers, run: Run, length: int) -> None:
    """Orders that do not pass what is still needed."""
    room = length - 1 - run.good
    if room < 0:
        return
    here, there = found[:, : length - run.good], ahead[:, run.good :]
    count = min(run.count, room // run.good_step + 1) if run.good_step else 1
    if count == 1:
        np.minimum(here, there + run.cost, out=here)
        return
    slope = (np.arange(length - run.good) // run.good_step).astype(ahead.dtype) * run.cost_step
    least = _slid(there + slope, count, run.good_step)
    least += run.cost - slope
    np.minimum(here, least, out=here)


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
    span = axis.length
    held = arriving.waits * int(axis.waiting[-1])
    return 2 * held + max((_size(run, arriving, span) for run in arriving.runs), default=0)


def _size(run: Run, arriving: Arriving, span: int) -> int:
    steps = span // run.good_step + 1 if run.good_step and run.count > 1 else 0
    spare = run.good + run.good_step
    return abs(run.cost) + 2 * steps * abs(run.cost_step) + spare * abs(arriving.left)
