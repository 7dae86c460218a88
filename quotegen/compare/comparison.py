"""All offers for one part on one footing: curves, routes, cheapest by quantity, break-even."""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from quotegen.compare.break_even import BreakEven, break_even_of, parity_of
from quotegen.compare.effects import Effect, effects_of, larger_lot_of
from quotegen.compare.envelope import Envelope, envelope_of
from quotegen.compare.lots import common_unit, curve_of
from quotegen.compare.route import CostAt, Route, bridged, cost_at, single
from quotegen.costing.offer import Offer
from quotegen.costing.rates import RateTable
from quotegen.model.entry import Entry
from quotegen.model.fields import Absence
from quotegen.model.part import Demand, Part
from quotegen.model.workshop import Workshop

SHORTEST_REACH = 100
LONGEST_REACH = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Needs:
    """Good parts to buy over the planning months, what is on hand taken off; lot in good parts."""

    low: int
    likely: int
    high: int
    lot: int
    months: int
    demand: Demand
    on_hand: int = 0

    def months_until(self, good: int | Fraction) -> int:
        """Months at the likely demand until so many more than on hand are used."""
        return max(1, round(self.demand.months_for(good + self.on_hand)))

    def used_in(self, days: int) -> int:
        """Good parts that the high demand takes in so many days, rounded up (R19)."""
        months = Fraction(12 * max(0, days), 365)
        return math.ceil(self.demand.likely_over(months) * self.demand.high / self.demand.likely)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The result of comparing one part's offers; nothing in it is rounded.

    singles holds a route for each priced offer, whether it can be signed or not. routes
    holds those that can be signed and arrive in time, bridges among them, in the order in
    which a tie is settled (R16). costs has the cost of the likely need by route name.
    """

    workshop: Entry[Workshop]
    part: Entry[Part]
    today: datetime.date
    rates: RateTable
    needs: Needs
    offers: tuple[Offer, ...]
    singles: Mapping[str, Route]
    routes: tuple[Route, ...]
    late: tuple[Route, ...]
    costs: Mapping[str, CostAt]
    envelope: Envelope
    break_evens: tuple[BreakEven, ...]
    effects: tuple[Effect, ...]


def needs_of(workshop: Workshop, part: Part) -> Needs:
    """The lot is the part's own, else one year's likely demand."""
    months = workshop.planning_months
    return Needs(
        low=part.pieces_over(months, part.demand.low),
        likely=part.pieces_over(months, part.demand.likely),
        high=part.pieces_over(months, part.demand.high),
        lot=part.lot or part.demand.likely,
        months=months,
        demand=part.demand,
        on_hand=part.on_hand,
    )


def compare(
    workshop: Entry[Workshop],
    part: Entry[Part],
    offers: Sequence[Offer],
    rates: RateTable,
    today: datetime.date,
) -> Comparison:
    """Compare the offers of one part, undiscounted (R14)."""
    needs = needs_of(workshop.record, part.record)
    priced = [offer for offer in offers if offer.priced]
    singles = _singles(priced, needs)
    in_time, late = _by_arrival(part.record, needs, singles.values())
    bridges = _bridges(part.record, needs, in_time, late)
    waiting, late = _with_a_price(part.record, late)
    routes = _in_tie_order([*in_time, *waiting, *bridges], needs)
    costs = {
        route.name: cost_at(route, needs.likely)
        for route in (*singles.values(), *routes)
        if route.available(needs.likely)
    }
    return Comparison(
        workshop=workshop,
        part=part,
        today=today,
        rates=rates,
        needs=needs,
        offers=tuple(offers),
        singles=singles,
        routes=routes,
        late=late,
        costs=costs,
        envelope=envelope_of(routes),
        break_evens=_break_evens(routes, needs),
        effects=_effects(singles.values(), needs),
    )


def with_bridges(comparison: Comparison, bridges: Mapping[str, int]) -> Comparison:
    """The same comparison with the good parts of bridges as a plan has them, by route name.

    A plan knows the months in which orders arrive, and so how long a bridge has to last; and it
    may begin with another offer where no bridge would be needed, or get along without one where
    the high demand would need it (R19). Such a route is added; that of a single offer has 0.
    """
    needs = comparison.needs
    known = {route.name: route for route in comparison.routes}
    for name, pieces in bridges.items():
        legs = known[name].legs if name in known else _legs_of(comparison, name)
        if legs and pieces <= legs[0].curve.reach and legs[0].available(pieces):
            known[name] = bridged(legs[0], legs[1], pieces)
        elif name in comparison.singles:
            known[name] = comparison.singles[name]
    routes = _in_tie_order(tuple(known.values()), needs)
    costs = {
        name: cost_at(route, needs.likely)
        for name, route in known.items()
        if name in bridges and route.available(needs.likely)
    }
    return replace(
        comparison,
        routes=routes,
        late=tuple(route for route in comparison.late if route.name not in known),
        costs={**comparison.costs, **costs},
        envelope=envelope_of(routes),
        break_evens=_break_evens(routes, needs),
    )


def _legs_of(comparison: Comparison, name: str) -> tuple[Route, ...]:
    """The two routes of single offers that a name joins; none where it joins others."""
    singles = comparison.singles
    found = [
        (singles[first], singles[main])
        for first in singles
        for main in singles
        if name == f"{first} then {main}"
    ]
    return found[0] if found else ()


def _singles(priced: Sequence[Offer], needs: Needs) -> dict[str, Route]:
    unit = common_unit(offer.bill for offer in priced)
    reach = _reach(priced, needs)
    return {
        offer.name: single(offer, curve_of(offer.bill, needs.lot, reach, unit), needs.lot)
        for offer in priced
    }


def _reach(priced: Sequence[Offer], needs: Needs) -> int:
    """How far the quantities are looked at: well past the high demand and every parity."""
    parities = [
        parity_of(tooled.bill, plain.bill, needs.lot) or Fraction(0)
        for tooled in priced
        if tooled.has_tool
        for plain in priced
        if not plain.has_tool
    ]
    furthest = max([Fraction(0), *parities])
    wanted = max(SHORTEST_REACH, 2 * needs.high, 2 * needs.lot, math.ceil(2 * furthest))
    return max(min(LONGEST_REACH, wanted), needs.low, needs.likely, needs.high, needs.lot)


def _by_arrival(
    part: Part, needs: Needs, singles: Iterable[Route]
) -> tuple[list[Route], tuple[Route, ...]]:
    """Routes that can be signed, those in time and those too late."""
    in_time: list[Route] = []
    late: list[Route] = []
    for route in singles:
        if route.main.holds:
            (late if arrives_late(part, needs, route.main) else in_time).append(route)
    return in_time, tuple(late)


def _with_a_price(part: Part, late: Sequence[Route]) -> tuple[tuple[Route, ...], tuple[Route, ...]]:
    """Late routes that may be taken, since a late piece has its price, and those that may not."""
    if part.late_costs is None:
        return (), tuple(late)
    known = tuple(route for route in late if route.first_parts is not None)
    return known, tuple(route for route in late if route.first_parts is None)


def arrives_late(part: Part, needs: Needs, offer: Offer) -> bool:
    """Whether the first parts come after what is on hand is used up, or on a day nobody knows."""
    if part.needed_by is None:
        return False
    return offer.arrival.first_parts is None or bridge_pieces(part, needs, offer) > 0


def _bridges(
    part: Part, needs: Needs, in_time: Sequence[Route], late: Sequence[Route]
) -> list[Route]:
    """For each route that comes too late, each route in time that could cover until then."""
    found = []
    for main in late:
        lasting = bridge_pieces(part, needs, main.main)
        for first in in_time:
            pieces = _if_fewer_arrive(lasting, first.main)
            if pieces and pieces <= first.curve.reach and first.available(pieces):
                found.append(bridged(first, main, pieces))
    return found


def _if_fewer_arrive(pieces: int, offer: Offer) -> int:
    """So many that the bridge still lasts when the supplier delivers the least allowed (R9)."""
    tolerance = offer.case.item.quantity_tolerance
    if isinstance(tolerance, Absence) or tolerance >= 1:
        return pieces
    return math.ceil(pieces / (1 - tolerance))


def bridge_pieces(part: Part, needs: Needs, main: Offer) -> int:
    """Good parts that last from the day they are needed until the main route delivers.

    Reckoned at the high demand, with the rework of samples that the arrival counts (R19). A day
    that has gone by counts from the day of the order, as in a plan.
    """
    first = main.arrival.first_parts
    if first is None or part.needed_by is None:
        return 0
    needed = max(part.needed_by, main.arrival.ordered)
    return max(0, needs.used_in((first - needed).days) - part.on_hand)


def _in_tie_order(routes: Sequence[Route], needs: Needs) -> tuple[Route, ...]:
    """By least money committed up front, then earliest parts, then name (R16)."""

    def key(route: Route) -> tuple[Fraction, datetime.date, str]:
        committed = cost_at(route, needs.likely).committed
        return committed, route.first_parts or datetime.date.max, route.name

    return tuple(sorted(routes, key=key))


def _break_evens(routes: Sequence[Route], needs: Needs) -> tuple[BreakEven, ...]:
    """Each route with a tool against the cheapest route without one, at the likely need."""
    plain = [r for r in routes if not r.has_tool and r.available(needs.likely)]
    if not plain:
        return ()
    best = min(plain, key=lambda route: int(route.curve.costs[needs.likely]))
    return tuple(break_even_of(route, best) for route in routes if route.has_tool)


def _effects(singles: Iterable[Route], needs: Needs) -> tuple[Effect, ...]:
    wanted = min(needs.lot, needs.likely) if needs.likely else needs.lot
    found: list[Effect] = []
    for route in singles:
        found += effects_of(route, wanted)
        larger = larger_lot_of(route, needs.likely)
        found += [larger] if larger is not None else []
    return tuple(found)
