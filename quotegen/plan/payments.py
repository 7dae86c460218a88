"""When money is paid (R12): the days of an order, the terms of a quote, and present cost."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from quotegen.basics.days import ONE_DAY
from quotegen.costing.leadtime import Arrival
from quotegen.model.fields import PaidWhen
from quotegen.model.quote import Payment

Events = Mapping[PaidWhen, datetime.date]


@dataclass(frozen=True, slots=True, kw_only=True)
class Due:
    """A share of an amount, and the day on which it is paid."""

    day: datetime.date
    share: Fraction


@dataclass(frozen=True, kw_only=True)
class Discount:
    """The cost of money, compounded by day over 365, back to one day (R12)."""

    to: datetime.date
    yearly: Fraction

    def factor(self, day: datetime.date) -> float:
        """What one unit of money on a day is worth on the day `to`."""
        return float(self._a_year ** (-(day - self.to).days / 365))

    @cached_property
    def _a_year(self) -> float:
        return 1.0 + float(self.yearly)

    def of(self, dues: Iterable[Due]) -> float:
        """What one unit of money that is paid in shares is worth on the day `to`."""
        return sum(float(due.share) * self.factor(due.day) for due in dues)


def events_of(arrival: Arrival, arrived: datetime.date) -> Events:
    """The days from which terms of payment count; an invoice is written on dispatch."""
    tools = [stage for stage in arrival.stages if stage.is_tool]
    run = [stage for stage in arrival.stages if stage.what == "run"]
    dispatch = run[0].ends if run else arrived
    on_the_way = [each for each in arrival.stages if each.what in ("carriage", "clearance")]
    return {
        PaidWhen.ORDER: arrival.ordered,
        PaidWhen.APPROVAL: tools[-1].ends if tools else arrival.ordered,
        PaidWhen.DISPATCH: dispatch,
        PaidWhen.INVOICE: dispatch,
        PaidWhen.DELIVERY: on_the_way[-1].ends if on_the_way else dispatch,
    }


def dues_of(
    terms: Sequence[Payment], events: Events, unstated: PaidWhen = PaidWhen.DELIVERY
) -> tuple[Due, ...]:
    """The shares of an amount with their days; all of it on one event where no terms are stated."""
    if not terms:
        return (Due(day=events[unstated], share=Fraction(1)),)
    return tuple(
        Due(day=events[each.when] + each.days * ONE_DAY, share=each.share) for each in terms
    )
