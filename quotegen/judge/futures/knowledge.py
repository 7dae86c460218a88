"""What the sales so far tell about the level of demand: its mean by Bayes' rule (R21).

Single orders scatter as Poisson counts, so the months known and the pieces sold in them are all
that counts.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from quotegen.judge.futures.law import Floats, Law

MOST_BINS = 512


@dataclass(frozen=True, kw_only=True)
class Knowledge:
    """The law, the likely demand of each month, and the most that is ever sold.

    Pieces sold are looked up in bins of 2**shift; a bin stands for its middle. How wide the bins
    are rests on the law alone, so that other draws make no other rule.
    """

    law: Law
    demand: tuple[int, ...]
    most_sold: int

    @cached_property
    def shift(self) -> int:
        most = math.ceil(sum(self.demand) * self.law.most)
        return (most // MOST_BINS).bit_length()

    @cached_property
    def bins(self) -> Floats:
        """The number of pieces that each bin stands for."""
        step = 1 << self.shift
        return np.arange(self.most_sold // step + 1, dtype=np.float64) * step + (step - 1) / 2

    @cached_property
    def likely(self) -> Floats:
        """The likely demand of all months before each one, and last of all months."""
        found: Floats = np.concatenate([[0.0], np.cumsum(self.demand, dtype=np.float64)])
        return found

    @cached_property
    def expected(self) -> tuple[Floats, ...]:
        """By the number of months known and the bin: the mean level, given so many sold."""
        return tuple(self.mean(exposure, self.bins) for exposure in self.likely.tolist())

    def mean(self, exposure: float, sold: Floats) -> Floats:
        """The mean level once so many were sold in months that wanted `exposure` at level 1."""
        chances, levels = self.posterior(exposure, sold), self.law.points[0]
        found: Floats = chances @ levels
        return found

    def posterior(self, exposure: float, sold: Floats) -> Floats:
        """The chance of each of the law's points, a row for each number sold."""
        levels, chances = self.law.points
        wanted = np.maximum(levels * exposure, 1e-9)
        known = np.log(chances) + np.outer(sold, np.log(wanted)) - wanted
        known -= known.max(axis=1, keepdims=True)
        found: Floats = np.exp(known)
        found /= found.sum(axis=1, keepdims=True)
        return found


def knowledge_of(law: Law, demand: Sequence[int], most_sold: int) -> Knowledge:
    return Knowledge(law=law, demand=tuple(demand), most_sold=most_sold)
