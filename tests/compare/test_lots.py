"""Least cost for at least N good parts, against trying every way to order."""

from __future__ import annotations

import tracemalloc
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from quotegen.compare.lots import Curve, common_unit, cost_of, curve_of, orders_of
from quotegen.compare.route import Route, cost_at, single
from quotegen.costing.offer import Offer
from tests.compare.brute_force import Bought
from tests.folders import Result, a_quote, a_tool, a_workshop, an_item, forms, result_of
from tests.strategies import Drawn, folders

REACH = 45
LARGEST = 100_000_000


def rates_of(found: Result) -> Mapping[str, Fraction]:
    rates = found.plain.rates.rates
    return {"EUR": Fraction(1)} | {each: rate.value for each, rate in rates.items()}


def brute(drawn: Drawn, offer: Offer, found: Result) -> Bought:
    form = next(form for owner, form in drawn.content.quotes if owner == offer.supplier)
    return Bought(drawn.content.workshop, drawn.content.parts["p"], form, rates_of(found))


def routes_of(drawn: Drawn, found: Result, reach: int = REACH) -> list[Route]:
    offers = found.plain.offers
    unit = common_unit(offer.bill for offer in offers)
    return [single(o, curve_of(o.bill, drawn.lot, reach, unit), drawn.lot) for o in offers]


def check_against_brute_force(drawn: Drawn) -> None:
    found = result_of(drawn.content)
    for route in routes_of(drawn, found):
        expected = brute(drawn, route.main, found).best(drawn.lot, REACH)
        for good, best in enumerate(expected):
            assert route.available(good) == (best is not None), (route.name, good)
            if best is not None:
                cost = cost_at(route, good)
                assert route.curve.cost(good) == best.cost, (route.name, good)
                assert cost.total == best.cost, (route.name, good)
                assert sum(leg.orders.pieces for leg in cost.legs) == best.pieces
                assert cost.bought == best.good


@given(folders(most_quotes=1))
@settings(max_examples=150, suppress_health_check=[HealthCheck.too_slow])
def test_the_curve_agrees_with_trying_every_way_to_order(drawn: Drawn) -> None:
    check_against_brute_force(drawn)


@pytest.mark.soak
@given(folders(most_quotes=3))
@settings(suppress_health_check=[HealthCheck.too_slow])
def test_the_curve_agrees_with_trying_every_way_to_order_at_length(drawn: Drawn) -> None:
    check_against_brute_force(drawn)


@given(folders(most_quotes=1))
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_more_parts_never_cost_less(drawn: Drawn) -> None:
    (route,) = routes_of(drawn, result_of(drawn.content))
    costs = [int(each) for each in route.curve.costs]
    assert costs == sorted(costs)
    available = route.curve.available.tolist()
    assert available == sorted(available, reverse=True)


@given(folders(most_quotes=1))
@settings(max_examples=40, suppress_health_check=[HealthCheck.too_slow])
def test_whole_numbers_of_any_size_give_the_same_curve(drawn: Drawn) -> None:
    """A finer unit does not fit 64 bits, and changes nothing."""
    bill = result_of(drawn.content).offer.bill
    unit, times = common_unit([bill]), 10**30
    plain = curve_of(bill, drawn.lot, REACH, unit)
    fine = curve_of(bill, drawn.lot, REACH, unit * times)
    if plain.available[1]:
        assert fine.costs.dtype == object
    assert [each * times for each in plain.costs.tolist()] == fine.costs.tolist()
    assert plain.available.tolist() == fine.available.tolist()
    assert plain.pieces.tolist() == fine.pieces.tolist()


def curve(item: Any, lot: int, reach: int, **workshop: str) -> Curve:
    content = forms(a_quote("oak-1", item), workshop=a_workshop(**workshop))
    bill = result_of(content).offer.bill
    return curve_of(bill, lot, reach, common_unit([bill]))


def costs_at(found: Curve, *quantities: int) -> list[Fraction]:
    return [found.cost(n) for n in quantities]


def test_just_below_a_break_more_is_bought_and_at_the_break_no_more_than_is_wanted() -> None:
    """At 10 each, from 50 on at 8: 50 cost 400, as 40 do; 41 to 49 are bought as 50."""
    found = curve(an_item({1: "10 EUR per 1", 50: "8 EUR per 1"}), 100, 100)
    assert costs_at(found, 39, 40, 41, 49, 50, 51) == [390, 400, 400, 400, 400, 408]
    assert found.pieces[[39, 40, 41, 49, 50, 51]].tolist() == [39, 40, 50, 50, 50, 51]


