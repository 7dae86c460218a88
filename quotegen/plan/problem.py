"""The planning problem in whole numbers: what every solver, oracle and evaluator works on.

Months count from 0, the first month in which pieces are used. An order arrives at the start of
a month, before that month's pieces are used. Money is in whole units of 10**-6 of the currency,
already discounted to one day, so that two methods that are both exact agree to the unit.

Within a month orders arrive in the order in which the sources stand in the problem: that is
their place in the queue of stock, and it says which of two pays for a tool that both need.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from functools import cached_property
from typing import overload

import numpy as np

from quotegen.plan.orders import (
    Grid,
    Numbers,
    Orders,
    Tables,
    grids_of,
    orders_of,
    sizes_of,
    table_of,
)

MOST_KEPT = 5_000  # orders, of which a month keeps every one; more are made anew when needed
UNITS = 10**6  # in one unit of the currency


@dataclass(frozen=True, slots=True, kw_only=True)
class Run:
    """Orders whose pieces, good parts and cost all grow by even steps: count of them.

    Order k, from 0 to count - 1, is of pieces + k x pieces_step pieces, and so on. counted is
    what the order adds to a commitment that counts value.
    """

    count: int
    pieces: int
    pieces_step: int
    good: int
    good_step: int
    cost: int
    cost_step: int
    counted: int = 0
    counted_step: int = 0

    def falls(self, left: int) -> bool:
        """Whether a larger order costs less, though each of its pieces more costs `left` unused."""
        return self.count > 1 and self.cost_step + left * self.good_step < 0


class Rows(Sequence[Run]):
    """Runs of one month of a source's tables, made only where somebody asks for one."""

    def __init__(self, tables: Tables, place: int, counted: Sequence[tuple[int, int]]) -> None:
        self.tables, self.place, self.counted = tables, place, counted
        self.left = int(tables.left[place])

    @cached_property
    def table(self) -> Numbers:
        return self.tables.table(self.place)

    def __len__(self) -> int:
        return len(self.counted)

    @overload
    def __getitem__(self, place: int) -> Run: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[Run]: ...
    def __getitem__(self, place: int | slice) -> Run | Sequence[Run]:
        if isinstance(place, slice):
            return tuple(self)[place]
        return _run(self.table[place].tolist(), self.counted[place])

    def __iter__(self) -> Iterator[Run]:
        return map(_run, self.table.tolist(), self.counted)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Sequence) and tuple(self) == tuple(other)

    def __hash__(self) -> int:
        return hash(tuple(self))

    @property
    def free(self) -> Rows:
        """The same for nothing, with nothing to pay for what is left over."""
        return Rows(self.tables.free, self.place, self.counted)

    def counting(self, unit: int) -> Rows | None:
        """As Tables.counting."""
        tables = self.tables.counting(unit)
        return Rows(tables, self.place, self.counted) if tables is not None else None

    @property
    def doubtful(self) -> Iterator[Run]:
        """Those of which a larger order may cost less, with what is left over."""
        return (self[int(each)] for each in np.flatnonzero(self.tables.doubtful[self.place]))

    @property
    def is_sound(self) -> bool:
        """Whether no run has to be looked at by itself: all together they are quicker."""
        counted = min((first for first, _ in self.counted), default=0)
        return counted >= 0 and bool(self.tables.sound[self.place])


def _run(row: Sequence[int], counted: tuple[int, int]) -> Run:
    count, pieces, pieces_step, good, good_step, cost, cost_step = row
    return Run(
        count=count,
        pieces=pieces,
        pieces_step=pieces_step,
        good=good,
        good_step=good_step,
        cost=cost,
        cost_step=cost_step,
        counted=counted[0],
        counted_step=counted[1],
    )


