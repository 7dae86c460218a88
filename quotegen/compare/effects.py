"""What minimums, multiples, breaks and minimum values do to an order (R2, R3)."""

from __future__ import annotations

import bisect
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise

from quotegen.compare.lots import (
    Orders,
    amount_of,
    curve_of,
    lot_of,
    one_lot,
    order_for,
    orders_of,
)
from quotegen.compare.route import Route
from quotegen.costing.bill import Allowed, Bill, Kind, Scope
from quotegen.costing.offer import Offer
from quotegen.costing.schedule import Lift

LARGEST_LOT = 100_000
MOST_LOTS = 20  # larger lots that are looked at, each through a curve of its own
FURTHEST = 1000  # how many times an order a larger one for the same invoice is looked for


class Cause(StrEnum):
    """Why more is bought, or paid, than what is wanted."""

    MINIMUM = "minimum"
    MULTIPLE = "multiple"
    BREAK = "break"
    VALUE = "minimum value"
    LARGER_LOT = "larger lot"


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """One order for so many good parts, and what it brings or costs beyond them.

    surplus is in good parts; money is what they cost, landed and without tooling, or, for a
    minimum value, what the invoice is lifted by. same_invoice is the largest order that
    costs no more, where a minimum value rules. For a larger lot, wanted counts all good parts
    of the plan, limit is the order that reaches a break, and money is what it saves.
    """

    offer: Offer
    cause: Cause
    limit: int
    wanted: int
    bought: int
    surplus: int
    money: Fraction
    place_key: str
    same_invoice: int | None = None


def effects_of(route: Route, wanted: int) -> tuple[Effect, ...]:
    """The effects on one order of `wanted` good parts by a single-offer route."""
    offer, bill = route.main, route.main.bill
    least = one_lot(bill, wanted) if wanted else None
    if least is None or not route.available(wanted):
        return ()
    return (*_on_pieces(route, wanted, least), *_on_value(offer, wanted, least.pieces))


def _on_pieces(route: Route, wanted: int, least: Orders) -> tuple[Effect, ...]:
    offer = route.main
    orders = _cheaper_order(route, wanted, least) or least
    surplus = orders.good - wanted
    if surplus < 1:
        return ()
    cause, limit = _cause(offer, wanted, least, orders)
    return (
        Effect(
            offer=offer,
            cause=cause,
            limit=limit,
            wanted=wanted,
            bought=orders.good,
            surplus=surplus,
            money=_landed_each(offer, orders) * surplus,
            place_key=_KEYS[cause],
        ),
    )


def _cheaper_order(route: Route, wanted: int, least: Orders) -> Orders | None:
    """One order that is larger and yet costs less; a yearly minimum is not an order's doing."""
    bill = route.main.bill
    if bill.allowed.at_least_in_all > least.pieces:
        return None
    orders = orders_of(bill, route.lot, int(route.curve.pieces[wanted]))
    return orders if orders is not None and len(orders.sizes) == 1 else None


_KEYS = {
    Cause.MINIMUM: "minimum",
    Cause.MULTIPLE: "multiple",
    Cause.BREAK: "prices",
    Cause.VALUE: "minimum value",
    Cause.LARGER_LOT: "prices",
}


