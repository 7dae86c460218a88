"""The law of the unknown level of demand: how likely each level is, and how to draw one (R21).

A level is a multiple of the likely demand and holds for a whole future.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from quotegen.model.fields import LawOfDemand
from quotegen.model.part import Demand

Floats = NDArray[np.float64]

CELLS = 20_000  # of the table that the PERT law is drawn from
POINTS = 96  # levels of equal chance that stand for a law without gaps


@dataclass(frozen=True, kw_only=True)
class Law:
    """Levels that rise, and the chance of each or of less.

    Between two levels the chance grows evenly, or at once where there are single levels only.
    """

    levels: Floats
    below: Floats
    is_single: bool

    @property
    def least(self) -> float:
        return float(self.levels[0])

    @property
    def most(self) -> float:
        return float(self.levels[-1])

    def at(self, shares: Floats) -> Floats:
        """The level below which each share of all futures lies: the inverse of the law."""
        if self.is_single:
            place = np.searchsorted(self.below, shares, side="right")
            return self.levels[np.minimum(place, len(self.levels) - 1)]
        found: Floats = np.interp(shares, self.below, self.levels)
        return found

    @property
    def points(self) -> tuple[Floats, Floats]:
        """Some levels and their chances, which add up to one: what a posterior is reckoned on."""
        if self.is_single:
            return self.levels, np.diff(self.below, prepend=0.0)
        shares = (np.arange(POINTS) + 0.5) / POINTS
        return self.at(shares), np.full(POINTS, 1 / POINTS)


def law_of(demand: Demand) -> Law:
    """The law that a part's form states: its scenarios, else PERT or triangular."""
    likely = demand.likely
    if demand.weighed:
        return _single([(level / likely, float(share)) for level, share in demand.weighed])
    if demand.low == demand.high:
        return _single([(1.0, 1.0)])
    low, high = demand.low / likely, demand.high / likely
    if demand.law is LawOfDemand.TRIANGULAR:
        return triangular(low, 1.0, high)
    return pert(low, 1.0, high)


def _single(weighed: list[tuple[float, float]]) -> Law:
    rising = sorted(each for each in weighed if each[1])
    levels, shares = np.array(rising).T
    below = np.cumsum(shares)
    return Law(levels=levels, below=below / below[-1], is_single=True)


def pert(low: float, likely: float, high: float) -> Law:
    """The beta law with shape 4 (Malcolm, Roseboom, Clark, Fazar 1959, in its later exact form)."""
    first = 1 + 4 * (likely - low) / (high - low)
    second = 1 + 4 * (high - likely) / (high - low)
    middle = (np.arange(CELLS) + 0.5) / CELLS
    density = middle ** (first - 1) * (1 - middle) ** (second - 1)
    below = np.concatenate([[0.0], np.cumsum(density)])
    edges = low + (high - low) * np.arange(CELLS + 1) / CELLS
    return Law(levels=edges, below=below / below[-1], is_single=False)


def triangular(low: float, likely: float, high: float) -> Law:
    """Rises evenly from low to likely and falls evenly to high."""
    levels = np.linspace(low, high, CELLS + 1)
    left = (levels - low) ** 2 / ((high - low) * max(likely - low, 1e-300))
    right = 1 - (high - levels) ** 2 / ((high - low) * max(high - likely, 1e-300))
    return Law(levels=levels, below=np.where(levels < likely, left, right), is_single=False)


def mean_of(demand: Demand) -> Fraction:
    """The mean of the level in pieces a year, exactly."""
    low, likely, high = (Fraction(each) for each in (demand.low, demand.likely, demand.high))
    if demand.weighed:
        return sum((level * share for level, share in demand.weighed), Fraction(0))
    if demand.law is LawOfDemand.TRIANGULAR:
        return (low + likely + high) / 3
    return (low + 4 * likely + high) / 6


def variance_of(demand: Demand) -> Fraction:
    """The variance of the level, exactly; for PERT not the classic ((high - low) / 6)^2."""
    low, likely, high = (Fraction(each) for each in (demand.low, demand.likely, demand.high))
    mean = mean_of(demand)
    if demand.weighed:
        return sum((share * (level - mean) ** 2 for level, share in demand.weighed), Fraction(0))
    if demand.law is LawOfDemand.TRIANGULAR:
        squares = low**2 + likely**2 + high**2
        return (squares - low * likely - low * high - likely * high) / 18
    return (mean - low) * (high - mean) / 7
