"""Many plans built month by month at once, and given up where they cannot be the best."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from quotegen.plan.bounds import Bound, Tables
from quotegen.plan.choices import Choices
from quotegen.plan.counters import Counters
from quotegen.plan.labels import Labels, begin, joined
from quotegen.plan.orders import Numbers
from quotegen.plan.problem import Placed, Problem
from quotegen.plan.values import LARGEST, Values

AT_ONCE = 200_000  # orders looked at in one go


@dataclass(kw_only=True)
class Search:
    """best and missed are in units of counting_orders: of the best plan, and of what was let go.

    values are the tables without the terms, and the first of bounds; choices are the orders by
    month and by the place of the source. With spare, orders are looked at that bring more than
    anybody needs, where a share may make them of use; without, no more is bought than is needed,
    and a plan that has too much from one supplier for that is given up: quick, but not the whole
    truth.
    """

    problem: Problem
    values: Values
    counters: Counters
    bounds: Sequence[Bound]
    choices: Sequence[Mapping[int, Choices]]
    width: int
    spare: bool
    best: int
    orders: tuple[Placed, ...] | None
    missed: int = LARGEST
    history: list[tuple[Numbers, Numbers]] = field(default_factory=list)

    def run(self) -> None:
        labels = begin(self.problem.opening, self.counters.start(), len(self.problem.sources))
        for month in range(len(self.problem.demand)):
            labels = self._month(month, labels)
        self._close(labels)

    def _bound(self, month: int, labels: Labels, tables: Sequence[Tables]) -> Numbers:
        """Below the cost of every plan that goes on from each of these."""
        found: Numbers = np.zeros(len(labels), dtype=np.int64)
        for bound, each in zip(self.bounds, tables, strict=True):
            more = bound.of(each, month, labels.stock, labels.owned, labels.counters)
            found = np.maximum(found, more)
        return found + labels.cost

    def _month(self, month: int, labels: Labels) -> Labels:
        turns = [bound.turns(month) for bound in self.bounds]
        for place, choices in self.choices[month].items():
            tables = [each[place + 1] for each in turns]
            parts = [self._limited(month, labels, 4 * self.width, tables)]
            for ordered in self._turn(month, place, labels, choices, tables):
                parts.append(ordered)
                if sum(len(part) for part in parts) > 8 * self.width:
                    parts = [self._limited(month, joined(parts), 4 * self.width, tables)]
            labels = self._limited(month, joined(parts), 4 * self.width, tables)
        labels = self.counters.sifted(self._used(month, labels), month + 1)
        tables = [bound.of_month(month + 1) for bound in self.bounds]
        labels = self._limited(month + 1, labels, self.width, tables)
        self.history.append((labels.parent, labels.chosen))
        return replace(
            labels, parent=np.arange(len(labels)), chosen=np.full_like(labels.chosen, -1)
        )

    def _limited(self, month: int, labels: Labels, width: int, tables: Sequence[Tables]) -> Labels:
        if not self.spare:
            needed = np.maximum(self.values.needed[month] - labels.stock, 0)
            labels = labels.take(~self.counters.too_much(labels.counters, needed))
        bound = self._bound(month, labels, tables)
        labels, bound = labels.take(bound < self.best), bound[bound < self.best]
        if len(labels) <= width:
            return labels
        order = np.argsort(bound, kind="stable")
        self.missed = min(self.missed, int(bound[order[width]]))
        return labels.take(order[:width])

    def _used(self, month: int, labels: Labels) -> Labels:
        """The labels after the month's demand, without those that cannot meet it."""
        late, wanted = self.problem.late, self.problem.demand[month]
        stock = labels.stock - wanted
        if late is None:
            labels, stock = labels.take(stock >= 0), stock[stock >= 0]
            return replace(labels, stock=stock, before=stock)
        owing = np.maximum(-stock, 0)
        cost = labels.cost + owing * (late.cost[month] * self.counters.unit)
        stock = np.maximum(stock, 0) if late.lost else stock
        return replace(labels, stock=stock, before=stock, cost=cost)

    def _turn(
        self,
        month: int,
        place: int,
        labels: Labels,
        choices: Choices,
        tables: Sequence[Tables],
    ) -> Iterator[Labels]:
        """The labels with one order of this source more, those that may yet be the best."""
        source, things = self.values.problem.sources[place], self.values.things
        arriving, needed = source.arriving[month], things.needed[source.name]
        missing = labels.owned & needed != needed
        covers = np.where(missing, arriving.covers_first, arriving.covers)
        may = np.maximum(labels.before, 0) >= covers
        if month < source.first:
            may &= ~missing
        labels = labels.take(may)
        rows = max(1, AT_ONCE // max(1, len(choices.pieces)))
        for first in range(0, len(labels), rows):
            part = labels.take(np.arange(first, min(first + rows, len(labels))))
            yield self._ordered(month, place, part, choices, tables)

    def _ordered(
        self,
        month: int,
        place: int,
        labels: Labels,
        choices: Choices,
        tables: Sequence[Tables],
    ) -> Labels:
        row, column = np.nonzero(self._useful(month, place, labels, choices))
        cost = self._cost(month, place, labels, choices, row, column)
        owned = labels.owned[row] | self.values.things.needed[self.problem.sources[place].name]
        stock, axis = labels.stock[row] + choices.good[column], self.values.axes[month]
        # The first bound needs no counters, and rules out most.
        few = tables[0][0][owned, np.minimum(stock, axis.high) - axis.low] + cost < self.best
        row, column = row[few], column[few]
        after = self._after(place, labels.take(row), choices.take(column), cost[few], column)
        bound = self._bound(month, after, tables)
        open_ended = bound[choices.last[column]]
        if self.problem.share is not None and open_ended.size:
            # A larger order may bring more of this supplier's, for the share of another.
            self.missed = min(self.missed, int(open_ended.min()))
        return after.take(bound < self.best)

    def _cost(
        self,
        month: int,
        place: int,
        labels: Labels,
        choices: Choices,
        row: Numbers,
        column: Numbers,
    ) -> Numbers:
        """Of each label so far with the order, further tools and things paid once with it."""
        source, things = self.values.problem.sources[place], self.values.things
        axis, arriving = self.values.axes[month], source.arriving[month]
        before, pieces = labels.stock[row], choices.pieces[column]
        stock = before + choices.good[column]
        waiting = axis.waiting[np.minimum(stock, axis.high) - axis.low]
        waiting = waiting - axis.waiting[np.minimum(before, axis.high) - axis.low]
        spare = np.maximum(stock - axis.high, 0) - np.maximum(before - axis.high, 0)
        once = np.array([things.cost(source, month, owned) for owned in range(things.sets)])
        cost = (labels.cost + once[labels.owned])[row] + choices.cost[column]
        cost += waiting * arriving.waits + spare * arriving.left
        tools = self.counters.replacing(labels.counters[row], source.name, month, pieces)
        found: Numbers = cost + tools
        return found

    def _useful(self, month: int, place: int, labels: Labels, choices: Choices) -> Numbers:
        """Which order may serve which label: the next smaller of its run would not do."""
        stock, goal = labels.stock[:, None], goal_of(self.problem, self.values, month)
        if self.problem.share is not None and self.spare:
            useful = np.ones((len(labels), len(choices.pieces)), dtype=bool)
        else:
            useful = stock + choices.less_good < goal
        name = self.problem.sources[place].name
        for column, each in enumerate(self.problem.commitments, self.counters.of_commitments):
            if each.source == name:
                reached = labels.counters[:, column, None]
                less = choices.less_counted if each.by_value else choices.less_pieces
                short = np.maximum(reached, 0) + less < each.amount
                useful |= short & ((reached >= 0) | (stock < goal))
        if self.problem.shelf is not None:
            useful &= stock + choices.good <= self.problem.shelf
        return useful

    def _after(
        self, place: int, labels: Labels, orders: Choices, cost: Numbers, column: Numbers
    ) -> Labels:
        """Each label with the order beside it."""
        name = self.problem.sources[place].name
        chosen = labels.chosen.copy()
        chosen[:, place] = column
        return replace(
            labels,
            stock=labels.stock + orders.good,
            owned=labels.owned | self.values.things.needed[name],
            counters=self.counters.after(
                labels.counters, name, orders.pieces, orders.good, orders.counted
            ),
            cost=cost,
            chosen=chosen,
        )

    def _close(self, labels: Labels) -> None:
        """The best of the plans that are whole now, if it beats the best one known."""
        owed = self.counters.closing(labels.counters)
        ends = [
            (int(cost) + more, row)
            for row, (cost, more) in enumerate(zip(labels.cost, owed, strict=True))
            if more is not None
        ]
        if ends and min(ends)[0] < self.best:
            self.best, row = min(ends)
            self.orders = self._orders(row)

    def _orders(self, row: int) -> tuple[Placed, ...]:
        found = []
        for month in range(len(self.problem.demand) - 1, -1, -1):
            parent, chosen = self.history[month]
            for place, each in self.choices[month].items():
                if chosen[row, place] >= 0:
                    pieces = int(each.pieces[chosen[row, place]])
                    name = self.problem.sources[place].name
                    found.append((month, place, Placed(month, name, pieces)))
            row = int(parent[row])
        return tuple(order for _, _, order in sorted(found))


def goal_of(problem: Problem, values: Values, month: int) -> int:
    """The stock after arrivals beyond which no piece more is of use, terms left aside.

    It is what is still needed; where a term can ask for an order that nobody needs, it is enough
    for the cover of that one as well.
    """
    needed = values.needed[month]
    if not problem.commitments and problem.share is None:
        return needed
    every = [each for source in problem.sources for each in source.arriving.values()]
    return needed + max((max(each.covers, each.covers_first) for each in every), default=0)
