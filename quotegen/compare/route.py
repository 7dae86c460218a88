"""Routes: which offers, in which order, and what so many good parts cost by each."""

from __future__ import annotations

import datetime
import math
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotegen.compare.lots import Curve, Orders, amount_of, orders_for, yearly_lift
from quotegen.costing.bill import CostLine, Kind, Scope
from quotegen.costing.offer import Offer


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """One offer of a route and the orders placed with it."""

    offer: Offer
    orders: Orders


@dataclass(frozen=True, slots=True, kw_only=True)
class LineTotal:
    """One cost line with what it comes to: amount x count = total.

    count is in the unit of the line's `per`, added up over all orders of the leg.
    """

    offer: str
    line: CostLine
    count: Fraction
    total: Fraction

    @property
    def amount(self) -> Fraction:
        """For one of what `per` names, the average where steps make it vary."""
        return self.total / self.count if self.count else Fraction(0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """Offers in order: one alone, or a bridge that lasts until the main one delivers.

    bridge is the number of good parts that the first leg brings before the second takes
    over, 0 for a single offer; curve is the least cost for at least N good parts.
    """

    offers: tuple[Offer, ...]
    bridge: int
    curve: Curve
    lot: int

    @property
    def name(self) -> str:
        return " then ".join(offer.name for offer in self.offers)

    @property
    def main(self) -> Offer:
        return self.offers[-1]

    @property
    def first_parts(self) -> datetime.date | None:
        return self.offers[0].arrival.first_parts

    @property
    def has_tool(self) -> bool:
        return any(offer.has_tool for offer in self.offers)

    def available(self, good: int) -> bool:
        return bool(self.curve.available[good])


@dataclass(frozen=True, slots=True, kw_only=True)
class CostAt:
    """What at least `good` parts cost by one route; every figure is a sum of lines.

    committed is the money due before the main leg's first parts: what is paid once, and
    the bridge. later_each is what one good part more costs once the tool is paid for.
    """

    route: Route
    good: int
    legs: tuple[Leg, ...]
    lines: tuple[LineTotal, ...]

    @property
    def total(self) -> Fraction:
        return sum((line.total for line in self.lines), Fraction(0))

    @property
    def bought(self) -> int:
        return sum(leg.orders.good for leg in self.legs)

    @property
    def surplus(self) -> int:
        return self.bought - self.good

    @property
    def one_off(self) -> Fraction:
        return sum(
            (line.total for line in self.lines if line.line.scope is Scope.ONCE), Fraction(0)
        )

    @property
    def committed(self) -> Fraction:
        first = self.route.offers[0].name
        bridged = len(self.legs) > 1
        return sum(
            (
                line.total
                for line in self.lines
                if line.line.scope is Scope.ONCE or bridged and line.offer == first
            ),
            Fraction(0),
        )

    @property
    def each(self) -> Fraction:
        """The total spread over the good parts that are wanted."""
        return self.total / self.good if self.good else Fraction(0)

    @property
    def later_each(self) -> Fraction:
        return running_each(self.route.main, self.route.lot)

    def of_kind(self, kind: Kind) -> Fraction:
        return sum((line.total for line in self.lines if line.line.kind is kind), Fraction(0))


def running_each(offer: Offer, lot: int) -> Fraction:
    """Landed cost of one good part in a whole lot, without what is paid once or by the year."""
    orders = orders_for(offer.bill, lot, lot)
    if orders is None or not orders.good:
        return Fraction(0)
    lines = offer.bill.in_scope(Scope.ORDER)
    total = sum((amount_of(line, offer.bill, orders) for line in lines), Fraction(0))
    return total / orders.good


def single(offer: Offer, curve: Curve, lot: int) -> Route:
    return Route(offers=(offer,), bridge=0, curve=curve, lot=lot)


def bridged(first: Route, main: Route, bridge: int) -> Route:
    """The first route's parts until `bridge` of them are used up, then the main route's."""
    bought = int(first.curve.chosen[bridge])
    reach = main.curve.reach
    early, late = min(bought, reach), max(0, reach - bought)
    paid = first.curve.costs[bridge]
    costs = np.concatenate(
        [
            np.minimum(first.curve.costs[: early + 1], paid),
            paid + main.curve.costs[1 : late + 1],
        ]
    )
    available = np.concatenate(
        [first.curve.available[: early + 1], main.curve.available[1 : late + 1]]
    )
    chosen = np.concatenate(
        [np.minimum(first.curve.chosen[: early + 1], bought), bought + main.curve.chosen[1 : late + 1]]
    )
    available[bridge + 1 :] &= bool(first.curve.available[bridge])
    curve = Curve(unit=main.curve.unit, costs=costs, available=available, chosen=chosen)
    return Route(
        offers=(*first.offers, *main.offers), bridge=bought, curve=curve, lot=main.lot
    )


def cost_at(route: Route, good: int) -> CostAt:
    """The orders and cost lines behind one point of the route's curve."""
    amount = int(route.curve.chosen[good])
    legs = []
    for number, offer in enumerate(route.offers):
        last = number == len(route.offers) - 1
        share = amount if last else min(amount, route.bridge)
        amount -= share
        orders = orders_for(offer.bill, route.lot, share)
        if orders is not None and orders.pieces:
            legs.append(Leg(offer=offer, orders=orders))
    lines = tuple(total for leg in legs for total in _totals(leg))
    return CostAt(route=route, good=good, legs=tuple(legs), lines=lines)


def _totals(leg: Leg) -> list[LineTotal]:
    bill = leg.offer.bill
    found = [
        LineTotal(
            offer=leg.offer.name,
            line=line,
            count=_count(line, leg),
            total=amount_of(line, bill, leg.orders),
        )
        for line in bill.lines
    ]
    lift = yearly_lift(bill, leg.orders)
    if lift and bill.yearly_minimum is not None:
        found.append(_lifted(leg, lift))
    return found


def _lifted(leg: Leg, lift: Fraction) -> LineTotal:
    yearly = leg.offer.bill.yearly_minimum
    first = leg.offer.bill.lines[0]
    line = CostLine(
        kind=Kind.MINIMUM,
        what="lift to the minimum value of the years",
        per="year",
        rule="R3",
        place=yearly.place if yearly is not None else first.place,
        schedule=first.schedule,
        scope=Scope.YEAR,
        written="minimum value a year",
    )
    return LineTotal(offer=leg.offer.name, line=line, count=leg.offer.bill.years, total=lift)


def _count(line: CostLine, leg: Leg) -> Fraction:
    orders = leg.orders
    if line.scope is Scope.YEAR:
        return leg.offer.bill.years
    if line.scope is Scope.ONCE:
        return Fraction(1)
    counted = sum(int(line.counts.of(size)) for size in orders.sizes)
    return counted * line.scale


def beyond_each(route: Route) -> Fraction:
    """The cost of one good part more in the long run, lots and tool lives smoothed out.

    What happens beyond the largest quantity shown is said by comparing these.
    """
    bill = route.main.bill
    each = running_each(route.main, route.lot)
    worn = sum((line.schedule.slope_at(10**9) for line in bill.in_scope(Scope.ONCE)), Fraction(0))
    return each + worn / (1 - bill.rejects)


def pieces_for_days(a_year: int, days: int) -> int:
    """Good parts used in so many days at a yearly demand, rounded up."""
    return math.ceil(Fraction(a_year * max(0, days), 365))


PAID_TO_SUPPLIER = frozenset(
    {Kind.GOODS, Kind.CHARGE, Kind.SURCHARGE, Kind.MINIMUM, Kind.REJECTS, Kind.TOOL}
)


def exposure_of(cost: CostAt) -> dict[str, Fraction]:
    """What is paid in each currency, in the workshop's own: suppliers in theirs (R10)."""
    found: dict[str, Fraction] = {}
    paid = {leg.offer.name: leg.offer.case for leg in cost.legs}
    for line in cost.lines:
        case = paid[line.offer]
        currency = case.workshop.record.currency
        if line.line.kind in PAID_TO_SUPPLIER:
            currency = case.quote.pay_in or case.quote.currency
        found[currency] = found.get(currency, Fraction(0)) + line.total
    return dict(sorted(found.items()))
