"""Futures drawn once for all routes: one level each, the scatter of single orders, new drawings.

The draws are stratified: the level and every month take each of n equal shares of their law
exactly once, and only the order in which a month takes them is shuffled. The shuffle comes from
whole numbers alone, so that every machine draws the same futures. They come in groups, each
drawn like that for itself: what differs between groups tells how sure a figure is (R21).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from quotegen.judge.futures.law import Floats, Law

Counts = NDArray[np.int32]
Places = NDArray[np.intp]

BLOCK = 4096  # futures drawn at once, so that their means lie close together
LARGE = 400.0  # a mean beyond which the scatter is drawn from the normal law, corrected for skew
GROUPS = 8
SEED = 20_270_301
ROUNDS = 4  # of mixing for one order


@dataclass(frozen=True, kw_only=True)
class Draws:
    """n futures over some months.

    sold[m] is what has been sold before month m in each future, sold[0] nothing: an array of
    months + 1 by n. struck has for each month the futures in which a new drawing comes then.
    scatters tells whether the single orders vary at all.
    """

    level: Floats
    sold: Counts
    struck: tuple[Places, ...]
    scatters: bool

    @property
    def months(self) -> int:
        return len(self.sold) - 1

    @property
    def count(self) -> int:
        return int(self.sold.shape[1])

    def some(self, places: Places) -> Draws:
        """Some of the futures, as if they were all."""
        struck = np.zeros((self.months, self.count), dtype=bool)
        for month, each in enumerate(self.struck):
            struck[month, each] = True
        return Draws(
            level=self.level[places],
            sold=np.ascontiguousarray(self.sold[:, places]),
            struck=tuple(np.flatnonzero(each) for each in struck[:, places]),
            scatters=self.scatters,
        )


def draw(law: Law, demand: Sequence[int], change: float, count: int, *, seed: int = SEED) -> Draws:
    """count futures, a multiple of GROUPS: demand is the likely one of each month, change the
    chance in a month that a new drawing comes."""
    each, odd = divmod(count, GROUPS)
    if odd:
        raise ValueError(f"{count} futures do not go into {GROUPS} groups")
    is_far = max(demand, default=0) * law.most > LARGE
    z = _normal(each) if is_far else np.empty(0)
    shuffles = _shuffles(each, 2 * len(demand) * GROUPS, seed)
    level = np.empty(count)
    wanted = np.empty((len(demand), count), dtype=np.int32)
    struck: list[list[Places]] = [[] for _ in demand]
    for group in range(GROUPS):
        own = slice(group * each, (group + 1) * each)
        level[own] = law.at((np.arange(each) + (group + 0.5) / GROUPS) / each)
        for month, likely in enumerate(demand):
            wanted[month, own] = _scattered(level[own] * likely, next(shuffles), z)
            struck[month].append(_struck(next(shuffles), change) + own.start)
    return Draws(
        level=level,
        sold=_summed(wanted),
        struck=tuple(np.concatenate(found) for found in struck),
        scatters=True,
    )


def certain(law: Law, demand: Sequence[int], count: int) -> Draws:
    """Futures that differ in their level alone: no scatter, no new drawing."""
    level = law.at(_shares(count))
    so_far = np.concatenate([[0], np.cumsum(demand)])
    sold = np.rint(np.outer(so_far, level)).astype(np.int32)
    none = np.empty(0, dtype=np.intp)
    return Draws(level=level, sold=sold, struck=(none,) * len(demand), scatters=False)


def _shares(count: int) -> Floats:
    found: Floats = (np.arange(count) + 0.5) / count
    return found


def _summed(wanted: Counts) -> Counts:
    """Row upon row, which is quicker than numpy's own sums along the first axis."""
    none = np.zeros(wanted.shape[1], dtype=np.int32)
    return np.array(list(accumulate(wanted, initial=none)))


def _shuffles(count: int, many: int, seed: int) -> Iterator[Places]:
    """So many orders of 0 to count - 1, each from the mixed bits of whole numbers alone.

    Odd multiples and shifts to the right turn the numbers below a power of two into each other;
    those that are too large are left out.
    """
    bits = max(1, (count - 1).bit_length())
    state = seed
    for _ in range(many):
        numbers = np.arange(1 << bits, dtype=np.uint64)
        for _ in range(ROUNDS):
            state = _next(state)
            numbers = _turned(numbers, state, bits)
        found = numbers.astype(np.intp)
        yield found[found < count]


def _turned(numbers: NDArray[np.uint64], key: int, bits: int) -> NDArray[np.uint64]:
    mask = np.uint64((1 << bits) - 1)
    numbers = (numbers * np.uint64(key | 1) + np.uint64(key >> 32)) & mask
    turned: NDArray[np.uint64] = numbers ^ (numbers >> np.uint64((bits + 1) // 2))
    return turned


def _next(state: int) -> int:
    """The step and the mixing of splitmix64 (Steele, Lea, Flood 2014), 64 bits."""
    bits = (state + 0x9E3779B97F4A7C15) % 2**64
    bits = ((bits ^ (bits >> 30)) * 0xBF58476D1CE4E5B9) % 2**64
    bits = ((bits ^ (bits >> 27)) * 0x94D049BB133111EB) % 2**64
    return bits ^ (bits >> 31)


def _struck(order: Places, change: float) -> Places:
    found: Places = np.flatnonzero((order + 0.5) / max(1, len(order)) < change)
    return found


def _normal(count: int) -> Floats:
    """The standard normal value of each of count equal shares."""
    law = NormalDist()
    return np.array([law.inv_cdf((number + 0.5) / count) for number in range(count)])


def _scattered(mean: Floats, order: Places, z: Floats) -> Counts:
    """The Poisson count of each mean at the share that its place in the order gives."""
    found = np.empty(len(mean), dtype=np.int32)
    for start in range(0, len(mean), BLOCK):
        block = slice(start, start + BLOCK)
        if mean[block].max(initial=0.0) > LARGE:
            found[block] = _far(mean[block], z[order[block]])
        else:
            found[block] = poisson(mean[block], (order[block] + 0.5) / len(mean))
    return found


def _far(mean: Floats, z: Floats) -> Counts:
    """Cornish and Fisher's first correction of the normal value, for the skew of Poisson."""
    counts = mean + np.sqrt(mean) * z + (z * z - 1) / 6
    found: Counts = np.maximum(np.rint(counts), 0).astype(np.int32)
    return found


def poisson(mean: Floats, shares: Floats) -> Counts:
    """The least count whose chance, or that of fewer, reaches the share: the inverse law.

    Means that lie close together are quickest, since the sum begins where the least of them does.
    """
    if not len(mean):
        return np.empty(0, dtype=np.int32)
    low, high = float(mean.min()), float(mean.max())
    count = max(0, int(low - 9 * low**0.5))
    chance = _chance(mean, count)
    below = chance.copy()
    found = np.full(len(mean), count, dtype=np.int32)
    for number in range(count + 1, int(high + 12 * high**0.5) + 20):
        more = shares > below
        if not more.any():
            break
        found += more
        chance *= mean / number
        below += chance
    return found


def _chance(mean: Floats, count: int) -> Floats:
    """The Poisson chance of one count for each mean."""
    if not count:
        return np.exp(-mean)
    factorial = float(np.sum(np.log(np.arange(1, count + 1))))
    found: Floats = np.exp(count * np.log(mean) - mean - factorial)
    return found
