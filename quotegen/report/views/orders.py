"""What is ordered now, by when, and what a year comes to: the money behind a signature."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.days import ONE_DAY
from quotegen.basics.printed import listed
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import (
    PAID_TO_SUPPLIER,
    CostAt,
    Route,
    paid_first,
)
from quotegen.costing.bill import CostLine, Kind, Scope
from quotegen.costing.offer import Offer
from quotegen.judge.advice import Advice
from quotegen.judge.reasons import made_by
from quotegen.report.views.names import capital, settled_routes, tools_of

FOR_THE_TOOL = frozenset({Kind.TOOL, Kind.CUSTOMS})
A_YEAR = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """One thing to order now; paid goes to the supplier, beside is all else that it costs us."""

    what: str
    offer: Offer
    paid: Fraction
    beside: Fraction

    @property
    def amount(self) -> Fraction:
        return self.paid + self.beside


def first_orders(advice: Advice, cost: CostAt) -> tuple[tuple[Offer, int], ...]:
    """Each offer of a route with the pieces of its first order: as planned, else in whole lots.

    An offer from which the plan orders nothing for a long time is not agreed to now.
    """
    plan = advice.plans.get(cost.route.name)
    if plan is None:
        return tuple((leg.offer, leg.orders.sizes[0]) for leg in cost.legs)
    found: dict[str, tuple[Offer, int]] = {}
    for order in plan.orders:
        found.setdefault(order.offer.name, (order.offer, order.pieces))
    return tuple(each for each in found.values() if plan.is_soon(each[0]))


def orders_now(advice: Advice, cost: CostAt) -> tuple[Order, ...]:
    """For each offer its tool, where there is one to pay for, then its first order of pieces."""
    firsts = first_orders(advice, cost)
    return tuple(order for offer, first in firsts for order in _orders(offer, first))


def agreed_now(advice: Advice, cost: CostAt) -> Fraction:
    """What is spent or owed once the first orders are placed, whatever is needed later."""
    return sum((order.amount for order in orders_now(advice, cost)), Fraction(0))


def _orders(offer: Offer, first: int) -> Iterable[Order]:
    lines = offer.bill.lines
    tool = [each for each in lines if _is_for_tool(each) and offer.has_tool]
    rest = [each for each in lines if not (_is_for_tool(each) and offer.has_tool)]
    pieces = made_by(offer, first)
    if tool:
        names = listed(tools_of([offer]))
        yield _order(f"{capital(names)} with samples", offer, tool, 0)
        pieces = f"First {pieces}, after approval"
    yield _order(pieces, offer, rest, first)


def _is_for_tool(line: CostLine) -> bool:
    """Due before the first piece; a replacement is due with the pieces that need it."""
    return line.scope is Scope.ONCE and line.kind in FOR_THE_TOOL and paid_first(line) > 0


def _order(what: str, offer: Offer, lines: Iterable[CostLine], pieces: int) -> Order:
    paid = beside = Fraction(0)
    for line in lines:
        amount = _due(line, pieces)
        if line.kind in PAID_TO_SUPPLIER:
            paid += amount
        else:
            beside += amount
    return Order(what=what, offer=offer, paid=paid, beside=beside)


def _due(line: CostLine, pieces: int) -> Fraction:
    """With the first order: its own lines and what is paid once, nothing that is due by the year.

    A replacement is due where so many pieces wear out a tool; a balance at the end falls due later.
    """
    if line.scope is Scope.ONCE:
        return Fraction(0) if line.at_end else line.schedule.at(max(1, pieces))
    return line.schedule.at(pieces) if line.scope is Scope.ORDER else Fraction(0)


def owed_at_end(advice: Advice, cost: CostAt) -> Fraction:
    """What is due when orders stop: by the pieces of the plan, else of the whole lots (R5)."""
    plan = advice.plans.get(cost.route.name)
    if plan is None:
        return sum((each.total for each in cost.lines if each.line.at_end), Fraction(0))
    made = {
        offer.name: sum(order.pieces for order in plan.orders if order.offer is offer)
        for offer in plan.offers
    }
    due = (
        line.schedule.at(made[offer.name])
        for offer in plan.offers
        for line in offer.bill.lines
        if line.at_end
    )
    return sum(due, Fraction(0))


def later_orders(advice: Advice, cost: CostAt) -> tuple[tuple[Offer, tuple[int, ...]], ...]:
    """The sizes of the orders that are not agreed to now, by offer."""
    plan = advice.plans.get(cost.route.name)
    if plan is None:
        found = {leg.offer.name: (leg.offer, leg.orders.sizes) for leg in cost.legs}
    else:
        found = {
            offer.name: (offer, tuple(o.pieces for o in plan.orders if o.offer is offer))
            for offer in plan.offers
        }
    now = {offer.name for offer, _ in first_orders(advice, cost)}
    later = ((offer, sizes[1:] if name in now else sizes) for name, (offer, sizes) in found.items())
    return tuple((offer, sizes) for offer, sizes in later if sizes)


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstYear:
    """Good parts used in the first twelve months, and what is paid until they are over."""

    good: int
    amount: Fraction
    agreed: Fraction


def first_year(advice: Advice, cost: CostAt) -> FirstYear | None:
    """By the plan; None where there is none, or where it is of a year or less."""
    plan = advice.plans.get(cost.route.name)
    if plan is None or len(plan.months) <= A_YEAR:
        return None
    return FirstYear(
        good=sum(month.used for month in plan.months[:A_YEAR]),
        amount=plan.paid_by(plan.months[A_YEAR].starts - ONE_DAY),
        agreed=agreed_now(advice, cost),
    )


def planned_order(comparison: Comparison) -> datetime.date | None:
    """The day from which all dates count; None where there is no offer."""
    return min((offer.arrival.ordered for offer in comparison.offers), default=None)


def last_day_of(routes: Iterable[Route]) -> datetime.date | None:
    """The day on which the first of the routes' quotes can be signed for the last time."""
    days = [offer.last_day for route in routes for offer in route.offers if offer.last_day]
    return min(days, default=None)


def decide_by(comparison: Comparison, advice: Advice) -> datetime.date | None:
    """The last day that keeps every price and every date; None where nothing can be signed.

    An order that is planned for today is no reason to hurry, so that only prices count then.
    """
    routes = settled_routes(advice)
    if not routes:
        return None
    last, planned = last_day_of(routes), planned_order(comparison)
    days = [last, planned if planned is not None and planned > comparison.today else None]
    return min((each for each in days if each is not None), default=None)
