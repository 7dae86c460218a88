"""From an offer to a source of the planning problem: when it can deliver, at what present cost.

What an order costs is its bill with every amount on the day on which it is paid (R12), risen by
what the quote states for later orders (R15). What each piece costs until it is used is storage
at the value of the route it came by, and the chance that the design changes before (R13).
"""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from quotegen.basics.days import ONE_DAY, WorkCalendar
from quotegen.compare.route import PAID_TO_SUPPLIER, running_each
from quotegen.costing.bill import CostLine, Kind, Scope
from quotegen.costing.leadtime import (
    Arrival,
    Stretch,
    arrival_along,
    latest_order,
    stretches_of,
)
from quotegen.costing.offer import Offer
from quotegen.costing.schedule import Scaled, Schedule, Sum
from quotegen.model.fields import PaidWhen
from quotegen.model.quote import Tool
from quotegen.plan.horizon import Horizon
from quotegen.plan.orders import Shape, Tables
from quotegen.plan.payments import Discount, Due, Events, dues_of, events_of
from quotegen.plan.problem import UNITS, Arriving, Rows, Run
from quotegen.plan.segments import Segment, segments_of
from quotegen.plan.sound import single

TAX_BACK_AFTER = 30 * ONE_DAY  # common practice, no source: with the next return
CUSTOMS = frozenset({Kind.CUSTOMS, Kind.TAX})


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What all sources of a plan share.

    storage is what keeping a piece costs for a month, as a share of its value; change is the
    chance in a month that the design changes and tools and stock are scrap; salvage is what a
    piece that is left at the end still brings, as a share of its value.
    """

    horizon: Horizon
    discount: Discount
    ordered: datetime.date
    lot: int
    storage: Fraction
    change: float
    salvage: Fraction

    @property
    def at_end(self) -> float:
        return self.discount.factor(self.horizon.ends)


@dataclass(frozen=True, slots=True, kw_only=True)
class Timing:
    """The days of an order that arrives for one month, and how its money is paid.

    tools_ordered is the day on which its tools are ordered where they have to be made first,
    None where it is too late for that. rise is the price of that day as a multiple of the
    quoted one.
    """

    arrival: Arrival
    arrives: datetime.date
    events: Events
    invoice: tuple[Due, ...]
    rise: Fraction
    tools: Arrival | None

    @property
    def delivered(self) -> datetime.date:
        return self.events[PaidWhen.DELIVERY]

    @property
    def tax_back(self) -> datetime.date:
        return self.delivered + TAX_BACK_AFTER


@dataclass(frozen=True, slots=True, kw_only=True)
class Borne:
    """What a part bears of a tool that serves other parts as well (R5).

    share is of all that is paid for the tool; made_for has the days of the first order of the
    part that has it made, None for that part itself. of_parts are all that use it, the one that
    has it made first. unproven is how much less the plans of all together might cost, None where
    that is not known.
    """

    tool: str
    share: Fraction
    made_for: Timing | None = None
    of_parts: tuple[str, ...] = ()
    unproven: Fraction | None = None

    @property
    def ready(self) -> datetime.date | None:
        """The day from which pieces can be ordered with the tool that another part has paid."""
        if self.made_for is None or self.made_for.tools is None:
            return None
        made = [stage.ends for stage in self.made_for.tools.stages if stage.is_tool]
        return max(made, default=self.made_for.tools.ordered)


@dataclass(frozen=True, kw_only=True)
class Supply:
    """An offer as a source of plans.

    longer is the same over more months from the same first day, where it is known already. borne
    is for those of its tools that are paid for together with other parts.
    """

    offer: Offer
    setting: Setting
    longer: Supply | None = None
    borne: tuple[Borne, ...] = ()

    def over(self, setting: Setting) -> Supply:
        """The same over fewer months."""
        return Supply(offer=self.offer, setting=setting, longer=self, borne=self.borne)

    def bears(self, tool: str) -> Borne | None:
        """None for a tool that this part pays for alone."""
        return next((each for each in self.borne if each.tool == tool), None)

    @cached_property
    def columns(self) -> Mapping[str, Schedule]:
        """The money of one order by the day and the manner in which it is paid."""
        lines = self.offer.bill.in_scope(Scope.ORDER)
        yearly = self.offer.bill.yearly_minimum
        columns: dict[str, Schedule] = {
            "invoice": _sum(line for line in lines if line.kind in PAID_TO_SUPPLIER),
            "customs": _sum(line for line in lines if line.kind in CUSTOMS),
            "other": _sum(line for line in lines if line.kind not in PAID_TO_SUPPLIER | CUSTOMS),
            "tax": returning_tax(self.offer),
        }
        return columns | ({"counted": yearly.base} if yearly is not None else {})

    @cached_property
    def segments(self) -> tuple[Segment, ...]:
        """Those beside each other that have as many orders and the same steps are of even rise."""
        horizon, yearly = self.setting.horizon, self.offer.case.item.minimum_a_year or 0
        agreed = -(-yearly * horizon.months // 12)
        found = segments_of(self.offer.bill, self.columns, horizon.need, agreed)
        return tuple(sorted(found, key=lambda each: (*each.steps, each.pieces)))

    @cached_property
    def _evenly(self) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """For each segment the first of those that rise evenly with it, and its place among them.

        Their costs are rounded together, so that they rise evenly in whole units as well.
        """
        rises = [a.rise_to(b) for a, b in itertools.pairwise(self.segments)]
        firsts = [0] * len(self.segments)
        for place in range(1, len(firsts)):
            first, rise = firsts[place - 1], rises[place - 1]
            fits = rise is not None and rise == rises[first]
            firsts[place] = first if fits else place
        base = np.array(firsts, dtype=np.int64)
        return base, np.arange(len(base)) - base

    @cached_property
    def value_each(self) -> Fraction:
        """What a good part on our shelf is worth: its landed cost in a lot (R13)."""
        return running_each(self.offer, self.setting.lot)

    @cached_property
    def timings(self) -> Mapping[int, Timing]:
        """By the month for which an order arrives; months that it cannot reach are absent."""
        months = range(self.setting.horizon.months)
        if self.longer is not None:
            known = self.longer.timings
            return {month: known[month] for month in months if month in known}
        found = {month: self._timing(self.setting.horizon.starts[month]) for month in months}
        return {month: timing for month, timing in found.items() if timing is not None}

    def _timing(self, needed: datetime.date) -> Timing | None:
        ours, again = WorkCalendar((self.offer.case.workshop.record.country,)), self._again
        ready = [each.ready for each in self.borne if each.ready is not None]
        earliest = max([self.setting.ordered, *ready])
        ordered = latest_order(again, ours, needed)
        if ordered is None or ordered < earliest:
            return None
        arrival = arrival_along(again, ordered)
        tools: Arrival | None = arrival
        if self.tools_to_make:
            begun = latest_order(self._first, ours, needed)
            in_time = begun is not None and begun >= earliest
            tools = arrival_along(self._first, begun) if begun and in_time else None
        events = events_of(arrival, arrival.reached)
        return Timing(
            arrival=arrival,
            arrives=arrival.reached,
            events=events,
            invoice=dues_of(self.offer.case.quote.payment, events),
            rise=price_rise(self.offer, ordered),
            tools=tools,
        )

    @cached_property
    def _first(self) -> tuple[Stretch, ...]:
        return stretches_of(self.offer.case, self.made)

    @cached_property
    def _again(self) -> tuple[Stretch, ...]:
        return stretches_of(self.offer.case, with_tools=False)

    @property
    def tools_to_make(self) -> tuple[Tool, ...]:
        owned = {*self.offer.case.workshop.record.tools_owned, *self.made}
        return tuple(tool for tool in self.offer.case.item.tools if tool.tool not in owned)

    @property
    def made(self) -> tuple[str, ...]:
        """The tools that are made for another part, and there before anything is ordered."""
        return tuple(each.tool for each in self.borne if each.made_for is not None)

    @cached_property
    def once_amounts(self) -> dict[int, Fraction]:
        """What once.py knows of the lines that are paid once, by the identity of each."""
        return {}

    @cached_property
    def once(self) -> dict[frozenset[str], Mapping[str, tuple[int, ...]]]:
        """What once.once_costs has found already, by the tools that others use as well."""
        return {}

    @cached_property
    def arriving(self) -> Mapping[int, Arriving]:
        """The orders that can arrive, by month; none where no order is allowed at all (R2)."""
        if not self.segments or not self.timings:
            return {}
        cover, left, found = self._horizon.cover, self._tables.left.tolist(), {}
        for place, (month, timing) in enumerate(self.timings.items()):
            tools = timing.tools.ordered if timing.tools is not None else timing.arrival.ordered
            found[month] = Arriving(
                runs=_rising(Rows(self._tables, place, self._counted)),
                waits=self._waits[place],
                left=left[place],
                covers=cover(timing.arrival.ordered, timing.arrives),
                covers_first=cover(tools, timing.arrives),
            )
        return found

    @property
    def _horizon(self) -> Horizon:
        """The one of longer where it is the same: that knows its covers already."""
        known = self.longer.setting.horizon if self.longer is not None else None
        return known if known == self.setting.horizon else self.setting.horizon

    @cached_property
    def _waits(self) -> tuple[int, ...]:
        """What each good part costs for each month until it is used, by the months of timings."""
        setting, value = self.setting, float(self.value_each)
        share = float(setting.storage) + setting.change
        return tuple(
            round(value * setting.discount.factor(timing.delivered) * share * UNITS)
            for timing in self.timings.values()
        )

    @cached_property
    def _money(self) -> Mapping[str, NDArray[np.float64]]:
        """By column: the amounts of the first orders of all segments, their steps, their rises."""
        pairs = list(itertools.pairwise([*self.segments, *self.segments[-1:]]))
        return {
            name: np.array(
                [each.whole[name][0] / each.unit for each in self.segments]
                + [each.whole[name][1] / each.unit for each in self.segments]
                + [(b.whole[name][0] - a.whole[name][0]) / a.unit for a, b in pairs]
            )
            for name in self.columns
        }

    @cached_property
    def _counted(self) -> tuple[tuple[int, int], ...]:
        if "counted" not in self.columns:
            return ((0, 0),) * len(self.segments)
        counted = [(Fraction(UNITS, each.unit), *each.whole["counted"]) for each in self.segments]
        return tuple((round(first * unit), round(step * unit)) for unit, first, step in counted)

    @cached_property
    def _shape(self) -> Shape:
        """What the runs of all months have in common; their costs are 0 here."""
        rows = [
            (each.count, each.pieces, each.pieces_step, each.good, each.good_step, 0, 0)
            for each in self.segments
        ]
        return Shape(table=np.array(rows, dtype=np.int64))

    @cached_property
    def _tables(self) -> Tables:
        """The orders of all months of timings."""
        present = [self.present(timing) for timing in self.timings.values()]
        costs: Any = sum(
            self._money[name] * np.array([each[name] for each in present])[:, None] * UNITS
            for name in present[0]
        )
        firsts, step, rise = (
            np.rint(costs).astype(np.int64).reshape(len(present), 3, -1).swapaxes(0, 1)
        )
        base, place = self._evenly
        cost = firsts[:, base] + place * rise[:, base]
        months = self.setting.horizon.months
        left = [
            waits * (months - month) - salvage
            for month, waits, salvage in zip(
                self.timings, self._waits, self._salvage(cost, step), strict=True
            )
        ]
        return Tables(
            shape=self._shape, cost=cost, cost_step=step, left=np.array(left, dtype=np.int64)
        )

    def present(self, timing: Timing) -> Mapping[str, float]:
        """What one unit of each column of money is worth on the plan's first day."""
        discount = self.setting.discount
        arrived = discount.factor(timing.delivered)
        return {
            "invoice": float(timing.rise) * discount.of(timing.invoice),
            "customs": float(timing.rise) * arrived,
            "other": arrived,
            "tax": float(timing.rise) * (arrived - discount.factor(timing.tax_back)),
        }

    def _salvage(self, cost: NDArray[np.int64], step: NDArray[np.int64]) -> Sequence[int]:
        """What a piece left over brings: its share of what one more piece costs at the least."""
        if not self.setting.salvage:
            return [0] * len(cost)
        good, good_step = self._shape.table[:, 3], self._shape.table[:, 4]
        each = np.hstack(
            [
                step[:, good_step > 0] // good_step[good_step > 0],
                cost[:, good > 0] // good[good > 0],
            ]
        )
        worth = round(float(self.value_each) * self.setting.at_end * UNITS)
        least = each.min(axis=1, initial=worth).tolist()
        return [int(max(0, one) * self.setting.salvage) for one in least]