def test_in_slices_there_is_no_reason_to_buy_more() -> None:
    """The first 49 at 10, the rest at 8: 50 cost 498."""
    item = an_item({1: "10 EUR per 1", 50: "8 EUR per 1"}, breaks="incremental")
    assert costs_at(curve(item, 100, 100), 49, 50, 51) == [490, 498, 506]


def test_lots_are_ordered_whole_and_the_rest_in_one_order_more() -> None:
    """60 for each order and 10 a piece, in lots of 30: 70 parts come in three orders."""
    charge = {"what": "set-up", "amount": "60 EUR", "per": "order"}
    found = curve(an_item("10 EUR per 1", charges=[charge]), 30, 100)
    assert costs_at(found, 30, 31, 60, 70, 90) == [360, 430, 720, 880, 1080]


def test_no_order_is_larger_than_a_lot_not_even_to_reach_a_break() -> None:
    item = an_item({1: "10 EUR per 1", 50: "1 EUR per 1"})
    assert costs_at(curve(item, 40, 100), 40, 80) == [400, 800]


def test_the_rest_may_grow_to_a_whole_lot_where_that_costs_less() -> None:
    """A lot of 50 at 8 is 400; 95 parts are two lots, 800, and not 50 and 45 for 850."""
    found = curve(an_item({1: "10 EUR per 1", 50: "8 EUR per 1"}), 50, 100)
    assert costs_at(found, 90, 95) == [800, 800]


def test_an_order_of_just_the_break_is_looked_at_though_one_piece_less_gives_as_many() -> None:
    """4 % fail: 100 and 101 pieces both give 96 good parts. From 101 on the price is 5, so that
    101 pieces for 505 are less than 100 for 1,000, and less than the 102 that give 97."""
    item = an_item({1: "10 EUR per 1", 101: "5 EUR per 1"}, rejects={"share": "4 %"})
    found = curve(item, 200, 200)
    assert costs_at(found, 96, 97) == [505, 510]
    assert found.pieces[96] == 101


def test_where_one_order_cannot_bring_a_lot_it_brings_what_it_can() -> None:
    """11 a month at most, half of them fail: 10 pieces give as many as 11, so lots are of 10."""
    item = an_item("10 EUR per 1", capacity_a_month="11", rejects={"share": "50 %"})
    found = curve(item, 50, 66)
    assert costs_at(found, 5, 10, 66) == [100, 200, 1320]


def test_capacity_ends_the_curve_and_does_not_forbid_what_fits() -> None:
    """10 in one month, in lots of 7, one at 10 and seven at 1 each. Eight parts are 7 and 1: the
    14 that would cost as little as 14 cannot be made."""
    item = an_item({1: "10 EUR per 1", 7: "1 EUR per 1"}, capacity_a_month="10")
    found = curve(item, 7, 20, planning_months="1")
    assert costs_at(found, 7, 8, 9) == [7, 17, 27]
    assert [bool(found.available[n]) for n in (0, 10, 11)] == [True, True, False]


def test_a_yearly_minimum_is_bought_whatever_is_wanted() -> None:
    """At least 300 in a year at 10: one part costs 3,000, as 300 do, though only 40 are shown."""
    found = curve(an_item("10 EUR per 1", minimum_a_year="300"), 100, 40)
    assert costs_at(found, 0, 1, 40) == [0, 3000, 3000]
    assert found.pieces[1] == 300
    found = curve(an_item("10 EUR per 1", minimum_a_year="30"), 100, 40)
    assert costs_at(found, 1, 30, 31) == [300, 300, 310]


def test_a_yearly_minimum_beyond_the_capacity_leaves_no_order() -> None:
    item = an_item("10 EUR per 1", minimum_a_year="300", capacity_a_month="20")
    assert curve(item, 20, 40).available.tolist() == [True] + [False] * 40


def test_a_credit_under_a_minimum_value_may_make_one_reject_more_the_cheaper_order() -> None:
    """Half fail and are credited at 10, and an invoice is 41 at least. Two pieces give one good
    part for 41 - 10; three give one for 41 - 20; five give two for 50 - 30."""
    least = {"value": "41 EUR"}
    item = an_item(
        "10 EUR per 1", minimum_value=least, rejects={"share": "50 %", "made good": "credited"}
    )
    found = curve(item, 10, 10)
    assert costs_at(found, 1, 2) == [20, 20]
    assert found.pieces[1] == 5