def _cause(offer: Offer, wanted: int, least: Orders, orders: Orders) -> tuple[Cause, int]:
    allowed = offer.bill.allowed
    if orders.good > least.good:
        return Cause.BREAK, orders.pieces
    without = -(-wanted // (1 - offer.bill.rejects))
    if allowed.least > without:
        return Cause.MINIMUM, allowed.least
    return Cause.MULTIPLE, allowed.multiple


def larger_lot_of(route: Route, wanted: int) -> Effect | None:
    """The larger lot that saves most on all parts of the plan by reaching a break, if any does.

    A lot is the buyer's own choice, so that it is kept; what it costs must be seen.
    """
    offer, bill = route.main, route.main.bill
    lot = lot_of(bill, route.lot)
    if lot is None or not wanted or not route.available(wanted):
        return None
    need = order_for(bill, wanted)
    savings = [_saving(route, wanted, each) for each in _larger_lots(offer, lot.pieces, need)]
    saving, least = max(savings, default=(Fraction(0), 0))
    if saving <= 0:
        return None
    order = -least
    return Effect(
        offer=offer,
        cause=Cause.LARGER_LOT,
        limit=order,
        wanted=wanted,
        bought=wanted,
        surplus=0,
        money=saving,
        place_key=_KEYS[Cause.LARGER_LOT],
    )


def _larger_lots(offer: Offer, pieces: int, need: int) -> list[int]:
    """The orders that reach a break; of very many, those whose good parts cost least.

    Of those that meet the whole need the largest alone: every smaller one is looked at with it.
    """
    bill = offer.bill
    most = min(bill.allowed.most or LARGEST_LOT, LARGEST_LOT)
    orders = {bill.allowed.rounded_up(start) for start in breaks_of(bill)}
    larger = [order for order in orders if pieces < order <= most and bill.good(order)]
    whole = max((order for order in larger if order >= need), default=None)
    several = [order for order in larger if order < need]

    def each(order: int) -> Fraction:
        return _landed_each(offer, Orders(lots=0, lot=0, remainder=order, good=bill.good(order)))

    if len(several) > MOST_LOTS:
        several = sorted(several, key=each)[:MOST_LOTS]
    return several if whole is None else [*several, whole]


def _saving(route: Route, wanted: int, order: int) -> tuple[Fraction, int]:
    """What a lot saves on all parts, and minus the size of the order that does it."""
    bill = route.main.bill
    larger = curve_of(bill, bill.good(order), wanted, route.curve.unit)
    if not larger.available[wanted]:
        return Fraction(0), 0
    saving = route.curve.cost(wanted) - larger.cost(wanted)
    return saving, -min(order, int(larger.pieces[wanted]))


def breaks_of(bill: Bill) -> set[int]:
    """Where any price of an order changes, in pieces."""
    return {start for line in bill.in_scope(Scope.ORDER) for start in line.schedule.breaks}


def _landed_each(offer: Offer, orders: Orders) -> Fraction:
    lines = offer.bill.in_scope(Scope.ORDER)
    total = sum((amount_of(line, offer.bill, orders) for line in lines), Fraction(0))
    return total / orders.good


def _on_value(offer: Offer, wanted: int, pieces: int) -> tuple[Effect, ...]:
    lifts = [line.schedule for line in offer.bill.lines if line.kind is Kind.MINIMUM]
    return tuple(
        _value_effect(offer, wanted, pieces, lift)
        for lift in lifts
        if isinstance(lift, Lift) and lift.at(pieces) > 0
    )


def _value_effect(offer: Offer, wanted: int, pieces: int, lift: Lift) -> Effect:
    same = _same_invoice(offer.bill.allowed, lift, pieces)
    return Effect(
        offer=offer,
        cause=Cause.VALUE,
        limit=pieces,
        wanted=wanted,
        bought=offer.bill.good(pieces),
        surplus=0,
        money=lift.at(pieces),
        place_key=_KEYS[Cause.VALUE],
        same_invoice=same if same > pieces else None,
    )


def _same_invoice(allowed: Allowed, lift: Lift, pieces: int) -> int:
    """The largest order that is invoiced at no more than the least value (R3).

    Between two breaks an invoice only grows, so that each stretch is searched by halves.
    """
    most = allowed.most or pieces * FURTHEST
    edges = [pieces, *(each for each in lift.base.breaks if pieces < each <= most), most + 1]
    for first, after in reversed(list(pairwise(edges))):
        sizes = range(allowed.rounded_up(first), after, allowed.multiple)
        fitting = bisect.bisect_right(sizes, lift.least, key=lift.base.at)
        if fitting:
            return sizes[fitting - 1]
    return pieces