@dataclass(frozen=True, kw_only=True)
class Arriving:
    """The orders with one source that can arrive in one month; at most one of them is placed.

    No two of them are of the same number of pieces. covers is the stock of good parts that must
    still be there before anything arrives in the month (R19), 0 where there may be a backlog;
    covers_first is the same for the order that brings the source's tools with it. waits is what
    each good part costs for each month until it is used, first in first out; left is what each
    good part costs that is not used by the end, its salvage taken off (R13), and all that it
    costs: it waits for nobody.
    """

    runs: Sequence[Run]
    waits: int = 0
    left: int = 0
    covers: int = 0
    covers_first: int = 0

    @cached_property
    def table(self) -> Numbers:
        """The runs as rows, see orders.COLUMNS."""
        return self.runs.table if isinstance(self.runs, Rows) else table_of(self.runs)

    def orders(self, most: int) -> Orders:
        """Every order one by one, as far as somebody may need who needs `most` good parts."""
        if self._many <= MOST_KEPT:
            return self._every_order
        return orders_of(self.table, self.left, most)

    @property
    def _rows(self) -> Rows | None:
        """The runs, where they are of the tables of a source."""
        rows = self.runs
        return rows if isinstance(rows, Rows) and rows.left == self.left else None

    @cached_property
    def _many(self) -> int:
        rows = self._rows
        return rows.tables.shape.many if rows is not None else int(self.table[:, 0].sum())

    @cached_property
    def _every_order(self) -> Orders:
        rows = self._rows
        if rows is not None:
            return rows.tables.orders[rows.place]
        return orders_of(self.table, self.left)

    @cached_property
    def slides(self) -> int:
        """How many slides along grids it takes to look at all orders, or about so many."""
        rows = self._rows
        if rows is not None:
            return rows.tables.shape.slides
        return sum((grid.across > 1) + 1 for grid in self.grids)

    @cached_property
    def grids(self) -> tuple[Grid, ...]:
        return grids_of(self.table)

    @property
    def falls(self) -> bool:
        if len(self.runs) == 1:
            return self.runs[0].falls(self.left)
        return self._looked_at[0]

    @property
    def flaw(self) -> str | None:
        """What keeps a solver from relying on the runs."""
        if len(self.runs) == 1:
            return _flaw_of(self.runs[0], self.left)
        return self._looked_at[1]

    @cached_property
    def _looked_at(self) -> tuple[bool, str | None]:
        if self._rows is not None and self._rows.is_sound:
            return False, None
        flaws = [_flaw_of(run, self.left) for run in self.runs]
        falls = any(run.falls(self.left) for run in self.runs)
        return falls, next(filter(None, flaws), None)

    @cached_property
    def least_each(self) -> Fraction | None:
        """The least that a good part costs in any order; None where none brings a good part.

        Between the first and the last order of a run it lies between what it is there.
        """
        table = self.table
        ends = np.concatenate([table[:, [5, 3]], table[:, [5, 3]]])
        ends[len(table) :] += (table[:, :1] - 1) * table[:, [6, 4]]
        ends = ends[ends[:, 1] > 0]
        if not len(ends):
            return None
        each = ends[:, 0].astype(float) / ends[:, 1].astype(float)
        near = ends[each <= each.min() + 1e-9 * abs(each.min())]
        return min(Fraction(int(cost), int(good)) for cost, good in near)

    @cached_property
    def sizes(self) -> tuple[int, int, int]:
        """As sizes_of."""
        if not self.runs:
            return 0, 0, 0
        rows = self._rows
        return (
            rows.tables.sizes[rows.place] if rows is not None else sizes_of(self.table, self.left)
        )


