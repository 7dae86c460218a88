"""What a list of orders costs: written apart from the solver, to prove it.

The good parts stand in a queue in the order in which they came, first in first out; nothing is
looked up in tables and nothing is assumed to be even. It shares no code with the solver.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from quotegen.plan.problem import Arriving, Late, Placed, Problem, Run, Source


def recost(problem: Problem, orders: Sequence[Placed]) -> int:
    """The cost of the orders in whole units, everything that the problem counts.

    Raises ValueError, with the month and the reason, when the orders are not allowed.
    """
    turns = [source.name for source in problem.sources]
    placed = {(order.month, order.source): order for order in orders}
    if len(placed) < len(orders):
        raise ValueError("two orders with one source in one month")
    if unknown := sorted({order.source for order in orders} - set(turns)):
        raise ValueError(f"no source {unknown[0]!r}")
    if outside := sorted(order for order in orders if order.month >= len(problem.demand)):
        raise ValueError(f"month {outside[0].month}: after the last month")
    book = _Book(problem=problem, owned=set(problem.owned))
    book.put(_Pieces(count=problem.opening, came=0, terms=None))
    for month in range(len(problem.demand)):
        covered = book.on_hand
        for source in problem.sources:
            order = placed.get((month, source.name))
            if order is not None:
                book.take(order, source, covered)
        book.use(month)
    return book.close()


@dataclass(slots=True, kw_only=True)
class _Pieces:
    """Pieces in stock that came in one order, None for those that were there at the start."""

    count: int
    came: int
    terms: Arriving | None


@dataclass(slots=True, kw_only=True)
class _Book:
    """The stock in the order in which it came, and the sums so far."""

    problem: Problem
    owned: set[str]
    stock: deque[_Pieces] = field(default_factory=deque)
    owing: int = 0
    cost: int = 0
    worn: Counter[str] = field(default_factory=Counter)
    counted: Counter[str] = field(default_factory=Counter)
    pieces: Counter[str] = field(default_factory=Counter)
    brought: Counter[str] = field(default_factory=Counter)

    @property
    def on_hand(self) -> int:
        return sum(pieces.count for pieces in self.stock)

    def put(self, pieces: _Pieces) -> None:
        self.stock.append(pieces)

    def take(self, order: Placed, source: Source, covered: int) -> None:
        month, name = order.month, source.name
        arriving = source.arriving.get(month)
        if arriving is None:
            raise ValueError(f"month {month}: nothing can arrive from {name!r}")
        run, step = _found(arriving, order)
        missing = set(source.once) - self.owned
        needed = arriving.covers_first if missing else arriving.covers
        if missing and month < source.first:
            raise ValueError(f"month {month}: {name!r} has to wait for its tools")
        if covered < needed:
            raise ValueError(f"month {month}: {covered} on hand, {name!r} asks for {needed}")
        self.cost += run.cost + step * run.cost_step
        self.cost += sum(source.once[thing][month] for thing in missing)
        self.owned |= missing
        self._wear(order)
        self.counted[name] += run.counted + step * run.counted_step
        self.pieces[name] += order.pieces
        good = run.good + step * run.good_step
        self.brought[name] += good
        late = min(good, self.owing)
        self.owing -= late
        self.put(_Pieces(count=good - late, came=month, terms=arriving))
        shelf = self.problem.shelf
        if shelf is not None and self.on_hand - self.owing > shelf:
            raise ValueError(f"month {month}: {self.on_hand} on a shelf for {shelf}")

    def _wear(self, order: Placed) -> None:
        for wear in self.problem.wears:
            if order.source in wear.sources:
                before, after = self.worn[wear.tool], self.worn[wear.tool] + order.pieces
                lives = -(-after // wear.life) - max(1, -(-before // wear.life))
                self.cost += lives * wear.replacement[order.month]
                self.worn[wear.tool] = after

    def use(self, month: int) -> None:
        wanted = self.problem.demand[month]
        while wanted and self.stock:
            oldest = self.stock[0]
            used = min(wanted, oldest.count)
            wanted -= used
            oldest.count -= used
            if oldest.terms is not None:
                self.cost += used * oldest.terms.waits * (month - oldest.came)
            if not oldest.count:
                self.stock.popleft()
        late = self.problem.late
        if wanted and late is None:
            raise ValueError(f"month {month}: {wanted} pieces lack")
        if late is not None:
            self._owe(wanted, late, month)

    def _owe(self, wanted: int, late: Late, month: int) -> None:
        self.owing = wanted if late.lost else self.owing + wanted
        self.cost += self.owing * late.cost[month]
        if late.lost:
            self.owing = 0

    def close(self) -> int:
        """The whole cost, once what is left over and what was promised is settled."""
        if self.owing:
            raise ValueError(f"month {len(self.problem.demand) - 1}: {self.owing} pieces lack")
        self._share()
        self.cost += sum(each.count * each.terms.left for each in self.stock if each.terms)
        for commitment in self.problem.commitments:
            by_value = commitment.by_value
            reached = (self.counted if by_value else self.pieces)[commitment.source]
            if commitment.source in self.pieces and reached < commitment.amount:
                if commitment.owed is None:
                    raise ValueError(f"{commitment.source!r} gets {reached}, less than agreed")
                owed = commitment.owed * (commitment.amount - reached)
                self.cost += (owed + Fraction(1, 2)).__floor__()
        return self.cost

    def _share(self) -> None:
        share = self.problem.share
        if share is None:
            return
        by: Counter[str] = Counter()
        for name, good in self.brought.items():
            by[share.suppliers.get(name, name)] += good
        for supplier, good in by.items():
            if good > share.most * by.total():
                raise ValueError(f"{supplier!r} brings {good} of {by.total()}")


def _found(arriving: Arriving, order: Placed) -> tuple[Run, int]:
    """The run that holds an order of so many pieces, and its place in it."""
    for run in arriving.runs:
        more = order.pieces - run.pieces
        step = more // run.pieces_step if run.pieces_step else 0
        if 0 <= step < run.count and step * run.pieces_step == more:
            return run, step
    raise ValueError(f"month {order.month}: {order.source!r} has no order of {order.pieces} pieces")
