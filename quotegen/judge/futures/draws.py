"""Futures drawn once for all routes: one level each, the scatter of single orders, new drawings.

The draws are stratified. The level and the pieces of a whole future come first, each in equal
shares of its law and both together in a lattice; the futures are then put in order of their
pieces, and the months of new drawings lie over them in a lattice again, since no two things move
a cost more. Last the pieces are parted into the months, half by half: given their sum, counts of
the Poisson law part as the binomial law says, whatever the level. The shares of every parting are
taken exactly once, in a shuffled order. Lattices and shuffles come from whole numbers alone, so
that every machine draws the same futures. They come in groups, each drawn like that for itself:
what differs between groups tells how sure a figure is (R21).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, islice

import numpy as np
from numpy.typing import NDArray

from quotegen.judge.futures.law import Floats, Law
from quotegen.judge.futures.scatter import Counts, Places, parted, scattered

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
    level, total = np.empty(count), np.empty(count, dtype=np.int32)
    struck: list[list[Places]] = [[] for _ in demand]
    for group in range(GROUPS):
        own = slice(group * each, (group + 1) * each)
        levels = law.at((np.arange(each) + (group + 0.5) / GROUPS) / each)
        state = _next(seed + group)
        place = _lattice(each, state) * GROUPS + group
        pieces = scattered(levels * sum(demand), place, count)
        rising = np.argsort(pieces, kind="stable")
        level[own], total[own] = levels[rising], pieces[rising]
        place = _lattice(each, _next(state)) * GROUPS + group
        months = _struck((place + 0.5) / count, change, len(demand))
        for found, month in zip(struck, months, strict=True):
            found.append(month + own.start)
    shuffles = _shuffles(each, GROUPS * len(demand), seed)
    orders = (np.concatenate(list(islice(shuffles, GROUPS))) for _ in demand)
    wanted = np.empty((len(demand), count), dtype=np.int32)
    _part(wanted, total, demand, lambda every, share: parted(every, share, next(orders), each))
    return Draws(
        level=level,
        sold=_summed(wanted),
        struck=tuple(np.concatenate(found) for found in struck),
        scatters=True,
    )


def _part(
    wanted: Counts,
    total: Counts,
    demand: Sequence[int],
    half_of: Callable[[Counts, float], Counts],
) -> None:
    """Fill the months, a row for each, with the pieces of all of them."""
    if len(demand) < 2:
        wanted[:] = total
        return
    middle = (len(demand) + 1) // 2
    share = sum(demand[:middle]) / (sum(demand) or 1)
    first = half_of(total, share)
    _part(wanted[:middle], first, demand[:middle], half_of)
    _part(wanted[middle:], total - first, demand[middle:], half_of)


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


def _lattice(count: int, state: int) -> Places:
    """The numbers below count, each as far from its neighbours' as the golden section brings it."""
    step = round(count * (math.sqrt(5) - 1) / 2)
    while math.gcd(step, count) > 1:
        step += 1
    found: Places = (np.arange(count, dtype=np.intp) * step + state % count) % count
    return found


def _struck(shares: Floats, change: float, months: int) -> list[Places]:
    """By month the futures in which a new drawing comes, from one share of each future.

    The share says when the first one comes, and how far it lies in that month's share when the
    next one does.
    """
    stands = np.cumprod(np.full(months, 1 - change))
    below = np.concatenate([[0.0], 1 - stands])
    comes = np.zeros((months, len(shares)), dtype=bool)
    some, since = np.arange(len(shares)), np.zeros(len(shares), dtype=np.intp)
    while len(some):
        waits = np.searchsorted(below, shares, side="right") - 1
        hits = np.flatnonzero(since + waits < months)
        some, waits = some[hits], waits[hits]
        since = since[hits] + waits
        comes[since, some] = True
        shares = (shares[hits] - below[waits]) / (below[waits + 1] - below[waits])
        since += 1
    return [np.flatnonzero(each) for each in comes]
