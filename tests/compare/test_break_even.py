"""When a tool has earned itself back, in three forms that are never mixed up (R14)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings

from quotegen.compare.break_even import BreakEven, break_even_of, parity_of
from quotegen.compare.route import Route
from tests.compare.test_lots import REACH, brute, routes_of
from tests.folders import a_part, a_quote, a_tool, an_item, forms, result_of
from tests.strategies import Drawn, folders


@given(folders(most_quotes=2))
@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
def test_first_cheaper_and_crossings_agree_with_a_look_at_every_quantity(drawn: Drawn) -> None:
    check_against_every_quantity(drawn)


@pytest.mark.soak
@given(folders(most_quotes=2))
@settings(suppress_health_check=[HealthCheck.too_slow])
def test_first_cheaper_and_crossings_agree_with_a_look_at_every_quantity_at_length(
    drawn: Drawn,
) -> None:
    check_against_every_quantity(drawn)


def check_against_every_quantity(drawn: Drawn) -> None:
    found = result_of(drawn.content)
    routes = routes_of(drawn, found)
    tooled, untooled = routes[0], routes[-1]
    costs = [brute(drawn, route.main, found).best(drawn.lot, REACH) for route in (tooled, untooled)]

    def cheaper(n: int) -> bool:
        with_tool, without = (best[n] for best in costs)
        return with_tool is not None and (without is None or with_tool.cost < without.cost)

    sides = {n: cheaper(n) for n in range(1, REACH + 1)}
    first = next((n for n in sides if all(sides[m] for m in sides if m >= n)), None)
    ends = REACH if first is None else first - 1
    changes = [(n, sides[n]) for n in range(1, ends + 1) if sides[n] != sides.get(n - 1, False)]
    got = break_even_of(tooled, untooled)
    assert got.first_cheaper == first
    assert [(each.at, each.tooled_cheaper) for each in got.crossings] == changes
    assert got.up_to == REACH


def between(tooled: Any, untooled: Any, likely: int = 100, **part: Any) -> BreakEven:
    found = result_of(
        forms(a_quote("ash-1", tooled), a_quote("oak-1", untooled), part=a_part(likely, **part))
    )
    (only,) = found.plain.break_evens
    return only


def test_a_the_parity_is_tooling_over_the_difference_of_the_piece_prices() -> None:
    found = between(
        an_item("13.90 EUR per 1", tools=[a_tool("2200 EUR")]), an_item("31.40 EUR per 1")
    )
    assert found.parity == Fraction(880, 7)


def test_b_at_a_tie_the_tool_has_not_paid_yet() -> None:
    """10 + 9 n = 10 n at 10; from 11 on the tool is cheaper."""
    found = between(an_item("9 EUR per 1", tools=[a_tool("10 EUR")]), an_item("10 EUR per 1"))
    assert (found.parity, found.first_cheaper, found.crossings) == (10, 11, ())


def test_c_every_crossing_before_the_last_one_is_told() -> None:
    """A tool for 100, then 5 each in trees of 40, against 9 a piece. One tree costs 300, less than
    34 pieces at 9; from 41 on two trees cost 500, less than 56 pieces; three cost 700 and are
    less than 81. The textbook says 100 / 4 = 25."""
    found = between(
        an_item("5 EUR per 1", multiple="40", tools=[a_tool("100 EUR")]),
        an_item("9 EUR per 1"),
        lot="200",
    )
    assert [(each.at, each.tooled_cheaper) for each in found.crossings] == [(34, True), (41, False)]
    assert found.first_cheaper == 56
    assert found.parity == 25


def test_where_the_tool_never_pays_there_is_no_first_quantity_and_no_parity() -> None:
    found = between(an_item("10 EUR per 1", tools=[a_tool("100 EUR")]), an_item("9 EUR per 1"))
    assert (found.parity, found.first_cheaper, found.crossings) == (None, None, ())


def test_a_second_tool_may_turn_the_answer_back() -> None:
    """100 and 5 each against 9: cheaper at 26 (230 to 234). The 27th piece needs a second tool."""
    life = a_tool("100 EUR", life="26", replacement="100 EUR")
    found = between(an_item("5 EUR per 1", tools=[life]), an_item("9 EUR per 1"))
    crossings = [(each.at, each.tooled_cheaper) for each in found.crossings]
    assert crossings[:2] == [(26, True), (27, False)]
    assert found.parity == 25
    assert found.up_to == 200


def parity(tooled: Any, untooled: Any, lot: int = 1000) -> Fraction | None:
    content = forms(a_quote("ash-1", tooled), a_quote("oak-1", untooled))
    first, second = result_of(content).plain.offers
    return parity_of(first.bill, second.bill, lot)


TOOL = a_tool("1000 EUR")


def test_the_parity_uses_the_tiers_in_force_there() -> None:
    """1,000 over 20 - 10 is 100, in the tier of 100; with the first tier's 15 it would be 200."""
    tiers = {1: "15 EUR per 1", 100: "10 EUR per 1"}
    assert parity(an_item(tiers, tools=[TOOL]), an_item("20 EUR per 1")) == 100


