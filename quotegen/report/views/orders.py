"""What is ordered now, by when, and what a year comes to: the money behind a signature."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.printed import listed
from quotegen.compare.comparison import Comparison
from quotegen.compare.route import (
    PAID_TO_SUPPLIER,
    CostAt,
    Leg,
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


def orders_now(cost: CostAt) -> tuple[Order, ...]:
    """For each leg its tool, where there is one to pay for, then its first order of pieces."""
    return tuple(order for leg in cost.legs for order in _orders(leg, cost))


def agreed_now(cost: CostAt) -> Fraction:
    """What is spent or owed once the first orders are placed, whatever is needed later."""
    return sum((order.amount for order in orders_now(cost)), Fraction(0))


def _orders(leg: Leg, cost: CostAt) -> Iterable[Order]:
    offer, first = leg.offer, leg.orders.sizes[0]
    lines = [each.line for each in cost.lines if each.offer == offer.name]
    tool = [each for each in lines if _is_for_tool(each) and offer.has_tool]
    rest = [each for each in lines if not (_is_for_tool(each) and offer.has_tool)]
    pieces = made_by(offer, first)
    if tool:
        names = listed(tools_of([offer]))
        yield _order(f"{capital(names)} with samples", offer, tool, 0)
        pieces = f"First {pieces}, after approval"
    yield _order(pieces, offer, rest, first)


def _is_for_tool(line: CostLine) -> bool:
    return line.scope is Scope.ONCE and line.kind in FOR_THE_TOOL


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

    A replacement and a balance at the end fall due later.
    """
    if line.scope is Scope.ONCE:
        return paid_first(line)
    return line.schedule.at(pieces) if line.scope is Scope.ORDER else Fraction(0)


def later_orders(cost: CostAt) -> tuple[tuple[Offer, tuple[int, ...]], ...]:
    """The sizes of the orders after the first, by offer."""
    found = ((leg.offer, leg.orders.sizes[1:]) for leg in cost.legs)
    return tuple((offer, sizes) for offer, sizes in found if sizes)


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstYear:
    """Good parts to buy in the first twelve months, and what the plan spends for them.

    amount is what is agreed now, the later orders of the plan that the year needs, and a
    year's share of what is paid by the year.
    """

    good: int
    amount: Fraction
    agreed: Fraction


def first_year(comparison: Comparison, cost: CostAt) -> FirstYear | None:
    """At the likely demand; None for a plan of a year or less."""
    if comparison.needs.months <= A_YEAR:
        return None
    part = comparison.part.record
    good = part.pieces_over(A_YEAR, part.demand.likely)
    sizes = _orders_in_a_year(cost, good)
    years = Fraction(comparison.needs.months, A_YEAR)
    amount = sum((_in_a_year(leg, sizes[leg.offer.name], years) for leg in cost.legs), Fraction(0))
    return FirstYear(good=good, amount=amount, agreed=agreed_now(cost))


def _orders_in_a_year(cost: CostAt, good: int) -> dict[str, list[int]]:
    """The first order of each leg, then the later ones in turn until the year's need is met."""
    found = {leg.offer.name: [leg.orders.sizes[0]] for leg in cost.legs}
    covered = sum(leg.offer.bill.good(leg.orders.sizes[0]) for leg in cost.legs)
    for offer, sizes in later_orders(cost):
        for size in sizes:
            if covered < good:
                found[offer.name].append(size)
                covered += offer.bill.good(size)
    return found


def _in_a_year(leg: Leg, sizes: Sequence[int], years: Fraction) -> Fraction:
    """What these orders of one leg cost: a worn tool's replacement counts, a balance does not."""
    bill = leg.offer.bill
    orders = [each.schedule.at(x) for each in bill.in_scope(Scope.ORDER) for x in sizes]
    once = [x.schedule.at(sum(sizes)) for x in bill.in_scope(Scope.ONCE) if not x.at_end]
    yearly = [each.schedule.at(1) for each in bill.in_scope(Scope.YEAR)]
    lift = Fraction(0)
    if bill.yearly_minimum is not None:
        reached = sum((bill.yearly_minimum.base.at(size) for size in sizes), Fraction(0))
        lift = max(lift, bill.yearly_minimum.value / years - reached)
    return sum((*orders, *once, *yearly), Fraction(0)) + lift


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
