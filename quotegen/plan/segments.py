"""The allowed orders of a bill as stretches on which pieces, good parts and money grow evenly.

The money of an order is kept in columns that differ in the day of payment. A stretch is found
on exact numbers, so that a discounted cost is linear on it and a solver may slide along it.
"""

from __future__ import annotations

import bisect
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotegen.compare.lots import LARGEST, order_for
from quotegen.costing.bill import Bill
from quotegen.costing.schedule import (
    Driver,
    Lift,
    Numbers,
    Scaled,
    Schedule,
    Steps,
    Sum,
    good_pieces,
)

MOST_CLASSES = 64  # residue classes looked at apart; beyond it, stretches are only shorter
MOST_PIECES = 200_000  # in one order


@dataclass(frozen=True, slots=True, kw_only=True)
class Segment:
    """count orders; whole has the first order's amount and the step by column, in 1/unit."""

    count: int
    pieces: int
    pieces_step: int
    good: int
    good_step: int
    unit: int
    whole: Mapping[str, tuple[int, int]]

    @property
    def money(self) -> Mapping[str, tuple[Fraction, Fraction]]:
        """As whole, in the currency."""
        return {
            name: (Fraction(first, self.unit), Fraction(step, self.unit))
            for name, (first, step) in self.whole.items()
        }

    @property
    def steps(self) -> tuple[int, ...]:
        """How many orders, and how they differ from each other."""
        return self.count, self.pieces_step, self.good_step, *(by for _, by in self.whole.values())

    def rise_to(self, other: Segment) -> tuple[int, ...] | None:
        """How the first order of another differs from its own; None where their steps do.

        Both are of one bill, and so of one unit.
        """
        if self.steps != other.steps:
            return None
        money = zip(other.whole.values(), self.whole.values(), strict=True)
        pieces, good = other.pieces - self.pieces, other.good - self.good
        return pieces, good, *(there[0] - here[0] for there, here in money)


def segments_of(
    bill: Bill, columns: Mapping[str, Schedule], need: int, agreed: int = 0
) -> tuple[Segment, ...]:
    """Every allowed order up to the first that brings `need`, and the first of each later tier.

    agreed is the number of pieces that a promise to the supplier asks for (R2): one order may
    bring them all, however few are needed.
    """
    if bill.rejects == 1:
        return ()
    pieces = _allowed(bill, columns, need, agreed)
    if not len(pieces):
        return ()
    period = _period(bill, columns)
    unit = math.lcm(1, *(each.denominator for each in columns.values()))
    money = {name: _values(each, pieces, unit) for name, each in columns.items()}
    good = good_pieces(bill.rejects).of(pieces)
    rows = [pieces, good, *money.values()]
    return tuple(
        _segment(rows, tuple(money), first, count, period, unit)
        for start in range(min(period, len(pieces)))
        for first, count in _stretches([row[start::period] for row in rows], start, period)
        if good[first + (count - 1) * period]
    )


def _allowed(bill: Bill, columns: Mapping[str, Schedule], need: int, agreed: int) -> Numbers:
    allowed = bill.allowed
    most = allowed.most or MOST_PIECES
    first = allowed.rounded_up(1)
    enough = max(order_for(bill, need), allowed.rounded_up(agreed))
    last = min(enough, most, MOST_PIECES)
    near = np.arange(first, last + 1, allowed.multiple)
    starts = {start for each in columns.values() for start in each.breaks}
    starts |= {end for each in columns.values() for end in _lifted_until(each)}
    far = {allowed.rounded_up(start) for start in starts}
    beyond = sorted(each for each in far if last < each <= min(most, MOST_PIECES))
    return np.concatenate([near, np.array(beyond, dtype=near.dtype)])


def _lifted_until(schedule: Schedule) -> Iterator[int]:
    """The pieces from which an order reaches its minimum value: more for the same invoice (R3)."""
    if isinstance(schedule, Lift):
        orders = range(1, MOST_PIECES + 1)
        yield 1 + bisect.bisect_left(orders, True, key=lambda each: not schedule.at(each))
    elif isinstance(schedule, Sum):
        for part in schedule.parts:
            yield from _lifted_until(part)
    elif isinstance(schedule, Scaled):
        yield from _lifted_until(schedule.whole)


def _period(bill: Bill, columns: Mapping[str, Schedule]) -> int:
    """After how many multiples floors and batches repeat; 1 where that is too long to help."""
    found = 1
    for driver in {good_pieces(bill.rejects), *(d for s in columns.values() for d in _drivers(s))}:
        found = math.lcm(found, _repeats(driver) // math.gcd(_repeats(driver), _multiple(bill)))
    return found if found <= MOST_CLASSES else 1


def _multiple(bill: Bill) -> int:
    return bill.allowed.multiple


def _repeats(driver: Driver) -> int:
    if driver.counts in ("order", "pieces"):
        return 1
    return driver.rejects.denominator * (driver.batch if driver.counts == "batches" else 1)


def _drivers(schedule: Schedule) -> Iterator[Driver]:
    if isinstance(schedule, Steps):
        yield schedule.driver
    elif isinstance(schedule, Sum):
        for part in schedule.parts:
            yield from _drivers(part)
    elif isinstance(schedule, Scaled):
        yield from _drivers(schedule.whole)
    else:
        yield from _drivers(getattr(schedule, "base", Sum(())))


def _values(schedule: Schedule, pieces: Numbers, unit: int) -> Numbers:
    if schedule.bound(int(pieces[-1]), unit) < LARGEST:
        return schedule.values(pieces.astype(np.int64), unit)
    return schedule.values(pieces.astype(object), unit)


def _stretches(rows: Sequence[Numbers], start: int, period: int) -> Iterator[tuple[int, int]]:
    """The first order of each stretch, by its place among all, and how many it has."""
    length = len(rows[0])
    if length == 1:
        yield start, 1
        return
    turns = np.zeros(max(0, length - 2), dtype=bool)
    for row in rows:
        turns |= np.diff(row, 2) != 0
    ends = [int(each) + 2 for each in np.flatnonzero(turns)]
    first = 0
    for end in [*ends, length]:
        # a turn at the first order of a stretch is one of the step that leads to it
        if end > first + 1 or (end == length and end > first):
            yield start + first * period, end - first
            first = end


def _segment(
    rows: Sequence[Numbers], names: tuple[str, ...], first: int, count: int, period: int, unit: int
) -> Segment:
    second = first + period if count > 1 else first
    here = [int(row[first]) for row in rows]
    step = [int(row[second]) - at for row, at in zip(rows, here, strict=True)]
    whole = {name: (at, by) for name, at, by in zip(names, here[2:], step[2:], strict=True)}
    return Segment(
        count=count,
        pieces=here[0],
        pieces_step=step[0],
        good=here[1],
        good_step=step[1],
        unit=unit,
        whole=whole,
    )
