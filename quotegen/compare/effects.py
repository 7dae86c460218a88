"""What minimums, multiples, breaks and minimum values do to an order, in pieces and money (R2, R3)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from quotegen.compare.lots import Orders, amount_of, lot_of, order_for, orders_for
from quotegen.compare.route import Route
from quotegen.costing.bill import CostLine, Kind, Scope
from quotegen.costing.offer import Offer


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
    if wanted < 1 or lot_of(bill, wanted) is None:
        return ()
    cheapest = int(route.curve.chosen[wanted]) if wanted <= route.curve.reach else wanted
    return (*_on_pieces(route, wanted, cheapest), *_on_value(offer, wanted))


def _on_pieces(route: Route, wanted: int, cheapest: int) -> tuple[Effect, ...]:
    offer, bill = route.main, route.main.bill
    least = orders_for(bill, wanted, wanted)
    chosen = orders_for(bill, route.lot, cheapest)
    if least is None or chosen is None:
        return ()
    orders = chosen if chosen.good > least.good and wanted <= route.lot else least
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


def _on_value(offer: Offer, wanted: int) -> tuple[Effect, ...]:
    lifts = [line for line in offer.bill.lines if line.kind is Kind.MINIMUM]
    pieces = order_for(offer.bill, wanted)
    found = []
    for line in lifts:
        lift = line.schedule.at(pieces)
        if lift > 0:
            found.append(_value_effect(offer, wanted, pieces, line, lift))
    return tuple(found)


def _value_effect(
    offer: Offer, wanted: int, pieces: int, line: CostLine, lift: Fraction
) -> Effect:
    same = pieces
    step = offer.bill.allowed.multiple
    while line.schedule.at(same + step) > 0 and same < pieces * 1000:
        same += step
    return Effect(
        offer=offer,
        cause=Cause.VALUE,
        limit=pieces,
        wanted=wanted,
        bought=offer.bill.good(pieces),
        surplus=0,
        money=lift,
        place_key=_KEYS[Cause.VALUE],
        same_invoice=same if same > pieces else None,
    )
