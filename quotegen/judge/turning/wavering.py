"""How far a plan's least cost may go the other way, for figures with which it mostly rises.

A plan for more demand, more rejects or a longer lead time is also one for less: its orders come
no later, and bring no fewer good parts. What it costs there at most besides is stated here as a
share of its cost: the parts that are left over wait on the shelf, days of payment move with the
calendar, and covers and the good parts of an order are rounded to whole ones.
"""

from __future__ import annotations

import bisect
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import accumulate

from quotegen.basics.quantity import Span
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import PAID_TO_SUPPLIER
from quotegen.costing.bill import Scope
from quotegen.costing.inspection import is_inspected, is_series
from quotegen.costing.offer import Offer
from quotegen.judge.turning.changes import demand_of, monthly
from quotegen.model.fields import Counted, MadeGood

DAYS = Fraction(30, 365)  # of a year, by which weekends and holidays move a payment at most
# Import tax that comes back after 30 days costs more with dearer money, for each unit of the
# yearly rate by no more than 30/365 of what it is taken of.
OF_TAX = Fraction(1, 10)
DAYS_OF = {
    "days": Fraction(1),
    "working days": Fraction(3, 2),
    "weeks": Fraction(7),
    "months": Fraction(31),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wavers:
    """between gives the share for two values; an order may add so much for roundings."""

    between: Callable[[Fraction, Fraction], Fraction]
    an_order: Fraction = Fraction(0)

    def share(self, first: Fraction, last: Fraction, orders: int) -> Fraction:
        """Of the cost of a plan with so many orders."""
        return self.between(first, last) + self.an_order * orders


def with_money() -> Wavers:
    return Wavers(between=lambda first, last: OF_TAX * (last - first))


def with_demand(comparison: Comparison) -> Wavers | None:
    """None where a bill follows the demand, or where what is left over may have no place."""
    part = comparison.part.record
    if part.lot is None or part.shelf_holds is not None:
        return None
    used = list(accumulate(part.demand.of_month(each) for each in range(comparison.needs.months)))
    waits = _a_month(comparison) * Fraction(sum(used), max(1, used[-1]))
    one = Fraction(part.demand.likely, max(1, comparison.needs.likely))  # of a demand of one
    return Wavers(
        between=lambda first, last: (last / first - 1) * waits + (1 + waits) * one / first
    )


def with_rejects(comparison: Comparison, offer: Offer) -> Wavers | None:
    """A credit is at most what the parts cost; an order may bring one good part more."""
    part = comparison.part.record
    if part.shelf_holds is not None or part.most_from_one_supplier is not None:
        return None
    more = _own_work(offer, part.lot or 1) + _a_month(comparison) * comparison.needs.months
    credit = offer.case.rejects.made_good is MadeGood.CREDITED
    return Wavers(
        between=lambda first, last: (last - first) / (1 - last) * (credit + more),
        an_order=more / max(1, comparison.needs.likely),
    )


def _own_work(offer: Offer, lot: int) -> Fraction:
    """The share of a lot's cost that is not paid to the supplier."""
    lines = [(line.kind, line.schedule.at(lot)) for line in offer.bill.in_scope(Scope.ORDER)]
    total = sum((cost for _, cost in lines), Fraction(0))
    ours = sum((cost for kind, cost in lines if kind not in PAID_TO_SUPPLIER), Fraction(0))
    return ours / total if total else Fraction(0)


def with_lead_time(comparison: Comparison, offer: Offer) -> Wavers:
    """An order goes out earlier where it takes longer, so that a stated rise of prices counts."""
    workshop, demand = comparison.workshop.record, comparison.part.record.demand
    hold = offer.case.item.price_hold
    rise = abs(hold.then.share) if hold is not None and hold.then is not None else Fraction(0)
    covers = (Fraction(demand.high, demand.likely) - 1) * DAYS * 12 / comparison.needs.months
    waits = _a_month(comparison) * comparison.needs.months
    still = workshop.cost_of_capital.share * DAYS + covers * waits
    still += (1 + waits) / max(1, comparison.needs.likely)
    days = _days(offer)
    return Wavers(between=lambda first, last: still + rise * ((last - first) * days / 365 + DAYS))


def _days(offer: Offer) -> Fraction:
    """Days of the calendar in one unit of a lead time, at most about."""
    stated, usual = offer.case.item.lead_time, offer.case.supplier.record.usual_lead_time
    span = stated if isinstance(stated, Span) else usual
    return DAYS_OF[span.unit] if span is not None else Fraction(0)


def _a_month(comparison: Comparison) -> Fraction:
    """What a part costs that waits for a month, as a share of its value (R13)."""
    workshop, part = comparison.workshop.record, comparison.part.record
    stands = part.design_stands.share if part.design_stands is not None else Fraction(1)
    return workshop.storage.share / 12 + monthly(stands)


def jumps_of(comparison: Comparison, low: int, high: int) -> tuple[int, ...]:
    """Demands a year from which another price of the year or plan of inspection holds."""
    found = {each for offer in comparison.offers for each in _jumps(offer, low, high)}
    return tuple(sorted(found))


def _jumps(offer: Offer, low: int, high: int) -> Iterator[int]:
    item = offer.case.item
    if item.breaks_count is Counted.YEAR and item.agreed_a_year is None:
        yield from (tier.from_ for tier in item.prices if low < tier.from_ <= high)
    if is_inspected(offer.case):
        demands = range(low, high + 1)
        place = bisect.bisect_left(demands, True, key=lambda likely: _is_series(offer, likely))
        yield from demands[max(1, place) : place + 1]


def _is_series(offer: Offer, likely: int) -> bool:
    part = offer.case.part
    changed = part.record.model_copy(update={"demand": demand_of(part.record.demand, likely)})
    return is_series(replace(offer.case, part=replace(part, record=changed)))
