"""Exact functions of a quantity: what a cost line amounts to for any number of pieces.

Each is evaluated in two ways that must agree: `at` gives one exact Fraction, `values`
gives whole numbers of a common unit for an array of quantities at once. The unit is
1/unit of the currency, where unit is a multiple of the schedule's denominator.
"""

from __future__ import annotations

import bisect
import math
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import Any, Protocol

import numpy as np
from numpy.typing import NDArray

Numbers = NDArray[Any]


class Schedule(Protocol):
    """An amount of money as a function of a number of pieces, one or more."""

    @property
    def denominator(self) -> int: ...

    @property
    def breaks(self) -> tuple[int, ...]:
        """The numbers of pieces from which another price holds, the first one among them."""
        ...

    def at(self, pieces: int) -> Fraction: ...

    def slope_at(self, pieces: int) -> Fraction:
        """What one piece more costs at so many, charges by batch smoothed out."""
        ...

    def values(self, pieces: Numbers, unit: int) -> Numbers:
        """The amounts for numbers of pieces that only grow."""
        ...

    def bound(self, pieces: int, unit: int) -> Fraction:
        """No number on the way to values of so many pieces or fewer is larger."""
        ...


@dataclass(frozen=True, slots=True)
class Driver:
    """What is counted: the order itself, its pieces, batches of them, good ones or rejects.

    Good pieces of a whole order are floor(pieces x (1 - reject share)) (R9). Batches are of
    pieces made; with a reject share, of so many that the counted ones are good.
    """

    counts: str = "pieces"
    batch: int = 1
    rejects: Fraction = Fraction(0)

    def of(self, pieces: Any) -> Any:
        """The count for a number of pieces, or for an array of numbers."""
        if self.counts == "order":
            return pieces * 0 + 1
        kept = self.rejects.denominator - self.rejects.numerator
        if self.counts == "batches":
            return -(-pieces * self.rejects.denominator // (self.batch * kept))
        if self.counts == "pieces":
            return pieces
        good = pieces * kept // self.rejects.denominator
        return good if self.counts == "good" else pieces - good

    @property
    def a_piece(self) -> Fraction:
        """How much the count grows with each piece, steps smoothed out."""
        if self.counts == "order":
            return Fraction(0)
        if self.counts == "batches":
            return 1 / (self.batch * (1 - self.rejects))
        if self.counts == "pieces":
            return Fraction(1)
        return 1 - self.rejects if self.counts == "good" else self.rejects


ORDER = Driver("order")
PIECES = Driver("pieces")


def batches(size: int, rejects: Fraction = Fraction(0)) -> Driver:
    return Driver("batches", batch=size, rejects=rejects)


def good_pieces(rejects: Fraction) -> Driver:
    return Driver("good", rejects=rejects)


def rejected_pieces(rejects: Fraction) -> Driver:
    return Driver("rejects", rejects=rejects)


@dataclass(frozen=True, slots=True)
class Steps:
    """fixed[i] + slope[i] x driver(pieces) from starts[i] pieces on; starts[0] is the least."""

    starts: tuple[int, ...]
    fixed: tuple[Fraction, ...]
    slope: tuple[Fraction, ...]
    driver: Driver = PIECES

    @property
    def denominator(self) -> int:
        return math.lcm(*(each.denominator for each in (*self.fixed, *self.slope)))

    @property
    def breaks(self) -> tuple[int, ...]:
        return self.starts

    def step_at(self, pieces: int) -> int:
        """The index of the step that holds for so many pieces."""
        return max(0, bisect.bisect_right(self.starts, pieces) - 1)

    def at(self, pieces: int) -> Fraction:
        step = self.step_at(pieces)
        return self.fixed[step] + self.slope[step] * int(self.driver.of(pieces))

    def slope_at(self, pieces: int) -> Fraction:
        return self.slope[self.step_at(pieces)] * self.driver.a_piece

    def values(self, pieces: Numbers, unit: int) -> Numbers:
        fixed = [whole(each, unit) for each in self.fixed]
        slope = [whole(each, unit) for each in self.slope]
        counts = self.driver.of(pieces)
        edges = [0, *np.searchsorted(pieces, self.starts[1:]).tolist(), len(pieces)]
        stepped: Numbers = np.empty_like(counts)
        for step, (first, after) in enumerate(pairwise(edges)):
            part = np.multiply(counts[first:after], slope[step], out=stepped[first:after])
            if fixed[step]:
                part += fixed[step]
        return stepped

    def bound(self, pieces: int, unit: int) -> Fraction:
        fixed, slope = max(map(abs, self.fixed)), max(map(abs, self.slope))
        counted = int(self.driver.of(pieces))
        on_the_way = (pieces + self.driver.batch) * self.driver.rejects.denominator
        return (fixed + slope * (counted + 1)) * unit + on_the_way + self.starts[-1]


@dataclass(frozen=True, slots=True)
class Sum:
    """Several schedules together."""

    parts: tuple[Schedule, ...]

    @property
    def denominator(self) -> int:
        return math.lcm(1, *(part.denominator for part in self.parts))

    @property
    def breaks(self) -> tuple[int, ...]:
        return tuple(sorted({start for part in self.parts for start in part.breaks}))

    def at(self, pieces: int) -> Fraction:
        return sum((part.at(pieces) for part in self.parts), Fraction(0))

    def slope_at(self, pieces: int) -> Fraction:
        return sum((part.slope_at(pieces) for part in self.parts), Fraction(0))

    def values(self, pieces: Numbers, unit: int) -> Numbers:
        each = [part.values(pieces, unit) for part in self.parts]
        return sum(each[1:], start=each[0]) if each else pieces * 0

    def bound(self, pieces: int, unit: int) -> Fraction:
        return sum((part.bound(pieces, unit) for part in self.parts), Fraction(0))


@dataclass(frozen=True, slots=True)
class Scaled:
    """A share of another schedule, such as a duty or a surcharge in per cent."""

    whole: Schedule
    factor: Fraction

    @property
    def denominator(self) -> int:
        return self.whole.denominator * self.factor.denominator

    @property
    def breaks(self) -> tuple[int, ...]:
        return self.whole.breaks

    def at(self, pieces: int) -> Fraction:
        return self.whole.at(pieces) * self.factor

    def slope_at(self, pieces: int) -> Fraction:
        return self.whole.slope_at(pieces) * self.factor

    def values(self, pieces: Numbers, unit: int) -> Numbers:
        amounts: Numbers = self.whole.values(pieces, unit)
        return amounts * self.factor.numerator // self.factor.denominator

    def bound(self, pieces: int, unit: int) -> Fraction:
        largest = max(abs(self.factor.numerator), self.factor.denominator)
        return self.whole.bound(pieces, unit) * largest


@dataclass(frozen=True, slots=True)
class Lift:
    """What is missing from a schedule to a least amount; nothing where it is reached (R3)."""

    base: Schedule
    least: Fraction

    @property
    def denominator(self) -> int:
        return math.lcm(self.base.denominator, self.least.denominator)

    @property
    def breaks(self) -> tuple[int, ...]:
        return self.base.breaks

    def at(self, pieces: int) -> Fraction:
        return max(Fraction(0), self.least - self.base.at(pieces))

    def slope_at(self, pieces: int) -> Fraction:  # noqa: ARG002
        """None: a lift belongs to the invoice and never to the piece price (R3)."""
        return Fraction(0)

    def values(self, pieces: Numbers, unit: int) -> Numbers:
        missing: Numbers = whole(self.least, unit) - self.base.values(pieces, unit)
        lifted: Numbers = np.maximum(missing, missing * 0)
        return lifted

    def bound(self, pieces: int, unit: int) -> Fraction:
        return self.least * unit + self.base.bound(pieces, unit)


def flat(amount: Fraction, driver: Driver = PIECES) -> Steps:
    """The same amount for each thing that the driver counts."""
    return Steps((1,), (Fraction(0),), (amount,), driver)


def whole(amount: Fraction, unit: int) -> int:
    """The amount in whole units; unit must be a multiple of its denominator."""
    scaled = amount * unit
    if scaled.denominator != 1:
        raise ValueError(f"{amount} is not whole in units of 1/{unit}")
    return scaled.numerator
