"""The months of a plan: when they begin, and how many good parts each uses."""

from __future__ import annotations

import bisect
import datetime
import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import accumulate

from quotegen.basics.days import months_after
from quotegen.costing.offer import Offer
from quotegen.model.part import Part


@dataclass(frozen=True, kw_only=True)
class Horizon:
    """The months in which pieces are used, month 0 the first.

    starts has the first day of each month and, last, the day on which the plan ends. demand is
    the likely demand of each month in good parts; opening is what is on hand on the first day.
    low_share and high_share are what the low and the high demand are less and more than the
    likely one, as shares of it. stated tells whether the part's form says when the parts are
    needed.
    """

    starts: tuple[datetime.date, ...]
    demand: tuple[int, ...]
    opening: int
    low_share: Fraction
    high_share: Fraction
    stated: bool

    @property
    def months(self) -> int:
        return len(self.demand)

    @property
    def begins(self) -> datetime.date:
        return self.starts[0]

    @property
    def ends(self) -> datetime.date:
        return self.starts[-1]

    @property
    def need(self) -> int:
        """Good parts to be bought."""
        return max(0, sum(self.demand) - self.opening)

    @cached_property
    def _used_before(self) -> tuple[int, ...]:
        """The likely demand of all months before each one, and last of all months."""
        return tuple(accumulate(self.demand, initial=0))

    def used_by(self, day: datetime.date) -> Fraction:
        """The likely demand from the first day until another, months in equal days."""
        number = bisect.bisect_right(self.starts, day) - 1
        if number < 0 or number >= self.months:
            return Fraction(self._used_before[0 if number < 0 else -1])
        first, after = self.starts[number], self.starts[number + 1]
        inside = Fraction(self.demand[number] * (day - first).days, (after - first).days)
        return self._used_before[number] + inside

    def cover(self, ordered: datetime.date, arrives: datetime.date) -> int:
        """Good parts that must be on hand beyond the likely demand of a lead time (R19).

        So many more are used by the high demand between the order and its arrival.
        """
        if (ordered, arrives) not in self._covers:
            self._covers[ordered, arrives] = self._cover(ordered, arrives)
        return self._covers[ordered, arrives]

    @cached_property
    def _covers(self) -> dict[tuple[datetime.date, datetime.date], int]:
        return {}

    def _cover(self, ordered: datetime.date, arrives: datetime.date) -> int:
        if arrives <= self.begins:
            return 0
        likely = self.used_by(arrives) - self.used_by(max(ordered, self.begins))
        return math.ceil(likely * self.high_share)

    def chance_of_running_out(
        self, stock: int, ordered: datetime.date, arrives: datetime.date
    ) -> float:
        """How likely it is that what is left on arrival is less than nothing (R19).

        stock is what the likely demand leaves. The true demand of the lead time is taken to lie
        between low and high with a peak at likely: the triangular distribution, no source.
        """
        likely = float(self.used_by(arrives) - self.used_by(max(ordered, self.begins)))
        if not likely or not self.high_share:
            return 0.0
        low, high = float(self.low_share), float(self.high_share)
        beyond = stock / likely  # as low and high, from the likely demand
        if beyond < 0:
            met = max(0.0, low + beyond) ** 2 / ((low + high) * low) if low else 0.0
            return 1.0 - met
        return max(0.0, high - beyond) ** 2 / ((low + high) * high)

    def lasts_until(self, good: int) -> datetime.date | None:
        """The first day of the month that finds fewer on hand than it uses; None if none does."""
        for number, used in enumerate(accumulate(self.demand)):
            if used > self.opening + good:
                return self.starts[number]
        return None


def horizon_of(part: Part, months: int, begins: datetime.date, stated: bool) -> Horizon:
    demand = part.demand
    return Horizon(
        starts=tuple(months_after(begins, number) for number in range(months + 1)),
        demand=tuple(demand.of_month(number) for number in range(months)),
        opening=part.on_hand,
        low_share=1 - Fraction(demand.low, demand.likely),
        high_share=Fraction(demand.high, demand.likely) - 1,
        stated=stated,
    )


def first_use(
    part: Part, offers: Iterable[Offer], ordered: datetime.date
) -> tuple[datetime.date, bool]:
    """The day from which pieces are used, and whether the part's form states it.

    Where it does not, use is taken to begin when the slowest of the offers can deliver, so that
    none is favoured by being quick.
    """
    if part.needed_by is not None:
        return max(part.needed_by, ordered), True
    return max([ordered, *(each.arrival.reached for each in offers)]), False
