"""Bounds from below that know of wear, commitments and shares.

Each is the table of a problem with other prices, in which what the past decides is charged in
advance, and a credit for what a plan has done so far. A term that only the whole plan decides
becomes a price for each piece, never higher than what the term can cost in the end.

All money is that of solve.counting_orders: `unit` of it is one whole unit.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate

import numpy as np

from quotegen.plan.orders import Numbers
from quotegen.plan.problem import Arriving, Commitment, Problem, Run, Share, Wear
from quotegen.plan.trace import with_good
from quotegen.plan.values import Values, values_of

STEPS = 5  # prices of a share or a commitment that are tried
LARGEST_CREDIT = 2**57


@dataclass(frozen=True, slots=True, kw_only=True)
class Bound:
    """credit(month, counters) + least of the tables is below the cost still to come.

    counters has a row for each plan begun, with the columns of counters.Counters. In rows where
    column begun is negative, no more than the tables of without.
    """

    values: Values
    credit: Callable[[int, Numbers], Numbers]
    without: Values | None = None
    begun: int = 0

    @property
    def wide(self) -> bool:
        return self.values.wide or (self.without is not None and self.without.wide)

    def of_month(self, month: int) -> Tables:
        """The tables before the month's arrivals."""
        return [self.values.tables[month], *([self.without.tables[month]] if self.without else [])]

    def turns(self, month: int) -> list[Tables]:
        """The tables before the turn of each source and after the last one, covers left aside."""
        every = [_turns(each, month) for each in (self.values, self.without) if each]
        return [list(tables) for tables in zip(*every, strict=True)]

    def of(
        self, tables: Tables, month: int, stock: Numbers, owned: Numbers, counters: Numbers
    ) -> Numbers:
        """The bound for each row, from the tables that now or turns has for the month."""
        axis = self.values.axes[month]
        place = np.minimum(stock, axis.high) - axis.low
        found: Numbers = tables[0][owned, place] + self.credit(month, counters)
        if len(tables) > 1:
            apart = np.minimum(found, tables[1][owned, place])
            found = np.where(counters[:, self.begun] < 0, apart, found)
        return found


Tables = list[Numbers]


def _turns(values: Values, month: int) -> list[Numbers]:
    axis = values.axes[month]
    found = [values.after_arrivals(month, values.tables[month + 1])]
    for source in reversed(values.problem.sources):
        may = (True, month >= source.first)
        here = month in source.arriving
        found.append(values.turn(month, source, may, found[-1], axis) if here else found[-1])
    return list(reversed(found))


def plain_bound(values: Values) -> Bound:
    """All terms left aside."""
    return Bound(values=values, credit=lambda _, counters: np.zeros(len(counters), dtype=np.int64))


