"""The cost of at least N good parts of one offer, ordered in lots (R2, R9): exact, for every N.

An amount is whole lots plus one remainder order, each an allowed order; then the least over
all amounts that give N good parts or more, so that buying more to reach a break is looked
at. Adding an order never makes a plan cheaper, so nothing beyond the next whole lot needs
a look.

Money is scaled once to whole numbers of a common unit. Where they fit, numpy's 64-bit
integers are used; where the rates' denominators make them too large, Python's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise

import numpy as np

from quotegen.costing.bill import Bill, CostLine, Scope
from quotegen.costing.schedule import Numbers, Schedule, Sum, good_pieces, whole

LARGEST = 2**62
MOST_ORDERS = 10**6  # up to a lot, each one looked at
MOST_FALLS = 100  # in a curve; with more of them one look at all quantities is faster
MOST_PIECES = 10**9  # an order or a yearly minimum beyond is taken as one that cannot be met


@dataclass(frozen=True, slots=True, kw_only=True)
class Orders:
    """Whole lots of one size, then one remainder order (0 for none), and the good parts of all."""

    lots: int
    lot: int
    remainder: int
    good: int

    @property
    def sizes(self) -> tuple[int, ...]:
        return (self.lot,) * self.lots + ((self.remainder,) if self.remainder else ())

    @property
    def pieces(self) -> int:
        return self.lots * self.lot + self.remainder


@dataclass(frozen=True, kw_only=True)
class Curve:
    """Least cost for at least N good parts, N = 0 to reach, in units of 1/unit of the currency.

    available[N] is False where the supplier cannot make so many. amounts are the numbers of
    pieces to choose from, and served says for how many N in a row each is chosen.
    """

    unit: int
    costs: Numbers
    available: Numbers
    amounts: Numbers
    served: Numbers

    @cached_property
    def pieces(self) -> Numbers:
        """What the cheapest orders for N good parts come to, the fewest pieces of equals."""
        return np.repeat(self.amounts, self.served)

    def cost(self, good: int) -> Fraction:
        return Fraction(int(self.costs[good]), self.unit)

    @property
    def reach(self) -> int:
        return len(self.costs) - 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """The allowed order that brings a lot, and the good parts in it."""

    pieces: int
    good: int


def lot_of(bill: Bill, good: int) -> Lot | None:
    """The smallest allowed order with a lot's good parts, or with all that the capacity allows.

    None where no allowed order brings a single good part.
    """
    if bill.rejects == 1:
        return None
    pieces, most = order_for(bill, good), bill.allowed.most or MOST_PIECES
    if pieces > most:
        in_capacity = bill.good(most // bill.allowed.multiple * bill.allowed.multiple)
        pieces = order_for(bill, max(1, in_capacity))
    return Lot(pieces=pieces, good=bill.good(pieces)) if pieces <= most else None


def order_for(bill: Bill, good: int) -> int:
    """The smallest allowed order that gives so many good parts, the capacity left aside."""
    return bill.allowed.rounded_up(math.ceil(good / (1 - bill.rejects)))


def common_unit(bills: Iterable[Bill]) -> int:
    """The smallest unit in which every amount of every bill is a whole number."""
    found = 1
    for bill in bills:
        amounts = [line.schedule.denominator for line in bill.in_scope(Scope.ORDER)]
        amounts += [line.schedule.denominator for line in bill.in_scope(Scope.ONCE)]
        amounts += [
            line.schedule.denominator * bill.years.denominator for line in bill.in_scope(Scope.YEAR)
        ]
        if bill.yearly_minimum is not None:
            amounts.append(bill.yearly_minimum.value.denominator)
            amounts.append(bill.yearly_minimum.base.denominator)
        found = math.lcm(found, *amounts)
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class _Amounts:
    """Amounts to choose from: some whole lots, then one order of the table, smallest first.

    first whole lots stand before all of them, and lots are looked at.
    """

    size: Lot
    table: Numbers
    first: int
    lots: int

    def spread(self, of_table: Numbers) -> Numbers:
        """From the values of the table's orders to those of all amounts; the last is a lot."""
        if self.lots == 1 and not self.first:
            return of_table
        whole = np.arange(self.first, self.first + self.lots).astype(of_table.dtype) * of_table[-1]
        found: Numbers = (whole[:, None] + of_table[None, :]).reshape(-1)
        return found


