"""Routes: which offers, in which order, and what so many good parts cost by each."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from quotegen.compare.lots import Curve, Orders, amount_of, one_lot, orders_of, yearly_lift
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
    over, 0 for a single offer; curve is the least cost for at least N good parts. legs are
    the routes of the single offers that a bridge joins.
    """

    offers: tuple[Offer, ...]
    bridge: int
    curve: Curve
    lot: int
    legs: tuple[Route, ...] = ()

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
        bridge = self.route.offers[0].name if len(self.legs) > 1 else None
        paid = (
            line.total if line.offer == bridge else paid_first(line.line)
            for line in self.lines
            if line.offer == bridge or line.line.scope is Scope.ONCE
        )
        return sum(paid, Fraction(0))

    @property
    def each(self) -> Fraction:
        """The total spread over the good parts that are wanted."""
        return self.total / self.good if self.good else Fraction(0)

    @property
    def later_each(self) -> Fraction:
        return running_each(self.route.main, self.route.lot)


def paid_first(line: CostLine) -> Fraction:
    """What a line that is paid once costs before the first piece: no replacement, no balance."""
    return Fraction(0) if line.at_end else line.schedule.at(1)


def running_each(offer: Offer, lot: int) -> Fraction:
    """Landed cost of one good part in a whole lot, without what is paid once or by the year."""
    orders = one_lot(offer.bill, lot)
    if orders is None:
        return Fraction(0)
    lines = offer.bill.in_scope(Scope.ORDER)
    total = sum((amount_of(line, offer.bill, orders) for line in lines), Fraction(0))
    return total / orders.good


def single(offer: Offer, curve: Curve, lot: int) -> Route:
    return Route(offers=(offer,), bridge=0, curve=curve, lot=lot)


def bridged(first: Route, main: Route, bridge: int) -> Route:
    """The first route's parts until they are used up, then the main route's.

    first must be able to bring `bridge` good parts; what its orders bring beyond them counts.
    """
    early, late = first.curve, main.curve
    bought = sum(leg.orders.good for leg in _legs(first, bridge))
    end, more = min(bought, late.reach) + 1, max(0, late.reach - bought) + 1
    pieces = np.concatenate([early.pieces[:end], early.pieces[bridge] + late.pieces[1:more]])
    curve = Curve(
        unit=late.unit,
        costs=np.concatenate([early.costs[:end], early.costs[bridge] + late.costs[1:more]]),
        available=np.concatenate([early.available[:end], late.available[1:more]]),
        amounts=pieces,
        served=np.ones_like(pieces),
    )
    return Route(
        offers=(*first.offers, *main.offers),
        bridge=bought,
        curve=curve,
        lot=main.lot,
        legs=(first, main),
    )


def cost_at(route: Route, good: int) -> CostAt:
    """The orders and cost lines behind one point of the route's curve."""
    legs = tuple(_legs(route, good))
    lines = tuple(total for leg in legs for total in _totals(leg))
    return CostAt(route=route, good=good, legs=legs, lines=lines)


def _legs(route: Route, good: int) -> Iterator[Leg]:
    """The orders with each offer of the route; an offer from which nothing is bought has none."""
    if route.legs:
        first, main = route.legs
        early = min(good, route.bridge)
        yield from _legs(first, early)
        yield from _legs(main, good - early)
        return
    orders = orders_of(route.main.bill, route.lot, int(route.curve.pieces[good]))
    if orders is not None and orders.pieces:
        yield Leg(offer=route.main, orders=orders)


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
