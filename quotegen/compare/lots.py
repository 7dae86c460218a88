"""The cost of at least N good parts of one offer, ordered in lots (R2, R9): exact, for every N.

An amount of good parts is whole lots plus one remainder order, each an allowed order; then
the least over all amounts that give N or more, so that buying more to reach a break is
looked at. Adding an order never makes a plan cheaper, so nothing beyond the next whole lot
needs a look.

Money is scaled once to whole numbers of a common unit. Where they fit, numpy's 64-bit
integers are used; where the rates' denominators make them too large, Python's own.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotegen.costing.bill import Bill, CostLine, Scope
from quotegen.costing.schedule import Numbers, Schedule

LARGEST = 2**61


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """Least cost for at least N good parts, N = 0 to reach, in units of 1/unit of the currency.

    available[N] is False where the supplier cannot make so many. chosen[N] is the smallest
    amount of good parts, N or more, that costs least.
    """

    unit: int
    costs: Numbers
    available: Numbers
    chosen: Numbers

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
    """The smallest allowed order with a lot's good parts, or the largest the capacity allows.

    None where no allowed order brings a single good part.
    """
    if bill.rejects == 1:
        return None
    pieces = order_for(bill, good)
    most = bill.allowed.most
    if most is not None and pieces > most:
        pieces = most // bill.allowed.multiple * bill.allowed.multiple
    if pieces < bill.allowed.rounded_up(1) or bill.good(pieces) < 1:
        return None
    return Lot(pieces=pieces, good=bill.good(pieces))


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
            line.schedule.denominator * bill.years.denominator
            for line in bill.in_scope(Scope.YEAR)
        ]
        if bill.yearly_minimum is not None:
            amounts.append(bill.yearly_minimum.value.denominator)
            amounts.append(bill.yearly_minimum.base.denominator)
        found = math.lcm(found, *amounts)
    return found


def curve_of(bill: Bill, lot: int, reach: int, unit: int) -> Curve:
    """The offer's least cost for at least N good parts, for every N from 0 to reach."""
    size = lot_of(bill, lot)
    if size is None:
        nothing = np.zeros(reach + 1, dtype=np.int64)
        return Curve(unit=unit, costs=nothing, available=nothing > 0, chosen=nothing)
    most = -(-reach // size.good)
    table = _remainders(bill, size, most, unit)
    costs, pieces = _exact_amounts(bill, size, table, most, unit)
    return _least(bill, costs, pieces, reach, unit)


def _remainders(bill: Bill, size: Lot, lots: int, unit: int) -> Numbers:
    """The order for each remainder of good parts from 1 to a whole lot."""
    kind = np.int64 if _fits(bill, size, lots, unit) else object
    good = np.arange(1, size.good + 1).astype(kind)
    kept = bill.rejects.denominator - bill.rejects.numerator
    pieces = good if not bill.rejects else -(-good * bill.rejects.denominator // kept)
    if bill.allowed.least > 1:
        pieces = np.maximum(pieces, bill.allowed.least)
    if bill.allowed.multiple > 1:
        pieces = -(-pieces // bill.allowed.multiple) * bill.allowed.multiple
    pieces[-1] = size.pieces
    return pieces


def _fits(bill: Bill, size: Lot, lots: int, unit: int) -> bool:
    """Whether every amount on the way stays inside 64 bits, with a margin of four."""
    pieces = size.pieces * (lots + 1)
    steepest = sum(
        (abs(line.schedule.at(1)) + abs(line.schedule.at(size.pieces)) for line in bill.lines),
        Fraction(0),
    )
    if bill.yearly_minimum is not None:
        steepest += bill.yearly_minimum.value
    finest = max((line.schedule.denominator for line in bill.lines), default=1)
    return steepest * pieces * unit * finest < LARGEST


def _exact_amounts(
    bill: Bill, size: Lot, table: Numbers, most: int, unit: int
) -> tuple[Numbers, Numbers]:
    """Cost and pieces of 1, 2, ... most x lot good parts, ordered as just so many."""
    orders = _by_lots(_total(bill.in_scope(Scope.ORDER), table, unit), most)
    pieces = _by_lots(table, most)
    costs = orders + _total(bill.in_scope(Scope.ONCE), pieces, unit)
    yearly = sum((line.schedule.at(1) for line in bill.in_scope(Scope.YEAR)), Fraction(0))
    costs = costs + int(yearly * bill.years * unit)
    if bill.yearly_minimum is not None:
        reached = _by_lots(bill.yearly_minimum.base.values(table, unit), most)
        costs = costs + np.maximum(int(bill.yearly_minimum.value * unit) - reached, 0)
    return costs, pieces


def _total(lines: Sequence[CostLine], pieces: Numbers, unit: int) -> Numbers:
    total: Numbers = np.zeros(len(pieces), dtype=pieces.dtype)
    for line in lines:
        total = total + line.schedule.values(pieces, unit)
    return total


def _by_lots(of_remainder: Numbers, most: int) -> Numbers:
    """From the value of a remainder of 1 .. one lot to that of 1 .. most lots."""
    if most <= 1:
        return of_remainder
    lots = np.arange(most).astype(of_remainder.dtype) * of_remainder[-1]
    spread: Numbers = (lots[:, None] + of_remainder[None, :]).reshape(-1)
    return spread


def _least(bill: Bill, costs: Numbers, pieces: Numbers, reach: int, unit: int) -> Curve:
    """The least over larger amounts, the yearly minimum as a floor, the capacity as an end."""
    least = np.minimum.accumulate(costs[::-1])[::-1]
    amounts = np.arange(1, len(costs) + 1)
    chosen = np.minimum.accumulate(np.where(costs == least, amounts, len(costs))[::-1])[::-1]
    floor = int(np.searchsorted(pieces.astype(np.int64), bill.allowed.at_least_in_all))
    if floor:
        last = min(floor, len(costs) - 1)
        least[:last], chosen[:last] = least[last], chosen[last]
    available = np.ones(reach, dtype=bool)
    if bill.allowed.most_in_all is not None:
        available = pieces[chosen[:reach] - 1] <= bill.allowed.most_in_all
    return Curve(
        unit=unit,
        costs=np.concatenate([[0], least[:reach]]),
        available=np.concatenate([[True], available]),
        chosen=np.concatenate([[0], chosen[:reach]]),
    )


def orders_for(bill: Bill, lot: int, good: int) -> Orders | None:
    """The orders behind one amount of the curve: just so many lots and this remainder."""
    size = lot_of(bill, lot)
    if size is None:
        return None
    lots, rest = divmod(good, size.good)
    remainder = order_for(bill, rest) if rest else 0
    brought = bill.good(remainder) if remainder else 0
    return Orders(
        lots=lots, lot=size.pieces, remainder=remainder, good=lots * size.good + brought
    )


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
