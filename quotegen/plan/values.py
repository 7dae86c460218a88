"""The least cost from every month, stock and set of things owned: backwards, exact.

The recursion, with d the demand of month t, needed the demand from t on, o the things owned:

    V(T, s, o) = 0
    W(t, s, o) = cost of being late + V(t + 1, s - d, o)       after all arrivals of the month
    V(t, s, o) = W, then for each source in turn, the last one first, the lesser of itself and
                 cost of one order + V(t, s + good, o with what it brings), only while s < needed

The stock before the month's arrivals decides which orders their cover allows, and an order by a
source earlier in turn hides it. But the covers of a month part the stocks into a few bands, in
each of which the orders allowed are the same. For each band the turns are gone through with just
these orders, and of the result only the stocks of that band are kept. That is exact: from a
stock before arrivals, every order that is looked at is allowed, and every allowed one is looked
at. Bands that end with the same turns share them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import accumulate

import numpy as np

from quotegen.plan.orders import Numbers
from quotegen.plan.problem import Problem, Source
from quotegen.plan.windows import AS_IT_IS, Axis, Scale, magnitude, with_one_order

LARGEST = 2**60  # of a cost in 64 bits; twice as much means never, and more than that still fits


class TooLarge(Exception):
    """The costs do not fit in 64 bits."""


@dataclass(frozen=True, kw_only=True)
class Things:
    """What is paid once, as bits: things that the same sources need are one."""

    needed: Mapping[str, int]
    names: Mapping[int, tuple[str, ...]]

    @property
    def sets(self) -> int:
        return 1 << len(self.names)

    def cost(self, source: Source, month: int, owned: int) -> int:
        """What an order pays that arrives while `owned` is there."""
        missing = self.needed[source.name] & ~owned
        things = (name for bit, names in self.names.items() if missing & bit for name in names)
        return sum(source.once[thing][month] for thing in things)


def things_of(problem: Problem) -> Things:
    users: dict[frozenset[str], list[str]] = {}
    for thing in sorted({thing for source in problem.sources for thing in source.once}):
        if thing not in problem.owned:
            who = frozenset(each.name for each in problem.sources if thing in each.once)
            users.setdefault(who, []).append(thing)
    bits = {who: 1 << place for place, who in enumerate(users)}
    return Things(
        needed={
            source.name: sum(bit for who, bit in bits.items() if source.name in who)
            for source in problem.sources
        },
        names={bits[who]: tuple(things) for who, things in users.items()},
    )


Leave = tuple[bool, bool]  # may one order: with all things owned, with things to bring


@dataclass(frozen=True, kw_only=True)
class Values:
    """The tables of one problem. Wear, commitments and share are ignored: a lower bound then.

    never is more than any cost; with wide, costs are Python's own numbers. at_end is charged for
    each piece that is late after the last month; None allows none. All money is in the scale.
    """

    problem: Problem
    wide: bool = False
    at_end: int | None = None
    scale: Scale = AS_IT_IS

    @property
    def months(self) -> int:
        return len(self.problem.demand)

    @cached_property
    def things(self) -> Things:
        return things_of(self.problem)

    @property
    def sets(self) -> int:
        return self.things.sets

    @cached_property
    def never(self) -> int:
        if not self.wide:
            return 2 * LARGEST
        return 2 * (self._largest + 1)

    @cached_property
    def lows(self) -> tuple[int, ...]:
        """The least stock that any plan can have before each month, and after the last."""
        found, late = [self.problem.opening], self.problem.late
        for wanted in self.problem.demand:
            found.append(found[-1] - wanted)
        return tuple(found) if late and not late.lost else tuple(max(0, each) for each in found)

    @cached_property
    def needed(self) -> tuple[int, ...]:
        """The demand from each month on, and 0 for the end."""
        return (*reversed(tuple(accumulate(reversed(self.problem.demand)))), 0)

    def _most(self, month: int) -> int:
        """The most stock that is looked at: what is needed, as far as the shelf holds it."""
        if self.problem.shelf is None:
            return self.needed[month]
        opening = self.problem.opening - (self.needed[0] - self.needed[month])
        return min(self.needed[month], max(self.problem.shelf, opening))

    @cached_property
    def axes(self) -> tuple[Axis, ...]:
        """By month, and one for the end. Wants opening <= all demand."""
        waiting = np.zeros(1 - self.lows[-1], dtype=np.int64)
        found = [Axis(low=self.lows[-1], high=0, waiting=waiting)]
        for month in range(self.months - 1, -1, -1):
            wanted, low, high = self.problem.demand[month], self.lows[month], self._most(month)
            stock = np.arange(low, high + 1)
            later = waiting[np.maximum(stock - wanted - self.lows[month + 1], 0)]
            waiting = np.where(stock > wanted, stock - wanted + later, 0)
            whole = high == self.needed[month]
            found.append(Axis(low=low, high=high, waiting=waiting, whole=whole))
        return tuple(reversed(found))

    @cached_property
    def tables(self) -> tuple[Numbers, ...]:
        """[owned, s - low] for each month and for the end. Raises TooLarge."""
        end = self.axes[-1]
        last = np.zeros((self.sets, end.length), dtype=object if self.wide else np.int64)
        late = np.arange(-end.low, -1, -1).astype(last.dtype)
        last[:] = self.never if self.at_end is None else late * self.at_end
        last[:, -1] = 0
        doubtful = not self.wide and self._largest - end.low * (self.at_end or 0) >= LARGEST
        found = [last]
        for month in range(self.months - 1, -1, -1):
            if doubtful:
                self._refuse_what_is_too_large(month, found[-1])
            found.append(self._month(month, found[-1]))
        return tuple(reversed(found))

    def least(self, month: int, stock: int, owned: int) -> int:
        """The least cost from here on, from the stock before the month's arrivals."""
        axis = self.axes[month]
        return int(self.tables[month][owned, min(stock, axis.high) - axis.low])

    def _month(self, month: int, later: Numbers) -> Numbers:
        known: dict[tuple[Leave, ...], Numbers] = {(): self.after_arrivals(month, later)}
        turns, low = _Turns(values=self, month=month, known=known), self.axes[month].low
        found = np.empty_like(known[()])
        for first, beyond, leave in self._bands(month):
            columns = slice(first - low, beyond - low)
            found[:, columns] = turns.before(leave)[:, columns]
        found[found > self.never // 2] = self.never
        return found

    def after_arrivals(self, month: int, later: Numbers) -> Numbers:
        """The least cost once all that arrives in the month is there, before any is used."""
        axis, late, wanted = self.axes[month], self.problem.late, self.problem.demand[month]
        gone = self.lows[month + 1] + wanted - axis.low  # stocks of which nothing is left
        found = np.empty((len(later), axis.length), dtype=later.dtype)
        found[:, gone:] = later[:, : max(0, axis.length - gone)]
        if late is None:
            found[:, :gone] = self.never
        else:
            found[:, :gone] = later[:, :1]
            lacking = np.arange(wanted - axis.low, 0, -1)[: axis.length]
            each = late.cost[month] * self.scale.times
            found[:, : len(lacking)] += lacking.astype(found.dtype) * each
        return found

    def leave(self, month: int, on_hand: int) -> tuple[Leave, ...]:
        """What each source may bring in the month, by what is there before any arrival."""
        return tuple(
            (on_hand >= arriving.covers, on_hand >= arriving.covers_first and month >= source.first)
            if (arriving := source.arriving.get(month))
            else (False, False)
            for source in self.problem.sources
        )

    def _bands(self, month: int) -> Iterator[tuple[int, int, tuple[Leave, ...]]]:
        """The stocks from first to beyond, beyond left out, and what is allowed there."""
        axis = self.axes[month]
        every = [source.arriving.get(month) for source in self.problem.sources]
        covers = {cover for each in every if each for cover in (each.covers, each.covers_first)}
        edges = sorted({axis.low} | {cover for cover in covers if axis.low < cover <= axis.high})
        edges = [each for each in edges if each > 0 or each == axis.low]
        for first, beyond in zip(edges, [*edges[1:], axis.high + 1], strict=True):
            yield first, beyond, self.leave(month, max(0, first))

    def turn(self, month: int, source: Source, leave: Leave, after: Numbers, axis: Axis) -> Numbers:
        """The least cost before the source's turn, from the least cost after it, on the axis."""
        return self.lesser(month, source, leave, after, self.ordered(month, source, after, axis))

    def ordered(self, month: int, source: Source, after: Numbers, axis: Axis) -> Numbers:
        """The least cost with one order of the source, from the sets that have all it needs."""
        whole = self._rows[source.name].whole
        arriving, shelf = source.arriving[month], self.problem.shelf
        return with_one_order(after[whole], arriving, axis, shelf, self.never, self.scale)

    def lesser(
        self, month: int, source: Source, leave: Leave, after: Numbers, ordered: Numbers
    ) -> Numbers:
        """The lesser of the least costs without an order and with one, where it may be."""
        rows = self._rows[source.name]
        found = after.copy()
        if leave[0]:
            found[rows.whole] = np.minimum(after[rows.whole], ordered)
        if leave[1] and len(rows.short):
            once = [self.cost_once(source, month, owned) for owned in rows.short.tolist()]
            paid = np.array(once, dtype=after.dtype)[:, None]
            found[rows.short] = np.minimum(after[rows.short], ordered[rows.brought] + paid)
        return found

    @cached_property
    def _rows(self) -> Mapping[str, _Rows]:
        return {name: _rows_of(self.sets, needed) for name, needed in self.things.needed.items()}

    def cost_once(self, source: Source, month: int, owned: int) -> int:
        return self.things.cost(source, month, owned) * self.scale.times

    def _magnitude(self, month: int) -> int:
        """No cost of the month's arrivals, waiting and being late together is larger."""
        late, axis = self.problem.late, self.axes[month]
        owing = late.cost[month] * (self.problem.demand[month] - min(0, axis.low)) if late else 0
        of_sources = sum(
            magnitude(arriving, axis) + sum(costs[month] for costs in source.once.values())
            for source in self.problem.sources
            if (arriving := source.arriving.get(month))
        )
        return (owing + of_sources) * self.scale.times + self.scale.order

    @cached_property
    def _largest(self) -> int:
        """No cost of all months together is larger."""
        return sum(self._magnitude(month) for month in range(self.months))

    def _refuse_what_is_too_large(self, month: int, later: Numbers) -> None:
        known = later[later < self.never]
        reached = int(np.abs(known).max()) if known.size else 0
        if reached + self._magnitude(month) >= LARGEST:
            raise TooLarge


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rows:
    """The sets that have all that a source needs, those that lack some, and what these become.

    brought are the places among whole of the sets that short become with an order.
    """

    whole: Numbers | slice
    short: Numbers
    brought: Numbers


def _rows_of(sets: int, needed: int) -> _Rows:
    every = np.arange(sets)
    whole, short = every[every & needed == needed], every[every & needed != needed]
    return _Rows(
        whole=whole if len(short) else slice(None),
        short=short,
        brought=np.searchsorted(whole, short | needed),
    )


@dataclass(slots=True, kw_only=True)
class _Turns:
    """The turns of a month, each gone through once for all bands in which it is the same.

    known has the least cost before the last turns, by what their sources may bring; ordered has
    it with one order of the source before these.
    """

    values: Values
    month: int
    known: dict[tuple[Leave, ...], Numbers]
    ordered: dict[tuple[Leave, ...], Numbers] = field(default_factory=dict)

    def before(self, leave: tuple[Leave, ...]) -> Numbers:
        """The least cost before the turns of the last len(leave) sources."""
        if leave not in self.known:
            self.known[leave] = self._turn(leave)
        return self.known[leave]

    def _turn(self, leave: tuple[Leave, ...]) -> Numbers:
        values, rest = self.values, leave[1:]
        after = self.before(rest)
        if not any(leave[0]):
            return after
        source = values.problem.sources[-len(leave)]
        if rest not in self.ordered:
            axis = values.axes[self.month]
            self.ordered[rest] = values.ordered(self.month, source, after, axis)
        return values.lesser(self.month, source, leave[0], after, self.ordered[rest])


def values_of(problem: Problem, at_end: int | None = None, scale: Scale = AS_IT_IS) -> Values:
    """The tables in 64 bits, or in Python's own numbers where the costs are too large for them."""
    values = Values(problem=problem, at_end=at_end, scale=scale)
    try:
        values.least(0, problem.opening, 0)
    except TooLarge:
        values = Values(problem=problem, at_end=at_end, scale=scale, wide=True)
    return values