@pytest.mark.parametrize(
    "item",
    [
        an_item("10 EUR per 1", rejects={"share": "99.999999999999999999999999 %"}),
        an_item("10 EUR per 1", rejects={"share": "100 %"}),
        an_item("10 EUR per 1", capacity_a_month="1", minimum="2"),
        an_item("10 EUR per 1", capacity_a_month="9", multiple="10"),
        an_item({2: "10 EUR per 1"}, capacity_a_month="1"),
    ],
)
def test_orders_that_nobody_can_place_make_nothing_available(item: Any) -> None:
    found = curve(item, 10, 20)
    assert found.available.tolist() == [True] + [False] * 20


@pytest.mark.parametrize(
    ("item", "cost"),
    [
        (an_item({1: "10 EUR per 1", LARGEST: "8 EUR per 1"}), 200),
        (an_item({1: "10 EUR per 1", LARGEST: "8 EUR per 1"}, breaks="incremental"), 200),
        (an_item("10 EUR per 1", minimum=str(LARGEST)), LARGEST * 10),
        (an_item("10 EUR per 1", multiple=str(LARGEST)), LARGEST * 10),
        (an_item("10 EUR per 1", minimum_a_year=str(LARGEST)), LARGEST * 10),
        (an_item("10 EUR per 1", capacity_a_month=str(LARGEST)), 200),
        (an_item("10 EUR per 1", tools=[a_tool("0 EUR", life=str(LARGEST))]), 200),
        (an_item("10 EUR per 1", rejects={"share": "0.000000000000000000000000001 %"}), 220),
        (an_item("10 EUR per 1", rejects={"share": "99.9999 %"}), 200_000_000),
    ],
)
def test_the_largest_numbers_that_a_form_may_say_are_reckoned(item: Any, cost: int) -> None:
    """In lots of ten good parts. The least of rejects takes one piece of every order."""
    assert curve(item, 10, 20).cost(20) == cost


def test_an_order_far_beyond_the_need_takes_no_room_for_each_of_its_parts() -> None:
    """A plate of a hundred million, three in a hundred bad: twenty good parts are asked for."""
    item = an_item("10 EUR per 1", multiple=str(LARGEST), rejects={"share": "3 %"})
    tracemalloc.start()
    assert curve(item, 10, 20).cost(20) == LARGEST * 10
    assert tracemalloc.get_traced_memory()[1] < 10_000_000
    tracemalloc.stop()


def test_where_nearly_all_are_rejects_breaks_and_minimums_are_still_met_exactly() -> None:
    """One piece in a million is good. Behind the break 1.5 million cost 750,000, less than the
    million that one good part takes; at least 2.5 million a year are bought and no more."""
    rejects = {"share": "99.9999 %"}
    tiers = {1: "1 EUR per 1", 1_500_000: "0.50 EUR per 1"}
    assert costs_at(curve(an_item(tiers, rejects=rejects), 10, 20), 1, 2) == [750_000, 1_000_000]
    found = curve(an_item("1 EUR per 1", rejects=rejects, minimum_a_year="2500000"), 10, 20)
    assert costs_at(found, 1, 2, 3) == [2_500_000, 2_500_000, 3_000_000]


def test_many_lots_with_a_break_in_each_are_reckoned_as_few_are() -> None:
    """In lots of ten at 10 each, from 8 on at 5: a lot is 50, and the rest 40 at most up to 8."""
    found = curve(an_item({1: "10 EUR per 1", 8: "5 EUR per 1"}), 10, 3000)
    rest = [0, 10, 20, 30, 40, 40, 40, 40, 40, 45]
    expected = [n // 10 * 50 + rest[n % 10] for n in range(3001)]
    assert [int(found.cost(n)) for n in range(3001)] == expected
    bought = [0, 1, 2, 3, 4, 8, 8, 8, 8, 9]
    assert found.pieces.tolist() == [n // 10 * 10 + bought[n % 10] for n in range(3001)]


def test_the_separate_evaluator_adds_up_to_the_curve() -> None:
    item = an_item("10 EUR per 1", tools=[a_tool("100 EUR", life="30", storage="12 EUR")],
                   minimum_value={"value": "700 EUR", "per": "year"})  # fmt: skip
    bill = result_of(forms(a_quote("oak-1", item))).offer.bill
    found = curve_of(bill, 40, 90, common_unit([bill]))
    for n in range(91):
        orders = orders_of(bill, 40, int(found.pieces[n]))
        assert orders is not None
        assert cost_of(bill, orders) == found.cost(n)
    assert costs_at(found, 1, 30, 31, 70, 71) == [812, 812, 912, 1012, 1022]