def _flaw_of(run: Run, left: int) -> str | None:
    if run.count < 1 or run.pieces < 1 or run.good < 0 or run.counted < 0:
        return "an order of nothing"
    if run.count > 1 and (run.pieces_step < 1 or run.good_step < 0):
        return "a run that does not grow"
    # Else it would pay to order without end: what is not needed would bring money.
    last = run.cost + (run.count - 1) * run.cost_step
    spare = run.good + (run.count - 1) * run.good_step
    if run.cost + left * run.good < 0 or last + left * spare < 0:
        return "an order that nobody needs costs less than nothing"
    if run.count > 2 and run.falls(left):
        return "a piece more than needed costs less than nothing"
    return None


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Somebody to order from: one offer of the plan.

    arriving gives the orders by month; months without any are absent. once names the things
    that are paid once before the first order (tools, programming) with their cost by the month
    in which that order arrives, one figure for each month. A thing of the same name serves
    every source that names it, and is paid by the first that needs it. first is the earliest
    month in which an order can arrive that has to wait for one of them.
    """

    name: str
    arriving: Mapping[int, Arriving]
    once: Mapping[str, tuple[int, ...]] = field(default_factory=dict)
    first: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Late:
    """Pieces may come late: what each costs for each month it is late, by month.

    They are still delivered, before anything else and all of them by the last month; with lost
    they are not, and each costs once, in the month in which it was wanted. What is on the shelf
    is never held back.
    """

    cost: tuple[int, ...]
    lost: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Wear:
    """A tool that lasts for `life` pieces of the sources that use it, rejects counted (R5).

    The order that passes a full life pays for another, at the cost of the month in which it
    arrives: replacement[month] x (ceil(after / life) - max(1, ceil(before / life))).
    """

    tool: str
    sources: frozenset[str]
    life: int
    replacement: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Commitment:
    """What is owed at the end when the orders with a source stay below an amount.

    It holds only where something is ordered from the source at all. by_value counts `counted`
    of each order, else its pieces are counted. owed is the charge for each unit that is missing,
    rounded as a whole to whole units, halves up; None means that a plan that stays below is not
    allowed.
    """

    source: str
    amount: int
    owed: Fraction | None
    by_value: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """The most that one supplier may bring of all good parts bought; suppliers by source.

    A source that is not in suppliers is a supplier of its own.
    """

    most: Fraction
    suppliers: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """Everything that decides what a plan costs.

    demand is in good parts for each month; opening is what is on hand before the first. No
    stock after an arrival may pass shelf. owned names the things of `once` that are ours
    already. All demand is met in its month, unless late says otherwise.
    """

    demand: tuple[int, ...]
    sources: tuple[Source, ...]
    opening: int = 0
    owned: frozenset[str] = frozenset()
    late: Late | None = None
    shelf: int | None = None
    wears: tuple[Wear, ...] = ()
    commitments: tuple[Commitment, ...] = ()
    share: Share | None = None


@dataclass(frozen=True, slots=True, order=True)
class Placed:
    """One order of a plan: the month in which it arrives, its source and its pieces."""

    month: int
    source: str
    pieces: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """The orders of least cost, in the order of their arrival, with the proof of it.

    bound is a cost below which no plan can lie; where it equals cost, the plan is proven.
    """

    orders: tuple[Placed, ...]
    cost: int
    bound: int

    @property
    def is_proven(self) -> bool:
        return self.bound == self.cost


class Why(StrEnum):
    """What stands in the way of a plan."""

    TIME = "time"  # too little can have arrived by then, whatever is ordered
    COVER = "cover"  # enough could arrive, but not with the cover that the orders ask for
    SHELF = "shelf"  # enough could arrive, but it would not go on the shelf
    SHARE = "share"  # only with more from one supplier than it may bring
    COMMITMENT = "commitment"  # only below what was agreed with a source
    SEARCH = "search"  # share and commitments leave no plan that the search met within its limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Shortage:
    """Why there is no plan: the first month whose pieces cannot be there, and how many lack.

    The pieces are those that lack at least, with all earlier months served in full; where
    pieces may come late, the month is the last. Where why is share, commitment or search there
    are plans without these terms: then no month lacks anything, and month and pieces are the
    last month and 0.
    """

    month: int
    pieces: int
    why: Why = Why.TIME