@pytest.mark.parametrize(
    ("start", "expected"), [(99, 100), (100, 100), (101, None), (200, None), (201, 200)]
)
def test_where_no_single_tier_holds_there_is_no_parity(start: int, expected: int | None) -> None:
    """15 gives 200, 10 gives 100: only one of them may lie in its own tier."""
    tiers = {1: "15 EUR per 1", start: "10 EUR per 1"}
    assert parity(an_item(tiers, tools=[TOOL]), an_item("20 EUR per 1")) == expected


def test_where_two_tiers_hold_there_is_no_parity() -> None:
    """Against 20 the parity is 100; from 150 on the other side asks 14: 1,000 / 4 is 250."""
    plain = an_item({1: "20 EUR per 1", 150: "14 EUR per 1"})
    assert parity(an_item("10 EUR per 1", tools=[TOOL]), plain) is None


def test_the_parity_counts_good_parts_and_not_pieces() -> None:
    """Half of the pieces fail: 5 a piece is 10 a good part. The tier from 150 pieces on begins
    at 75 good parts, so that the parity of 1,000 / (20 - 10) lies in it."""
    tiers = {1: "8 EUR per 1", 150: "5 EUR per 1"}
    tooled = an_item(tiers, tools=[TOOL], rejects={"share": "50 %"})
    assert parity(tooled, an_item("20 EUR per 1")) == 100


def test_orders_of_a_lot_never_reach_a_later_tier() -> None:
    tiers = {1: "15 EUR per 1", 60: "10 EUR per 1"}
    assert parity(an_item(tiers, tools=[TOOL]), an_item("20 EUR per 1"), lot=50) == 200
    assert parity(an_item(tiers, tools=[TOOL]), an_item("20 EUR per 1"), lot=60) == 100


def test_the_parity_knows_set_up_by_the_batch_but_no_charge_by_the_order() -> None:
    """12 a plate of 12 is 1 a piece: 1,000 / (20 - 9 - 1) = 100."""
    batch = {"what": "set-up", "amount": "12 EUR", "per": "batch", "batch": "12"}
    order = {"what": "fee", "amount": "50 EUR", "per": "order"}
    tooled = an_item("9 EUR per 1", charges=[batch, order], tools=[TOOL])
    assert parity(tooled, an_item("20 EUR per 1")) == 100


def test_what_the_other_side_pays_once_is_taken_off_the_tooling() -> None:
    once = {"what": "programming", "amount": "300 EUR", "per": "once"}
    plain = an_item("20 EUR per 1", charges=[once])
    assert parity(an_item("10 EUR per 1", tools=[TOOL]), plain) == 70


def test_later_tools_and_duty_by_the_piece_are_no_tooling_of_the_textbook() -> None:
    worn = a_tool("1000 EUR", life="10", replacement="500 EUR")
    assert parity(an_item("10 EUR per 1", tools=[worn]), an_item("20 EUR per 1")) == 100
    owed = {"what": "second die", "each": "2 EUR", "over": "500"}
    tooled = an_item("10 EUR per 1", tools=[TOOL], spread_tool=owed)
    assert parity(tooled, an_item("20 EUR per 1")) == 100


def test_an_offer_that_can_bring_nothing_has_no_parity() -> None:
    never = an_item("10 EUR per 1", tools=[TOOL], rejects={"share": "100 %"})
    assert parity(never, an_item("20 EUR per 1")) is None


def test_capacity_counts_where_one_side_ends_the_other_is_cheaper() -> None:
    """Without a tool 5 a month for a year are 60 pieces; from 61 on only the tool delivers."""
    plain = an_item("10 EUR per 1", capacity_a_month="5")
    found = between(an_item("12 EUR per 1", tools=[a_tool("100 EUR")]), plain, 50, lot="5")
    assert found.first_cheaper == 61


def test_each_tooled_route_stands_against_the_cheapest_without_a_tool() -> None:
    quotes = [
        a_quote("ash-1", an_item("5 EUR per 1", tools=[a_tool("100 EUR")])),
        a_quote("elm-1", an_item("4 EUR per 1", tools=[a_tool("300 EUR")])),
        a_quote("oak-1", an_item("9 EUR per 1")),
        a_quote("fir-1", an_item("8 EUR per 1")),
    ]
    found = result_of(forms(*quotes)).plain.break_evens
    assert [(each.tooled.main.supplier, each.untooled.main.supplier) for each in found] == [
        ("ash", "fir"),
        ("elm", "fir"),
    ]
    assert isinstance(found[0].tooled, Route)


def test_without_a_route_that_needs_no_tool_there_is_nothing_to_break_even_with() -> None:
    quotes = a_quote("ash-1", an_item("5 EUR per 1", tools=[a_tool("100 EUR")]))
    assert result_of(forms(quotes)).plain.break_evens == ()
