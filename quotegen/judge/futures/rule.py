"""The reorder rule of one route: what it orders for each month, given what has been sold (R21).

An order for a month is placed when what is on hand and on the way, less what is expected to be
sold until the next delivery could come, would fall below the cover. It is for so many months as
cost least at the demand that is expected then; what is expected rests on the months that are
over on the day of the order, and on nothing else.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from quotegen.judge.futures.buying import Buying
from quotegen.judge.futures.knowledge import Knowledge
from quotegen.judge.futures.law import Floats

Wholes = NDArray[np.int32]

GRID = 16  # levels at which the months of an order are weighed
NEARLY = 1e-9
SAFE = 1.2816  # of the normal law: nine lead times in ten


@dataclass(frozen=True, slots=True, kw_only=True)
class Month:
    """What the rule does for one month in which something can arrive.

    known is the number of months that are over on the day of the order. reorder and up_to hold,
    by the bin of what was sold in them, the pieces on hand and on the way below which an order is
    placed, and those that it brings them to. room is the same for the most that the shelf holds
    and fits the most that can be wanted of so much room; None where the shelf holds any number.
    """

    known: int
    reorder: Wholes
    up_to: Wholes
    buying: Buying
    room: Wholes | None = None
    fits: Wholes | None = None


@dataclass(frozen=True, kw_only=True)
class Ordering:
    """What the rule is made from: by month of arrival, None where nothing can arrive.

    covers is the cover of R19 at the likely level; known the months known. In a month of firsts a
    tool arrives and the first pieces with it. scatters asks for a cover against the scatter of
    single orders as well.
    """

    knowledge: Knowledge
    buying: Sequence[Buying | None]
    covers: Sequence[int]
    known: Sequence[int]
    firsts: frozenset[int]
    scatters: bool
    shelf: int | None

    @property
    def months(self) -> int:
        return len(self.buying)

    @cached_property
    def rule(self) -> tuple[Month | None, ...]:
        return tuple(self._month(month) for month in range(self.months))

    def _month(self, month: int) -> Month | None:
        buying = self.buying[month]
        if buying is None:
            return None
        level = self.knowledge.expected[self.known[month]]
        until = self._next(month)
        lasting = self.lasting[month][self._nearest(level)]
        up_to = self._stock(month, month + lasting, level)
        room = fits = None
        if self.shelf is not None:
            here = level * self._between(self.known[month], month)
            room = np.floor(here + self.shelf + NEARLY).astype(np.int32)
            fits = _fits(buying, self.shelf)
        reorder = np.minimum(self._stock(month, until, level), up_to)
        return Month(
            known=self.known[month],
            reorder=up_to if month in self.firsts else reorder,
            up_to=up_to,
            buying=buying,
            room=room,
            fits=fits,
        )

    def _next(self, month: int) -> int:
        """The next month in which something can arrive, or the end."""
        later = (each for each in range(month + 1, self.months) if self.buying[each] is not None)
        return next(later, self.months)

    def _between(self, first: Floats | int, after: Floats | int | NDArray[np.intp]) -> Floats:
        likely = self.knowledge.likely
        found: Floats = likely[after] - likely[first]
        return found

    def _stock(self, month: int, until: int | NDArray[np.intp], level: Floats) -> Wholes:
        """Pieces that last from the months known until another month, and its cover then."""
        wanted = np.ceil(level * self._between(self.known[month], until) - NEARLY)
        found: Wholes = (wanted + self._cover(until, level)).astype(np.int32)
        return found

    def _cover(self, month: int | NDArray[np.intp], level: Floats) -> Floats:
        """R19 at another level, and at least what nine lead times in ten use; none at the end."""
        covered: Floats = np.ceil(self._share(level) * self._covers[month] - NEARLY)
        if not self.scatters:
            return covered
        spread = np.ceil(SAFE * np.sqrt(level * self._lead[month]) - NEARLY)
        found: Floats = np.maximum(covered, spread)
        return found

    def _share(self, level: Floats) -> Floats:
        """Of the cover at the likely level: as far as the high one lies above, if it still does.

        Below the likely level in proportion to it.
        """
        high = max(1.0, self.knowledge.law.most)
        above = (high - level) / (high - 1) if high > 1 else level
        found: Floats = np.maximum(0.0, np.minimum(level, above))
        return found

    @cached_property
    def _covers(self) -> Floats:
        return np.array([*self.covers, 0], dtype=np.float64)

    @cached_property
    def _lead(self) -> Floats:
        """The likely demand between the order and its arrival, by month; at the end none."""
        waits = [self._between(known, month) for month, known in enumerate(self.known)]
        return np.array([*waits, 0.0], dtype=np.float64)

    @cached_property
    def grid(self) -> Floats:
        law = self.knowledge.law
        return np.unique(np.append(np.linspace(law.least, law.most, GRID), 1.0))

    def _nearest(self, level: Floats) -> NDArray[np.intp]:
        halfway = (self.grid[1:] + self.grid[:-1]) / 2
        return np.searchsorted(halfway, level)

    @cached_property
    def lasting(self) -> Mapping[int, NDArray[np.intp]]:
        """For how many months an order lasts at least cost, by month and by level of the grid.

        Backwards over the months, after Wagner and Whitin (1958), each level as if it were known
        and every order arriving when nothing but its cover is left. No order lasts beyond the month
        in which a tool brings its first pieces.
        """
        end = self.months
        ahead = np.full((end + 1, len(self.grid)), np.inf)
        ahead[end] = 0.0
        found = {}
        for month in reversed(range(end)):
            if self.buying[month] is not None:
                costs = self._costs(month) + ahead[month + 1 :].T
                best = np.argmin(costs, axis=1)
                found[month] = best + 1
                ahead[month] = costs[np.arange(len(best)), best]
        return found

    def _costs(self, month: int) -> Floats:
        """What an order costs and what it waits, by level and by the month after its last."""
        buying, end = self.buying[month], self.months
        untils = np.arange(month + 1, end + 1)
        if buying is None:
            raise ValueError("nothing can arrive")
        level = self.grid[:, None]
        covers = self._cover(untils, level)
        here = self._cover(np.array([month]), level)
        wanted = np.ceil(level * self._between(month, untils) - NEARLY) + covers - here
        order = np.clip(wanted, 0, buying.most).astype(np.intp)
        costs = np.where(order > 0, buying.cost[order], 0.0)
        waiting = np.arange(1, len(untils) + 1)
        used = level * (self._between(month, untils) * waiting - self._areas[month, month + 1 :])
        costs = costs + (used + covers * waiting) * buying.waits[order]
        allowed = wanted <= buying.most
        if month in self.firsts:
            allowed &= wanted > 0
        allowed &= untils <= min((each for each in self.firsts if each > month), default=end)
        if self.shelf is not None:
            allowed &= buying.good[order] + here <= self.shelf
        return np.where(allowed, costs, np.inf)

    @cached_property
    def _areas(self) -> Floats:
        """Piece-months of use between two months: [first, after], at the likely level."""
        likely, end = self.knowledge.likely, self.months
        found = np.zeros((end, end + 1))
        for first in range(end):
            found[first, first + 1 :] = np.cumsum(likely[first + 1 :] - likely[first])
        return found


def _fits(buying: Buying, shelf: int) -> Wholes:
    """By the room on the shelf: the most good parts to ask for, so that what comes goes on it."""
    wanted = np.arange(buying.most + 1)
    fitting = np.searchsorted(buying.good, np.arange(shelf + 1), side="right") - 1
    found: Wholes = np.where(fitting > 0, wanted[fitting], 0).astype(np.int32)
    return found