def lives(used: Numbers, life: int) -> Numbers:
    """How many tools so many pieces have needed, the first of them counted from the start."""
    found: Numbers = np.maximum(1, -(-used // life))
    return found


def wear_bound(plain: Problem, wears: tuple[Wear, ...], part: Fraction) -> Bound:
    """Each piece pays its part of the tool that it wears, except for what is left of this one.

    Prices may only fall: the least so far is taken. Then a tool costs, when it is paid, at least
    what its pieces pay for it later; and what is left is worth at most this month's price.
    """
    each = {
        wear.tool: [int(price * part) // wear.life for price in accumulate(wear.replacement, min)]
        for wear in wears
    }

    def dearer(source: str, month: int, run: Run) -> Run:
        price = sum(each[wear.tool][month] for wear in wears if source in wear.sources)
        return _charged(run, price * run.pieces, price * run.pieces_step)

    def credit(month: int, counters: Numbers) -> Numbers:
        found = np.zeros(len(counters), dtype=np.int64)
        for place, wear in enumerate(wears):
            used, price = counters[:, place], each[wear.tool]
            left = lives(used, wear.life) * wear.life - used
            found -= left * (price[month] if month < len(price) else 0)
        return found

    return Bound(values=values_of(_repriced(plain, dearer)), credit=credit)


def commitment_bounds(
    plain: Problem, commitment: Commitment, column: int, unit: int
) -> Iterator[Bound]:
    """What is still missing is owed in advance, and each order pays back what it brings.

    A plan that has ordered nothing from the source may also go on without it.
    """
    fits = LARGEST_CREDIT // max(1, commitment.amount)
    high = min(fits, _highest(plain, lambda name, run: _counts(run, commitment, name)))
    if commitment.owed is not None:
        high = min(high, int(commitment.owed * unit))
    apart = tuple(
        replace(source, arriving={}) if source.name == commitment.source else source
        for source in plain.sources
    )
    without = values_of(replace(plain, sources=apart))

    def too_little(values: Values) -> bool:
        return _counted(plain, commitment, values) < commitment.amount

    if high > 0:
        yield from _tried(
            lambda price: _commitment_bound(plain, commitment, column, price, unit, without),
            high,
            too_little,
        )


def _tried(
    bound: Callable[[int], Bound], high: int, want_higher: Callable[[Values], bool]
) -> Iterator[Bound]:
    """Bounds for prices found by halving, the highest first: the best price is between them."""
    low, price = 0, high
    for _ in range(STEPS):
        found = bound(price)
        yield found
        low, high = (price, high) if want_higher(found.values) else (low, price)
        price = (low + high) // 2
        if price <= low:
            return


def _counted(plain: Problem, commitment: Commitment, values: Values) -> int:
    """What the plan of these tables counts towards the commitment."""
    (source,) = (each for each in plain.sources if each.name == commitment.source)
    found = 0
    for order, _ in with_good(values):
        if order.source == source.name:
            found += _towards(source.arriving[order.month], commitment, order.pieces)
    return found


def _towards(arriving: Arriving, commitment: Commitment, pieces: int) -> int:
    if not commitment.by_value:
        return pieces
    for run in arriving.runs:
        step = (pieces - run.pieces) // max(1, run.pieces_step)
        if 0 <= step < run.count and run.pieces + step * run.pieces_step == pieces:
            return run.counted + step * run.counted_step
    raise ValueError(f"no order of {pieces} pieces")


def _commitment_bound(
    plain: Problem, commitment: Commitment, column: int, price: int, unit: int, without: Values
) -> Bound:
    def cheaper(source: str, _month: int, run: Run) -> Run:
        counted, step = _counts(run, commitment, source)
        return _charged(run, -price * counted, -price * step)

    def credit(_month: int, counters: Numbers) -> Numbers:
        return price * (commitment.amount - np.maximum(counters[:, column], 0)) - unit

    return Bound(
        values=values_of(_repriced(plain, cheaper)), credit=credit, without=without, begun=column
    )


def _counts(run: Run, commitment: Commitment, source: str) -> tuple[int, int]:
    if source != commitment.source:
        return 0, 0
    if commitment.by_value:
        return run.counted, run.counted_step
    return run.pieces, run.pieces_step


def share_bounds(
    plain: Problem, share: Share, supplier: str, columns: Mapping[str, int], most: int
) -> Iterator[Bound]:
    """A supplier's pieces pay for being many, and all pieces are paid for being there.

    Of a plan that keeps the share this takes no more than it gives. The price is looked for by
    halving: higher where the plan found brings too much from the supplier, lower where it does
    not. columns are those of the suppliers in counters; most is the most good parts of a plan.
    """
    fits = LARGEST_CREDIT // most // share.most.denominator
    high = min(fits, _highest(plain, _paid_for(share, supplier)))
    yield from _tried(
        lambda price: _share_bound(plain, share, supplier, columns, price),
        high,
        lambda values: supplier in over_share(values, share),
    )


def over_share(values: Values, share: Share) -> list[str]:
    """The suppliers that bring more than they may in the plan of these tables."""
    found: Counter[str] = Counter()
    for order, good in with_good(values):
        found[share.suppliers.get(order.source, order.source)] += good
    return [each for each, good in found.items() if good > share.most * found.total()]


def _share_bound(
    plain: Problem, share: Share, supplier: str, columns: Mapping[str, int], price: int
) -> Bound:
    top, bottom = share.most.as_integer_ratio()

    def charged(source: str, _month: int, run: Run) -> Run:
        own = share.suppliers.get(source, source) == supplier
        each = price * ((bottom if own else 0) - top)
        return _charged(run, each * run.good, each * run.good_step)

    def credit(_month: int, counters: Numbers) -> Numbers:
        brought = counters[:, list(columns.values())].sum(axis=1)
        own = counters[:, columns[supplier]]
        found: Numbers = price * (bottom * own - top * brought)
        return found

    return Bound(values=values_of(_repriced(plain, charged)), credit=credit)


def _paid_for(share: Share, supplier: str) -> Callable[[str, Run], tuple[int, int]]:
    """For how many units of the price an order is paid: top each, less bottom for its own."""
    top, bottom = share.most.as_integer_ratio()

    def paid(source: str, run: Run) -> tuple[int, int]:
        own = share.suppliers.get(source, source) == supplier
        each = top - (bottom if own else 0)
        return each * run.good, each * run.good_step

    return paid


def _charged(run: Run, more: int, step: int) -> Run:
    return replace(run, cost=run.cost + more, cost_step=run.cost_step + step)


def _repriced(problem: Problem, change: Callable[[str, int, Run], Run]) -> Problem:
    sources = tuple(
        replace(
            source,
            arriving={
                month: replace(
                    each, runs=tuple(change(source.name, month, run) for run in each.runs)
                )
                for month, each in source.arriving.items()
            },
        )
        for source in problem.sources
    )
    return replace(problem, sources=sources)


def _highest(problem: Problem, paid: Callable[[str, Run], tuple[int, int]]) -> int:
    """The highest price at which no order that nobody needs brings money.

    paid is for how many an order is paid that price, and for how many more the next of its run.
    """
    found = 2**40
    for source in problem.sources:
        for arriving in source.arriving.values():
            for run in arriving.runs:
                for cost, count in _margins(run, arriving, paid(source.name, run)):
                    found = min(found, cost // count) if count > 0 else found
    return found


def _margins(run: Run, arriving: Arriving, paid: tuple[int, int]) -> Iterator[tuple[int, int]]:
    yield run.cost + arriving.left * run.good, paid[0]
    if run.count > 1:
        yield run.cost_step + arriving.left * run.good_step, paid[1]
