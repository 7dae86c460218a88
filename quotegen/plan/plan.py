"""A plan: orders with their days, stock by month, every payment, and the lines of its cost."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from functools import cached_property
from typing import Protocol

from quotegen.compare.route import PAID_TO_SUPPLIER, LineTotal
from quotegen.costing.bill import CostLine, Scope
from quotegen.costing.offer import Offer
from quotegen.plan.problem import UNITS, Problem, Solution
from quotegen.plan.sources import CUSTOMS, Setting, Timing

QUARTER = 92  # days


class Group(StrEnum):
    """What money is paid for, as a month's payments are shown."""

    PIECES = "pieces"
    TOOLS = "tools"
    WAY = "carriage, duty and completion"
    TAX = "import tax, out and back"


@dataclass(frozen=True, kw_only=True)
class PlannedOrder:
    """One order of a plan.

    ordered is the last day on which it can be placed and still arrive for its month;
    tools_ordered is the same for the tools that it needs first, None where it needs none.
    stock_before is what is left when it arrives, covers what must be left of it (R19), and
    lasts_until the first day of the month for which its pieces do not suffice any more; None
    where they suffice to the end. may_run_out is the chance that nothing is left when it arrives,
    0 where the cover is kept. lines hold every cost line of the order in the workshop's currency,
    not discounted.
    """

    offer: Offer
    month: int
    timing: Timing
    brings: tuple[str, ...]
    tools_ordered: datetime.date | None
    pieces: int
    good: int
    stock_before: int
    covers: int
    may_run_out: float
    lasts_until: datetime.date | None

    @property
    def costed(self) -> tuple[CostLine, ...]:
        """The lines of the bill that each order pays."""
        return self.offer.bill.in_scope(Scope.ORDER)

    @cached_property
    def lines(self) -> tuple[LineTotal, ...]:
        return tuple(_totals(self))

    @property
    def ordered(self) -> datetime.date:
        return self.timing.arrival.ordered

    @property
    def begins(self) -> datetime.date:
        """The last day on which something is ordered for it: its tools, else its pieces."""
        return self.tools_ordered or self.ordered

    @property
    def arrives(self) -> datetime.date:
        return self.timing.arrives

    @property
    def total(self) -> Fraction:
        return sum((line.total for line in self.lines), Fraction(0))

    @property
    def landed_each(self) -> Fraction:
        return self.total / self.good if self.good else Fraction(0)


