"""Allowed orders as even stretches: every order once, each with the bill's exact money."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.compare.lots import order_for
from quotegen.costing.bill import Bill, Scope
from quotegen.costing.schedule import Sum
from quotegen.plan.segments import Segment, segments_of
from tests.folders import a_part, a_quote, an_item, forms, result_of

TIERS = {1: "10 EUR per 1", 50: "8.30 EUR per 1", 400: "7 EUR per 1"}


def _bill(part: Any = None, **item: Any) -> Bill:
    return result_of(forms(a_quote("oak-1", an_item(TIERS, **item)), part=part)).offer.bill


def _total(bill: Bill) -> Sum:
    return Sum(tuple(line.schedule for line in bill.in_scope(Scope.ORDER)))


def _orders(found: tuple[Segment, ...]) -> dict[int, tuple[int, Fraction]]:
    """Every order of the segments: its good parts and its money by its pieces."""
    orders: dict[int, tuple[int, Fraction]] = {}
    for each in found:
        first, step = each.money["all"]
        for number in range(each.count):
            pieces = each.pieces + number * each.pieces_step
            assert pieces not in orders
            orders[pieces] = each.good + number * each.good_step, first + number * step
    return orders


CASES: dict[str, dict[str, Any]] = {
    "plain": {},
    "minimum": {"minimum": "30"},
    "tree": {"multiple": "14", "rejects": {"share": "4 %"}},
    "rejects": {"rejects": {"share": "2 %"}},
    "minimum value": {"minimum_value": {"value": "700 EUR"}},
    "plates": {"charges": [{"what": "set-up", "amount": "18 EUR", "per": "batch", "batch": "12"}]},
    "incremental": {"breaks": "incremental", "rejects": {"share": "1 %"}},
    "capacity": {"capacity_a_month": "60"},
    "credit": {"rejects": {"share": "3 %", "made good": "credited"}},
    "awkward": {"rejects": {"share": "2.37 %"}, "multiple": "3"},
}


@pytest.mark.parametrize("name", CASES)
def test_every_allowed_order_stands_once_with_its_exact_money(name: str) -> None:
    bill = _bill(**CASES[name])
    total = _total(bill)
    orders = _orders(segments_of(bill, {"all": total}, 130))
    last = min(order_for(bill, 130), bill.allowed.most or 10**9)
    expected = {
        pieces
        for pieces in range(1, last + 1)
        if pieces == bill.allowed.rounded_up(pieces) and bill.good(pieces)
    }
    assert expected <= set(orders)
    for pieces, (good, amount) in orders.items():
        assert (good, amount) == (bill.good(pieces), total.at(pieces))


def test_the_first_order_of_a_far_tier_is_among_them() -> None:
    """A break beyond all that is needed may still be worth reaching."""
    assert 400 in _orders(segments_of(_bill(), {"all": _total(_bill())}, 130))


@given(st.integers(1, 40), st.integers(1, 9), st.integers(0, 30), st.integers(1, 200))
def test_stretches_agree_with_the_bill(multiple: int, minimum: int, reject: int, need: int) -> None:
    share = {"share": f"{reject} %"}
    bill = _bill(multiple=str(multiple), minimum=str(minimum), rejects=share)
    total = _total(bill)
    for pieces, (good, amount) in _orders(segments_of(bill, {"all": total}, need)).items():
        assert (good, amount) == (bill.good(pieces), total.at(pieces))


def test_stretches_are_few_where_prices_are_even() -> None:
    """The solver slides along a stretch, so that their number and not the orders' counts."""
    assert len(segments_of(_bill(), {"all": _total(_bill())}, 3000)) == 3
    found = segments_of(_bill(**CASES["rejects"]), {"all": _total(_bill())}, 3000)
    assert len(found) < 200


def test_a_part_with_pieces_by_delivery_is_stepped_at_each() -> None:
    part = a_part(pieces_a_delivery="25")
    charge = {"what": "pallet", "amount": "12 EUR", "per": "delivery"}
    bill = _bill(part, charges=[charge])
    total = _total(bill)
    for pieces, (_, amount) in _orders(segments_of(bill, {"all": total}, 130)).items():
        assert amount == total.at(pieces)