def curve_of(bill: Bill, lot: int, reach: int, unit: int) -> Curve:
    """The offer's least cost for at least N good parts, for every N from 0 to reach."""
    size = lot_of(bill, lot)
    if size is None or bill.allowed.at_least_in_all > MOST_PIECES:
        return _nothing(reach, unit)
    return _curve(bill, _amounts(bill, size, reach, unit), reach, unit)


def _nothing(reach: int, unit: int) -> Curve:
    """The curve of an offer that cannot bring a single good part."""
    zeros = np.zeros(reach + 1, dtype=np.int64)
    available = np.arange(reach + 1) == 0
    ones = np.ones_like(zeros)
    return Curve(unit=unit, costs=zeros, available=available, amounts=zeros, served=ones)


def _amounts(bill: Bill, size: Lot, reach: int, unit: int) -> _Amounts:
    """Enough lots for reach good parts, or just those that reach a larger yearly minimum (R2)."""
    first, lots = 0, -(-reach // size.good)
    least = bill.allowed.at_least_in_all
    if least > lots * size.pieces:
        first, lots = (least - 1) // size.pieces, 1
    kind = np.int64 if _fits(bill, size, first + lots, unit) else object
    table = _orders(bill, size, reach).astype(kind, copy=False)
    return _Amounts(size=size, table=table, first=first, lots=lots)


def _orders(bill: Bill, size: Lot, reach: int) -> Numbers:
    """Every order up to a whole lot that may be cheapest for reach good parts, smallest first.

    Where nearly all are rejects they are too many. Then, since between two breaks more
    pieces cost no less, the smallest order for each number of good parts is looked at, and
    the smallest that reaches each break or a yearly minimum.
    """
    allowed = bill.allowed
    if not bill.rejects or size.pieces <= MOST_ORDERS:
        return np.arange(allowed.rounded_up(1), size.pieces + 1, allowed.multiple)
    good = np.arange(1, min(size.good, reach) + 1)
    if bill.rejects.denominator * size.good > LARGEST:
        good = good.astype(object)
    kept = bill.rejects.denominator - bill.rejects.numerator
    pieces = (-(-good * bill.rejects.denominator // kept)).astype(np.int64)
    pieces = -(-np.maximum(pieces, allowed.least) // allowed.multiple) * allowed.multiple
    breaks = np.array([*_orders_at_breaks(bill, size), size.pieces], dtype=np.int64)
    return np.unique(np.concatenate([pieces, breaks]))


def _orders_at_breaks(bill: Bill, size: Lot) -> list[int]:
    starts = {start for line in bill.in_scope(Scope.ORDER) for start in line.schedule.breaks}
    if bill.allowed.at_least_in_all:
        starts.add(bill.allowed.at_least_in_all % size.pieces)
    orders = {bill.allowed.rounded_up(start) for start in starts if start <= size.pieces}
    return sorted(each for each in orders if each <= size.pieces)


def _fits(bill: Bill, size: Lot, lots: int, unit: int) -> bool:
    """Whether every number on the way stays inside 64 bits."""
    pieces = size.pieces * lots
    largest = Fraction(pieces * bill.rejects.denominator)
    for line in bill.lines:
        if line.scope is Scope.ORDER:
            largest += line.schedule.bound(size.pieces, unit) * lots
        else:
            largest += line.schedule.bound(pieces, unit) * (1 + bill.years)
    if bill.yearly_minimum is not None:
        largest += bill.yearly_minimum.value * unit
        largest += bill.yearly_minimum.base.bound(size.pieces, unit) * lots
    return largest < LARGEST


def _costs(bill: Bill, amounts: _Amounts, pieces: Numbers, unit: int) -> Numbers:
    """What each amount costs, in units."""
    table = amounts.table
    orders = Sum(tuple(line.schedule for line in bill.in_scope(Scope.ORDER)))
    costs = amounts.spread(orders.values(table, unit))
    for line in bill.in_scope(Scope.ONCE):
        costs = costs + line.schedule.values(pieces.astype(table.dtype, copy=False), unit)
    yearly = sum((line.schedule.at(1) for line in bill.in_scope(Scope.YEAR)), Fraction(0))
    if yearly:
        costs = costs + whole(yearly * bill.years, unit)
    if bill.yearly_minimum is not None:
        reached = amounts.spread(bill.yearly_minimum.base.values(table, unit))
        costs = costs + np.maximum(whole(bill.yearly_minimum.value, unit) - reached, 0)
    return costs


def _curve(bill: Bill, amounts: _Amounts, reach: int, unit: int) -> Curve:
    """The least over all amounts with N good parts or more, within what R2 allows in all."""
    pieces = amounts.spread(amounts.table.astype(np.int64, copy=False))
    good = pieces
    if bill.rejects:
        good = amounts.spread(good_pieces(bill.rejects).of(amounts.table).astype(np.int64))
    costs = _costs(bill, amounts, pieces, unit)
    most = bill.allowed.most_in_all
    if most is not None:
        last = int(np.searchsorted(pieces, most, side="right"))
        pieces, good, costs = pieces[:last], good[:last], costs[:last]
    if not len(costs):
        return _nothing(reach, unit)
    served = _served(good, int(np.searchsorted(pieces, bill.allowed.at_least_in_all)), reach)
    costs, pieces = _least_from(costs, pieces)
    reached = int(served.sum())
    counts = np.concatenate([[1], served, [reach - reached]])
    available = np.ones(reach + 1, dtype=bool)
    available[reached + 1 :] = False
    return Curve(
        unit=unit,
        costs=np.repeat(np.concatenate([[0], costs, costs[-1:]]), counts),
        available=available,
        amounts=np.concatenate([[0], pieces, pieces[-1:]]),
        served=counts,
    )


def _served(good: Numbers, floor: int, reach: int) -> Numbers:
    """How many N from 1 to reach each amount is the first to serve, those before floor none."""
    capped = np.minimum(good, reach)
    served: Numbers = np.concatenate([capped[:1], capped[1:] - capped[:-1]])
    if floor:
        early = served[:floor].sum()
        served[:floor] = 0
        served[floor : floor + 1] += early
    return served


def _least_from(costs: Numbers, pieces: Numbers) -> tuple[Numbers, Numbers]:
    """At each index the least cost at or after it, and the pieces of the first that has it.

    Costs only fall where a break is reached: from the right, each fall pulls down what
    stands before it and is dearer.
    """
    falls = np.flatnonzero(costs[1:] < costs[:-1]).tolist()
    if len(falls) > MOST_FALLS:
        least = np.minimum.accumulate(costs[::-1])[::-1]
        reached = np.flatnonzero(costs == least)
        return least, pieces[np.repeat(reached, np.diff(reached, prepend=-1))]
    costs, pieces = costs.copy(), pieces.copy()
    for before, fall in reversed(list(pairwise([-1, *falls]))):
        dearer = costs[before + 1 : fall + 1]
        begins = before + 1 + int(np.searchsorted(dearer, costs[fall + 1], side="right"))
        costs[begins : fall + 1] = costs[fall + 1]
        pieces[begins : fall + 1] = pieces[fall + 1]
    return costs, pieces


def orders_of(bill: Bill, lot: int, pieces: int) -> Orders | None:
    """The orders behind a number of pieces of the curve: whole lots and the rest in one order."""
    size = lot_of(bill, lot)
    if size is None:
        return None
    lots, remainder = divmod(pieces, size.pieces)
    good = lots * size.good + bill.good(remainder)
    return Orders(lots=lots, lot=size.pieces, remainder=remainder, good=good)


def one_lot(bill: Bill, good: int) -> Orders | None:
    """A single order that brings so many good parts, or all that the capacity allows."""
    size = lot_of(bill, good)
    return None if size is None else orders_of(bill, good, size.pieces)


def cost_of(bill: Bill, orders: Orders) -> Fraction:
    """The same cost as the curve has, added up line by line: the separate evaluator."""
    lines = sum((amount_of(line, bill, orders) for line in bill.lines), Fraction(0))
    return lines + yearly_lift(bill, orders)


def amount_of(line: CostLine, bill: Bill, orders: Orders) -> Fraction:
    """What one line comes to for these orders."""
    if not orders.pieces:
        return Fraction(0)
    if line.scope is Scope.ONCE:
        return line.schedule.at(orders.pieces)
    if line.scope is Scope.YEAR:
        return line.schedule.at(1) * bill.years
    return over_orders(line.schedule, orders)


def over_orders(schedule: Schedule, orders: Orders) -> Fraction:
    """A schedule of one order, added up over all orders."""
    lots = schedule.at(orders.lot) * orders.lots if orders.lots else Fraction(0)
    return lots + (schedule.at(orders.remainder) if orders.remainder else 0)


def yearly_lift(bill: Bill, orders: Orders) -> Fraction:
    """What a yearly minimum value adds (R3)."""
    if bill.yearly_minimum is None or not orders.pieces:
        return Fraction(0)
    reached = over_orders(bill.yearly_minimum.base, orders)
    return max(Fraction(0), bill.yearly_minimum.value - reached)
