"""What minimums, multiples, breaks and minimum values do to an order (R2, R3)."""

from __future__ import annotations

import bisect
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise

from quotegen.compare.lots import Orders, amount_of, one_lot, orders_of
from quotegen.compare.route import Route
from quotegen.costing.bill import Allowed, Kind, Scope
from quotegen.costing.offer import Offer
from quotegen.costing.schedule import Lift

FURTHEST = 1000  # how many times an order a larger one for the same invoice is looked for


class Cause(StrEnum):
    """Why more is bought, or paid, than what is wanted."""

    MINIMUM = "minimum"
    MULTIPLE = "multiple"
    BREAK = "break"
    VALUE = "minimum value"


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """One order for so many good parts, and what it brings or costs beyond them.

    surplus is in good parts; money is what they cost, landed and without tooling, or, for a
    minimum value, what the invoice is lifted by. same_invoice is the largest order that
    costs no more, where a minimum value rules.
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
}


def _cause(offer: Offer, wanted: int, least: Orders, orders: Orders) -> tuple[Cause, int]:
    allowed = offer.bill.allowed
    if orders.good > least.good:
        return Cause.BREAK, orders.pieces
    without = -(-wanted // (1 - offer.bill.rejects))
    if allowed.least > without:
        return Cause.MINIMUM, allowed.least
    return Cause.MULTIPLE, allowed.multiple


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
