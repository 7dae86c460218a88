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

    def orders(self, table: Numbers, left: int) -> Orders:
        """As orders_of, for the table of a month."""
        run, number, good, pieces, starts = self._each
        every = table[run, 5] + table[run, 6] * number
        goods, costs = good[starts], np.minimum.reduceat(every, starts)
        if len(starts) < len(every):
            place = np.arange(len(every))
            least = every == np.repeat(costs, np.diff(starts, append=len(every)))
            starts = np.minimum.reduceat(np.where(least, place, len(every)), starts)
        least = np.minimum.accumulate((costs + goods * left)[::-1])[::-1]
        return Orders(goods=goods, costs=costs, pieces=pieces[starts], least=least)


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