def _rising(runs: Rows) -> Sequence[Run]:
    """The runs, with the orders one by one of those in which a larger one costs less.

    So it is below a minimum value of the goods alone, where a discount or a credit for rejects
    grows while the lifted invoice stays (R3): no solver may slide along such a run.
    """
    if not any(run.count > 2 and run.falls(runs.left) for run in runs.doubtful):
        return runs
    return tuple(
        each
        for run in runs
        for each in (
            [run]
            if run.count < 3 or not run.falls(runs.left)
            else [single(run, step) for step in range(run.count)]
        )
    )


def _sum(lines: Iterable[CostLine]) -> Sum:
    return Sum(tuple(line.schedule for line in lines))


def returning_tax(offer: Offer) -> Sum:
    """Import tax of one order that is paid at the border and comes back (R7): cash, no cost.

    It is taken of the customs value, of which the duty is a share, and of the duty.
    """
    workshop = offer.case.workshop.record
    if not workshop.import_tax_comes_back:
        return Sum(())
    value = [
        part
        for line in offer.bill.in_scope(Scope.ORDER)
        if line.kind is Kind.CUSTOMS and isinstance(line.schedule, Scaled)
        for part in (line.schedule.whole, line.schedule)
    ]
    return Sum((Scaled(Sum(tuple(value)), workshop.import_tax),))


def price_rise(offer: Offer, ordered: datetime.date) -> Fraction:
    """The price on a later day as a multiple of the quoted one (R15).

    It is held until the day that was agreed, else until the quote's last; then it rises by the
    stated rate, compounded by day over 365. Where no rise is stated there is none.
    """
    hold = offer.case.item.price_hold
    until = (hold.until if hold is not None else None) or offer.last_day
    if hold is None or hold.then is None or until is None or ordered <= until:
        return Fraction(1)
    years = (ordered - until).days / 365
    return Fraction(round((1 + float(hold.then.share)) ** years * 10**6), 10**6)
