"""How single orders scatter: counts at given shares of the Poisson and of the binomial law (R21).

Small counts follow the laws to the digit; large ones the normal law, corrected for skew (Cornish,
Fisher 1937).
"""

from __future__ import annotations

import math
from functools import cache
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from quotegen.judge.futures.law import Floats

Counts = NDArray[np.int32]
Places = NDArray[np.intp]

BLOCK = 4096  # futures drawn at once, so that their means lie close together
LARGE = 400.0  # a mean beyond which the Poisson law is drawn from the normal one
WIDE = 100.0  # a variance beyond which the binomial law is
MOST_CELLS = 4_000_000  # of a table of chances


@cache
def _normal(count: int) -> Floats:
    """The standard normal value of each of count equal shares."""
    law = NormalDist()
    return np.array([law.inv_cdf((number + 0.5) / count) for number in range(count)])


def scattered(mean: Floats, order: Places, steps: int) -> Counts:
    """The Poisson count of each mean where the order says, which has places of `steps` equal
    shares."""
    found = np.empty(len(mean), dtype=np.int32)
    for start in range(0, len(mean), BLOCK):
        block = slice(start, start + BLOCK)
        if mean[block].max(initial=0.0) > LARGE:
            found[block] = _far(mean[block], _normal(steps)[order[block]])
        else:
            found[block] = poisson(mean[block], (order[block] + 0.5) / steps)
    return found


def _far(mean: Floats, z: Floats) -> Counts:
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


def parted(every: Counts, share: float, order: Places, steps: int) -> Counts:
    """Of every number, how many fall to a share: the binomial count where the order says.

    The order has places of `steps` equal shares.
    """
    if not 0 < share < 1 or not len(every):
        return every * np.int32(share >= 1)
    z = _normal(steps)
    rows = np.arange(int(every.min()), int(every.max()) + 1)
    spread = np.sqrt(rows * (share * (1 - share)))
    row = every - int(rows[0])
    skew = (1 - 2 * share) * (z * z - 1) / 6
    counts = (rows * share).take(row) + spread.take(row) * z.take(order) + skew.take(order)
    near: Counts = np.clip(np.rint(counts), 0, every).astype(np.int32)
    if spread[-1] ** 2 > WIDE:
        return near
    return binomial(every, share, (order + 0.5) / steps, near)


def binomial(every: Counts, share: float, shares: Floats, near: Counts) -> Counts:
    """The least count of so many whose chance, or that of fewer, reaches the share of each.

    It is looked up in a table with a row for each number, from a count that is near.
    """
    low, high = int(every.min()), int(every.max())
    width = _width(high, share)
    if (high - low + 1) * width > MOST_CELLS and len(every) > 1:
        half = len(every) // 2
        return np.concatenate(
            [
                binomial(every[own], share, shares[own], near[own])
                for own in (slice(None, half), slice(half, None))
            ]
        )
    first, below = _table(low, high, share, width)
    row = every - low
    start = first.take(row) - row * width
    place = np.clip(near - first.take(row), 1, width - 1) + row * width
    moved = np.flatnonzero(below.take(place) < shares)
    while len(moved):
        place[moved] += 1
        moved = moved[below[place[moved]] < shares[moved]]
    moved = np.flatnonzero(below.take(place - 1) >= shares)
    while len(moved):
        place[moved] -= 1
        moved = moved[below[place[moved] - 1] >= shares[moved]]
    found: Counts = np.minimum(place + start, every).astype(np.int32)
    return found


def _width(most: int, share: float) -> int:
    """Counts that hold all but a chance of about 10**-12."""
    return 2 * int(9 * math.sqrt(most * share * (1 - share)) + 9)


def _table(low: int, high: int, share: float, width: int) -> tuple[Counts, Floats]:
    """The first count of each row, and the chance of up to each count from the one before it on.

    A row begins with a chance of less than nothing and ends with one of more than all.
    """
    rows = np.arange(low, high + 1)
    first = np.maximum(0, (rows * share).astype(np.int32) - width // 2).astype(np.int32)
    counts = np.minimum(first[:, None] + np.arange(width - 2), rows[:, None] + 1)
    factorials = np.concatenate([[0.0], np.cumsum(np.log(np.arange(1, high + 2)))])
    rest = rows[:, None] - counts
    logs = factorials[rows][:, None] - factorials[counts] - factorials[np.maximum(rest, 0)]
    logs += counts * math.log(share) + rest * math.log1p(-share)
    below = np.empty((len(rows), width))
    below[:, 0], below[:, -1] = -1.0, 2.0
    np.cumsum(np.where(rest >= 0, np.exp(logs), 0.0), axis=1, out=below[:, 1:-1])
    below[:, 1:-1] /= below[:, -2:-1]
    return first - np.int32(1), below.ravel()