def _totals(order: PlannedOrder) -> Iterator[LineTotal]:
    for line in order.costed:
        rises = line.kind in PAID_TO_SUPPLIER | CUSTOMS
        yield LineTotal(
            offer=order.offer.name,
            line=line,
            count=int(line.counts.of(order.pieces)) * line.scale,
            total=line.schedule.at(order.pieces) * (order.timing.rise if rises else 1),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class MonthOfStock:
    """Good parts in one month; late are those that are wanted and still not there at its end."""

    starts: datetime.date
    before: int
    arriving: int
    used: int
    after: int
    late: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Payment:
    """Money that goes out on a day, less than nothing where it comes in; offer by its name."""

    day: datetime.date
    amount: Fraction
    group: Group
    what: str
    rule: str
    offer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanLine:
    """One line of a plan's present cost, in whole units of 1/UNITS of the currency."""

    what: str
    rule: str
    units: int

    @property
    def amount(self) -> Fraction:
        return Fraction(self.units, UNITS)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlannedTool:
    """A tool of a plan: when it is ordered, what goes through it, and what is left of its life.

    ordered is None for one that is ours already; life and left are in pieces, None where no life
    is stated.
    """

    tool: str
    what: str
    ordered: datetime.date | None
    pieces: int
    life: int | None
    left: int | None


class Drawn(Protocol):
    """What of a plan is drawn up when it is asked for: most are held against others and no more."""

    @property
    def months(self) -> tuple[MonthOfStock, ...]: ...
    @property
    def payments(self) -> tuple[Payment, ...]: ...
    @property
    def for_tools(self) -> tuple[Payment, ...]: ...
    @property
    def lines(self) -> tuple[PlanLine, ...]: ...
    @property
    def tools(self) -> tuple[PlannedTool, ...]: ...


@dataclass(frozen=True, kw_only=True)
class Plan:
    """Orders of least present cost for the offers that may be used, and all that follows.

    offers are those from which something is ordered, by their first arrival. lines add up to
    the present cost, on the plan's first day, in whole units.
    """

    setting: Setting
    problem: Problem
    solution: Solution
    offers: tuple[Offer, ...]
    orders: tuple[PlannedOrder, ...]
    drawn: Drawn = field(repr=False, compare=False)

    @property
    def months(self) -> tuple[MonthOfStock, ...]:
        return self.drawn.months

    @property
    def payments(self) -> tuple[Payment, ...]:
        return self.drawn.payments

    @property
    def for_tools(self) -> tuple[Payment, ...]:
        """Those of payments that are for tools."""
        return self.drawn.for_tools

    @property
    def lines(self) -> tuple[PlanLine, ...]:
        return self.drawn.lines

    @property
    def tools(self) -> tuple[PlannedTool, ...]:
        return self.drawn.tools

    @property
    def is_covered(self) -> bool:
        """Whether the cover of R19 is kept: what is on hand lasts at the high demand as well."""
        return all(order.stock_before >= order.covers for order in self.orders)

    def is_as_safe_as(self, other: Plan) -> bool:
        """Whether it keeps the cover of R19 where the other does; else their costs tell little."""
        return self.is_covered or not other.is_covered

    @property
    def name(self) -> str:
        return " then ".join(offer.name for offer in self.offers)

    @property
    def present(self) -> Fraction:
        """Present cost on the plan's first day (R12), with storage and what may be lost (R13)."""
        return Fraction(self.solution.cost, UNITS)

    @property
    def bound(self) -> Fraction:
        """A present cost below which no plan with these offers can lie."""
        return Fraction(self.solution.bound, UNITS)

    @cached_property
    def main(self) -> Offer | None:
        """The offer that brings the most good parts, the later one of equals."""
        brought: dict[str, int] = {}
        for order in self.orders:
            brought[order.offer.name] = brought.get(order.offer.name, 0) + order.good
        most = max(brought.values(), default=0)
        found = [offer for offer in self.offers if brought[offer.name] == most]
        return found[-1] if found else None

    def first_of(self, offer: Offer) -> PlannedOrder:
        """The first order with one of the plan's offers."""
        return next(order for order in self.orders if order.offer.name == offer.name)

    def is_soon(self, offer: Offer) -> bool:
        """Whether it is ordered from within a quarter of a year of the plan's first order.

        What comes later than that is planned, and not to be agreed to today.
        """
        first = min(order.begins for order in self.orders)
        return (self.first_of(offer).begins - first).days <= QUARTER

    @property
    def paid(self) -> Fraction:
        """All that is paid, not discounted; what only passes through is not in it."""
        return sum((each.amount for each in self.payments), Fraction(0))

    @property
    def bought(self) -> int:
        return sum(order.good for order in self.orders)

    @property
    def surplus(self) -> int:
        """Good parts on hand at the end."""
        return self.months[-1].after if self.months else 0

    @cached_property
    def by_month(self) -> Mapping[datetime.date, Mapping[Group, Fraction]]:
        """What goes out in each calendar month, from the first payment to the last."""
        found: dict[datetime.date, dict[Group, Fraction]] = {}
        for month in _calendar_months(self.payments):
            found[month] = {}
        for each in self.payments:
            row = found[each.day.replace(day=1)]
            row[each.group] = row.get(each.group, Fraction(0)) + each.amount
        return found

    @cached_property
    def paid_so_far(self) -> tuple[tuple[datetime.date, Fraction], ...]:
        """What has been paid in all at the end of each day on which something is paid."""
        found: dict[datetime.date, Fraction] = {}
        total = Fraction(0)
        for each in self.payments:
            total += each.amount
            found[each.day] = total
        return tuple(found.items())

    @property
    def before_first(self) -> Fraction:
        """What is paid before the day on which the first good parts are there."""
        first = min((order.arrives for order in self.orders), default=self.setting.ordered)
        return sum((each.amount for each in self.payments if each.day < first), Fraction(0))

    @property
    def stock(self) -> tuple[tuple[datetime.date, int], ...]:
        """Good parts on the shelf before and after each month's arrivals, and at the end.

        Less than nothing where parts are late; what a month uses is used evenly.
        """
        found, end = [], 0
        for month, wanted in zip(self.months, self.setting.horizon.demand, strict=True):
            end = month.after - month.late
            high = end + wanted
            found += [(month.starts, high - month.arriving), (month.starts, high)]
        return (*found, (self.setting.horizon.ends, end))

    def paid_by(self, day: datetime.date) -> Fraction:
        return sum((each.amount for each in self.payments if each.day <= day), Fraction(0))

    @cached_property
    def tied_up(self) -> tuple[tuple[datetime.date, Fraction], ...]:
        """Money in pieces not yet used, after each payment and each month: tools stand apart.

        Payments so far for anything but tools, less the landed cost of what is used so far.
        """
        days = {each.day for each in self.payments} | set(self.setting.horizon.starts)
        used = _used_value(self)
        running = [each for each in self.payments if each.group is not Group.TOOLS]
        found = []
        for day in sorted(days):
            out = sum((each.amount for each in running if each.day <= day), Fraction(0))
            gone = sum((value for ends, value in used if ends <= day), Fraction(0))
            found.append((day, out - gone))
        return tuple(found)

    @property
    def peak(self) -> tuple[datetime.date, Fraction]:
        """The day on which most money is tied up, the first of equals, and how much."""
        nothing = (self.setting.horizon.begins, Fraction(0))
        return max(self.tied_up, key=lambda each: each[1], default=nothing)

    @property
    def on_tools(self) -> Fraction:
        paid = (each.amount for each in self.payments if each.group is Group.TOOLS)
        return sum(paid, Fraction(0))

    @property
    def stock_at_end(self) -> Fraction:
        """The landed cost of what is left over; what it still brings is in the lines."""
        left, value = self.surplus, Fraction(0)
        for order in reversed(self.orders):
            taken = min(left, order.good)
            value += taken * order.landed_each
            left -= taken
        return value


def _calendar_months(payments: Sequence[Payment]) -> Iterator[datetime.date]:
    if not payments:
        return
    month = min(each.day for each in payments).replace(day=1)
    last = max(each.day for each in payments)
    while month <= last:
        yield month
        month = (month + datetime.timedelta(days=32)).replace(day=1)


def _used_value(plan: Plan) -> list[tuple[datetime.date, Fraction]]:
    """The landed cost of the pieces used in each month, first in first out, on its last day."""
    queue = [(plan.setting.horizon.opening, Fraction(0))]
    found = []
    for number, month in enumerate(plan.months):
        queue += [(each.good, each.landed_each) for each in plan.orders if each.month == number]
        value, wanted = Fraction(0), month.used
        while wanted and queue:
            here, each = queue.pop(0)
            taken = min(wanted, here)
            value += taken * each
            wanted -= taken
            queue[:0] = [(here - taken, each)] if here > taken else []
        found.append((plan.setting.horizon.starts[number + 1], value))
    return found


def payback(plan: Plan, other: Plan) -> datetime.date | None:
    """The first day of the month from which a plan has cost less than another, and stays below.

    Both by what is paid so far, not discounted; None where it never does.
    """
    days = sorted({*plan.by_month, *other.by_month})
    found = None
    for day in days:
        ends = (day + datetime.timedelta(days=32)).replace(day=1) - datetime.timedelta(days=1)
        if plan.paid_by(ends) >= other.paid_by(ends):
            found = None
        elif found is None:
            found = day
    return found
