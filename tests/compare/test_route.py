"""Routes: one offer, or a bridge and what follows; every figure is a sum of lines."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from quotegen.compare.route import (
    beyond_each,
    bridged,
    cost_at,
    exposure_of,
    running_each,
)
from tests.compare.test_lots import REACH, brute, routes_of
from tests.folders import Result, a_part, a_quote, a_tool, a_workshop, an_item, forms, result_of
from tests.strategies import Drawn, folders


def check_bridge(drawn: Drawn, bridge: int) -> None:
    """The bridge as ordered by the first, all good parts of it used, then the other's orders."""
    found = result_of(drawn.content)
    routes = routes_of(drawn, found)
    first, main = routes[0], routes[-1]
    if not first.available(bridge):
        return
    early, late = (brute(drawn, r.main, found).best(drawn.lot, REACH) for r in (first, main))
    paid = early[bridge]
    assert paid is not None
    route = bridged(first, main, bridge)
    assert route.bridge == paid.good
    for n in range(1, REACH + 1):
        best = early[n] if n <= paid.good else late[n - paid.good]
        assert route.available(n) == (best is not None), n
        if best is not None:
            expected = best.cost if n <= paid.good else paid.cost + best.cost
            assert route.curve.cost(n) == expected, n
            assert cost_at(route, n).total == expected, n


@given(folders(most_quotes=2), st.integers(1, 12))
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_a_bridge_agrees_with_trying_every_way_to_order(drawn: Drawn, bridge: int) -> None:
    check_bridge(drawn, bridge)


@pytest.mark.soak
@given(folders(most_quotes=2), st.integers(1, 30))
@settings(suppress_health_check=[HealthCheck.too_slow])
def test_a_bridge_agrees_with_trying_every_way_to_order_at_length(
    drawn: Drawn, bridge: int
) -> None:
    check_bridge(drawn, bridge)


@given(folders(most_quotes=2))
@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
def test_amount_times_count_is_the_total_of_every_line(drawn: Drawn) -> None:
    for route in routes_of(drawn, result_of(drawn.content)):
        for good in (1, 7, REACH):
            if route.available(good):
                for line in cost_at(route, good).lines:
                    assert line.amount * line.count == (line.total if line.count else 0)
                    assert line.count or not line.total, line.line.what


def bridge_of(late: Any, **part: Any) -> Result:
    """Printing at 31.40 in two weeks, and a route that comes in March and is needed in January."""
    quotes = a_quote("oak-1", an_item("31.40 EUR per 1")), a_quote("ash-1", late)
    return result_of(forms(*quotes, part=a_part(**{"needed_by": "2027-01-09", **part})))


CAST = an_item("13.90 EUR per 1", lead_time="120 days", tools=[a_tool("2200 EUR")])


def test_r19_a_bridge_lasts_for_the_high_demand_until_the_other_route_delivers() -> None:
    """120 days from 2 November is 2 March, 52 days after 9 January: at 365 a year, 52 pieces."""
    demand = {"low": "100", "likely": "300", "high": "365"}
    found = bridge_of(CAST, demand=demand, lot="1000")
    (late,) = found.plain.late
    assert late.name == "ash/ash-1"
    names = {route.name: route.bridge for route in found.plain.routes}
    assert names == {"oak/oak-1": 0, "oak/oak-1 then ash/ash-1": 52}


def test_r19_what_is_on_hand_shortens_the_bridge_and_may_make_it_needless() -> None:
    demand = {"low": "100", "likely": "300", "high": "365"}
    found = bridge_of(CAST, demand=demand, lot="1000", on_hand="20")
    assert {route.bridge for route in found.plain.routes} == {0, 32}
    found = bridge_of(CAST, demand=demand, lot="1000", on_hand="52")
    assert found.plain.late == ()
    assert {route.bridge for route in found.plain.routes} == {0}


def test_committed_money_is_what_is_paid_once_and_the_bridge() -> None:
    """52 prints at 31.40 are 1,632.80, and the die 2,200."""
    demand = {"low": "100", "likely": "300", "high": "365"}
    found = bridge_of(CAST, demand=demand, lot="1000")
    cost = found.plain.costs["oak/oak-1 then ash/ash-1"]
    assert cost.committed == Fraction("3832.80")
    assert cost.one_off == 2200
    assert found.plain.costs["oak/oak-1"].committed == 0


def test_a_bridge_ends_at_what_its_orders_bring_and_not_at_what_was_asked_for() -> None:
    """Prints come in plates of 20: 52 asked for are 60 bought, and the castings follow from 61."""
    quotes = a_quote("oak-1", an_item("30 EUR per 1", multiple="20")), a_quote("ash-1", CAST)
    demand = {"low": "100", "likely": "300", "high": "365"}
    part = a_part(needed_by="2027-01-09", demand=demand, lot="1000")
    found = result_of(forms(*quotes, part=part)).plain
    route = next(route for route in found.routes if route.bridge)
    assert route.bridge == 60
    assert [leg.orders.pieces for leg in cost_at(route, 60).legs] == [60]
    assert [leg.orders.pieces for leg in cost_at(route, 61).legs] == [60, 1]
    assert cost_at(route, 300).bought == 300


def test_a_figure_can_be_traced_to_the_orders_behind_it() -> None:
    """300 in lots of 112 in trees of 14: two lots and 84 pieces, 8 more than are wanted."""
    item = an_item("13.90 EUR per 1", multiple="14", minimum="56", tools=[a_tool("2200 EUR")])
    found = result_of(forms(a_quote("ash-1", item), part=a_part(300, lot="112")))
    cost = found.plain.costs["ash/ash-1"]
    assert [leg.orders.sizes for leg in cost.legs] == [(112, 112, 84)]
    assert (cost.bought, cost.surplus) == (308, 8)
    assert cost.total == 2200 + 308 * Fraction("13.9")
    assert cost.each == cost.total / 300
    assert cost.later_each == Fraction("13.9")


def test_a_running_price_is_that_of_a_whole_lot_without_what_is_paid_once() -> None:
    """100 at 10, 60 for the set-up, one in ten fails: 1,060 / 90; the tool is not in it."""
    charge = {"what": "set-up", "amount": "60 EUR", "per": "order"}
    item = an_item("10 EUR per 1", charges=[charge], tools=[a_tool("2200 EUR")],
                   rejects={"share": "10 %"})  # fmt: skip
    offer = result_of(forms(a_quote("ash-1", item))).offer
    assert running_each(offer, 90) == Fraction(1060, 90)


def test_in_the_long_run_a_worn_out_tool_counts_by_the_good_part() -> None:
    """9 a piece and 100 every 50 pieces are 11; one in ten fails: 11 / 0.9."""
    item = an_item("9 EUR per 1", tools=[a_tool("100 EUR", life="50")], rejects={"share": "10 %"})
    found = result_of(forms(a_quote("ash-1", item), part=a_part(90))).plain
    assert beyond_each(found.routes[0]) == Fraction(110, 9)


def test_r10_exposure_is_what_suppliers_are_paid_in_their_currency() -> None:
    """100 at 10 GBP at 1.20, and 14 for the bank, which is paid at home."""
    rate = {"one": "GBP", "is worth": "1.20 EUR", "on": "2026-10-30", "source": "test"}
    workshop = a_workshop(rates=[rate], bank_fee="14 EUR")
    quote = a_quote("ash-1", an_item("10 GBP per 1"), currency="GBP")
    found = result_of(forms(quote, workshop=workshop)).plain
    assert exposure_of(found.costs["ash/ash-1"]) == {"EUR": 14, "GBP": 1200}
