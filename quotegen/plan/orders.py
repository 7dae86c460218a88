"""All orders of one source in one month, one by one, for tables that look at every stock."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from operator import attrgetter
from typing import Any

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[Any]  # int64 where it holds, Python's own numbers where not


@dataclass(frozen=True, slots=True, kw_only=True)
class Orders:
    """Good parts, rising and each number once, with the least cost of it and its fewest pieces.

    least[i] is the least of costs + goods x left from the i-th on: what an order costs at the
    least, every part of it left over, that brings at least goods[i].
    """

    goods: Numbers
    costs: Numbers
    pieces: Numbers
    least: Numbers


def orders_of(table: Numbers, left: int, most: int | None = None) -> Orders:
    """Every order of the runs in a table with the columns of COLUMNS.

    With most, each run is followed to the first order that brings so many good parts, and no
    further.
    """
    count = _count(table, most)
    number = np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    first, step = np.repeat(table, count, axis=0)[:, 1:].reshape(-1, 3, 2).transpose(2, 1, 0)
    many, goods, costs = first + step * number
    order = _sorted(goods, costs, many)
    order = order[np.flatnonzero(np.diff(goods[order], prepend=-1))]
    goods, costs, many = goods[order], costs[order], many[order]
    least = np.minimum.accumulate((costs + goods * left)[::-1])[::-1]
    return Orders(goods=goods.astype(np.int64), costs=costs, pieces=many, least=least)


def _count(table: Numbers, most: int | None) -> NDArray[np.int64]:
    count, good, good_step = (table[:, column].astype(np.int64) for column in (0, 3, 4))
    if most is None:
        return count
    steps = np.maximum(0, -(-(most - good) // np.maximum(good_step, 1))) * (good_step > 0)
    followed: NDArray[np.int64] = np.minimum(count, steps + 1)
    return followed


def _sorted(goods: Numbers, costs: Numbers, pieces: Numbers) -> Numbers:
    if costs.dtype != object:
        return np.lexsort((pieces, costs, goods))
    rows = list(zip(goods, costs, pieces, strict=True))
    return np.array(sorted(range(len(rows)), key=rows.__getitem__), dtype=np.intp)


@dataclass(frozen=True, kw_only=True)
class Shape:
    """What the tables of a source have in common over the months: all but their costs.

    Its orders one by one stand in the order of their good parts, fewest pieces first; starts has
    the place of the first order of each number of good parts.
    """

    table: NDArray[np.int64]

    @cached_property
    def many(self) -> int:
        return int(self.table[:, 0].sum())

    @cached_property
    def _each(self) -> tuple[Numbers, Numbers, Numbers, Numbers, Numbers]:
        """Of every order: its run and its place in it, good parts, pieces; and the starts."""
        count = self.table[:, 0]
        run = np.repeat(np.arange(len(count)), count)
        number = np.arange(self.many) - np.repeat(np.cumsum(count) - count, count)
        pieces, good = (self.table[run, at] + self.table[run, at + 1] * number for at in (1, 3))
        order = np.lexsort((pieces, good))
        run, number, pieces, good = run[order], number[order], pieces[order], good[order]
        return run, number, good, pieces, np.flatnonzero(np.diff(good, prepend=-1))

    @cached_property
    def slides(self) -> int:
        """How many slides the runs take, joined to grids where their steps are even."""
        return sum((grid.across > 1) + 1 for grid in grids_of(self.table))

    def orders(self, cost: Numbers, cost_step: Numbers, left: Numbers) -> tuple[Orders, ...]:
        """As orders_of by month, of costs [month, run] and left [month]."""
        run, number, good, pieces, starts = self._each
        every = cost[:, run] + cost_step[:, run] * number
        goods, costs = good[starts], np.minimum.reduceat(every, starts, axis=1)
        first = np.broadcast_to(starts, costs.shape)
        if len(starts) < len(run):
            least = every == np.repeat(costs, np.diff(starts, append=len(run)), axis=1)
            place = np.where(least, np.arange(len(run)), len(run))
            first = np.minimum.reduceat(place, starts, axis=1)
        beyond = (costs + goods * left[:, None])[:, ::-1]
        least = np.minimum.accumulate(beyond, axis=1)[:, ::-1]
        return tuple(
            Orders(goods=goods, costs=each[0], pieces=pieces[each[1]], least=each[2])
            for each in zip(costs, first, least, strict=True)
        )


LARGEST_SUM = 2.0**61  # that is reckoned in 64 bits


@dataclass(frozen=True, kw_only=True)
class Tables:
    """The tables of a source over all months in which its orders can arrive.

    cost and cost_step are [month, run]; left [month] is what a good part costs that nobody needs.
    """

    shape: Shape
    cost: NDArray[np.int64]
    cost_step: NDArray[np.int64]
    left: NDArray[np.int64]

    def table(self, place: int) -> NDArray[np.int64]:
        """[run, column] of one month, with the columns of COLUMNS."""
        table = self.shape.table.copy()
        table[:, 5], table[:, 6] = self.cost[place], self.cost_step[place]
        return table

    @cached_property
    def free(self) -> Tables:
        """The same with costs of 0."""
        nothing, of_left = np.zeros_like(self.cost), np.zeros_like(self.left)
        return Tables(shape=self.shape, cost=nothing, cost_step=nothing, left=of_left)

    def counting(self, unit: int) -> Tables | None:
        """In units of money so much smaller, one more for each order; None where they do not fit.

        That is beyond LARGEST_SUM.
        """
        largest = max(int(np.abs(each).max()) for each in (self.cost, self.cost_step, self.left))
        if largest * unit >= LARGEST_SUM:
            return None
        if unit not in self._counting:
            self._counting[unit] = Tables(
                shape=self.shape,
                cost=self.cost * unit + 1,
                cost_step=self.cost_step * unit,
                left=self.left * unit,
            )
        return self._counting[unit]

    @cached_property
    def _counting(self) -> dict[int, Tables]:
        return {}

    @cached_property
    def orders(self) -> tuple[Orders, ...]:
        """By month, every order one by one."""
        return self.shape.orders(self.cost, self.cost_step, self.left)

    @cached_property
    def doubtful(self) -> NDArray[np.bool_]:
        """[month, run]: whether a larger order may cost less, with what is left over."""
        count, good_step = self.shape.table[:, [0, 4]].astype(float).T
        with_left = self.cost_step.astype(float) + self.left.astype(float)[:, None] * good_step
        found: NDArray[np.bool_] = (count > 1) & (with_left < 1)
        return found

    @cached_property
    def sound(self) -> NDArray[np.bool_]:
        """By month, whether surely no run has a flaw; the others have to be looked at by run."""
        count, pieces, pieces_step, good, good_step = self.shape.table.T[:5]
        left = self.left[:, None]
        last, spare = self.cost + (count - 1) * self.cost_step, good + (count - 1) * good_step
        sound = (count > 0) & (pieces > 0) & (good >= 0)
        sound &= (count == 1) | ((pieces_step > 0) & (good_step >= 0))
        of_costs = (self.cost + left * good >= 0) & (last + left * spare >= 0)
        of_costs &= (count == 1) | (self.cost_step + left * good_step >= 0)
        found: NDArray[np.bool_] = (sound & of_costs).all(axis=1) & self._fit
        return found

    @property
    def _fit(self) -> NDArray[np.bool_]:
        """By month, whether the sums of soundness fit in 64 bits."""
        count, good, good_step = (float(self.shape.table[:, at].max()) for at in (0, 3, 4))
        sizes = np.maximum(np.abs(self.cost), np.abs(self.cost_step)).astype(float).max(axis=1)
        largest = count * sizes + (good + count * good_step) * np.abs(self.left.astype(float))
        found: NDArray[np.bool_] = largest <= LARGEST_SUM
        return found

    @cached_property
    def sizes(self) -> tuple[tuple[int, int, int], ...]:
        """By month, as sizes_of."""
        count, good, good_step = self.shape.table.T[[0, 3, 4]]
        most = int((good + good_step).max())
        spare = [most * abs(each) for each in self.left.tolist()]
        step = np.abs(self.cost_step[:, count > 1]).max(axis=1, initial=0)
        alike = (np.diff(self.shape.table[:, [0, 4]], axis=0) == 0).all(axis=1)
        even = alike & (np.diff(self.cost_step) == 0)
        across = np.max(np.abs(np.diff(self.cost)), axis=1, initial=0, where=even)
        costs, steps = np.abs(self.cost).max(axis=1), np.maximum(across, step)
        return tuple(zip(costs.tolist(), steps.tolist(), spare, strict=True))


def sizes_of(table: Numbers, left: int) -> tuple[int, int, int]:
    """Of all orders the largest: cost, step of cost, cost of what is left over of one.

    A step is one inside a run, or one between runs beside each other that may be of one grid.
    """
    count, _, _, good, good_step, cost, cost_step = table.T
    spare = int((good + good_step).max()) * abs(left)
    alike = (np.diff(table[:, [0, 4, 6]], axis=0) == 0).all(axis=1)
    across = np.abs(np.diff(cost))[alike].max(initial=0)
    step = np.abs(cost_step)[count > 1].max(initial=0)
    return int(np.abs(cost).max()), int(max(across, step)), spare


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """Runs that differ from each other as evenly as the orders in each of them.

    Order (i, k) brings good + i x good_across + k x good_step parts for
    cost + i x cost_across + k x cost_step; i counts to `across`, k to `count`, both left out.
    """

    good: int
    cost: int
    across: int
    good_across: int
    cost_across: int
    count: int
    good_step: int
    cost_step: int


def grids_of(table: Numbers) -> tuple[Grid, ...]:
    """The runs of a table, those beside each other joined where they fit together."""
    rows = [(row[0], *row[3:]) for row in table.tolist()]
    found, first = list[Grid](), 0
    while first < len(rows):
        beyond = _end_of_grid(rows, first)
        count, good, good_step, cost, cost_step = rows[first]
        wide = beyond - first > 1
        found.append(
            Grid(
                good=good,
                cost=cost,
                across=beyond - first,
                good_across=rows[first + 1][1] - good if wide else 0,
                cost_across=rows[first + 1][3] - cost if wide else 0,
                count=count,
                good_step=good_step,
                cost_step=cost_step,
            )
        )
        first = beyond
    return tuple(found)


def _end_of_grid(rows: Sequence[tuple[int, ...]], first: int) -> int:
    count, good, good_step, cost, cost_step = rows[first]
    good_across = cost_across = 0
    for place in range(first + 1, len(rows)):
        row, many = rows[place], place - first
        if many == 1:
            good_across, cost_across = row[1] - good, row[3] - cost
        expected = (count, good + many * good_across, good_step, cost + many * cost_across)
        if good_across <= 0 or row != (*expected, cost_step):
            return place
    return len(rows)


COLUMNS = ("count", "pieces", "pieces_step", "good", "good_step", "cost", "cost_step")


def table_of(runs: Sequence[object]) -> Numbers:
    """[run, column] of the runs."""
    rows = list(map(attrgetter(*COLUMNS), runs))
    try:
        table = np.array(rows, dtype=np.int64)
    except OverflowError:
        table = np.array(rows, dtype=object)
    return table.reshape(-1, len(COLUMNS))
