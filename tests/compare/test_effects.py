"""What minimums, multiples, breaks and minimum values do to one order (R2, R3)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.compare.effects import Cause, Effect
from tests.folders import a_part, a_quote, a_tool, an_item, forms, result_of


def effects(item: Any, likely: int = 32, **part: Any) -> list[Effect]:
    content = forms(a_quote("ash-1", item), part=a_part(likely, **part))
    return list(result_of(content).plain.effects)


def only(item: Any, likely: int = 32, **part: Any) -> Effect:
    (effect,) = effects(item, likely, **part)
    return effect


def test_r2_a_minimum_leaves_pieces_on_the_shelf_and_money_tied_up() -> None:
    """At least 50 where 32 are wanted: 18 more at 11.90 are 214.20; the tool is not in it."""
    effect = only(an_item("11.90 EUR per 1", minimum="50", tools=[a_tool("900 EUR")]))
    assert (effect.cause, effect.limit, effect.bought, effect.surplus) == (
        Cause.MINIMUM,
        50,
        50,
        18,
    )
    assert effect.money == Fraction("214.20")


def test_r1_the_first_tier_is_a_minimum_as_well() -> None:
    assert only(an_item({50: "11.90 EUR per 1"})).cause is Cause.MINIMUM


def test_r2_a_multiple_is_told_from_a_minimum() -> None:
    """Trees of 14: three of them are 42. A minimum of 32 does not bind at 32."""
    effect = only(an_item("10 EUR per 1", multiple="14", minimum="32"))
    assert (effect.cause, effect.limit, effect.bought, effect.surplus) == (
        Cause.MULTIPLE,
        14,
        42,
        10,
    )


def test_r1_buying_more_to_reach_a_break_is_an_effect_of_the_break() -> None:
    """32 at 10 are 320; 40 at 7 are 280, and 8 parts stay on the shelf."""
    effect = only(an_item({1: "10 EUR per 1", 40: "7 EUR per 1"}), lot="100")
    assert (effect.cause, effect.limit, effect.surplus, effect.money) == (Cause.BREAK, 40, 8, 56)


def test_where_the_order_is_what_is_wanted_there_is_no_effect() -> None:
    assert effects(an_item("10 EUR per 1", minimum="32", multiple="16")) == []
    assert effects(an_item({1: "10 EUR per 1", 46: "7 EUR per 1"}), lot="100") == []


def test_r9_pieces_that_are_bought_for_rejects_are_no_surplus() -> None:
    assert effects(an_item("10 EUR per 1", rejects={"share": "10 %"})) == []


def test_r2_a_yearly_minimum_is_not_told_as_a_break() -> None:
    assert effects(an_item("10 EUR per 1", minimum_a_year="90"), lot="100") == []


@pytest.mark.parametrize(
    ("value", "lift", "same"),
    [("500 EUR", 180, 50), ("505 EUR", 185, 50), ("330 EUR", 10, 33), ("320 EUR", None, None)],
)
def test_r3_a_minimum_value_lifts_the_invoice_and_more_pieces_cost_the_same(
    value: str, lift: int | None, same: int | None
) -> None:
    """32 at 10 are 320: lifted to 500 by 180; 50 pieces would be invoiced at just 500."""
    found = effects(an_item("10 EUR per 1", minimum_value={"value": value}))
    assert [(each.cause, each.money, each.same_invoice) for each in found] == (
        [] if lift is None else [(Cause.VALUE, lift, same)]
    )


def test_r3_the_largest_order_for_the_same_invoice_may_lie_behind_a_break() -> None:
    """At 10 each 50 pieces are 500; from 60 on at 8 each 62 pieces are 496."""
    item = an_item({1: "10 EUR per 1", 60: "8 EUR per 1"}, minimum_value={"value": "500 EUR"})
    (value,) = (each for each in effects(item) if each.cause is Cause.VALUE)
    assert value.same_invoice == 62


def test_r3_the_same_invoice_keeps_to_what_may_be_ordered() -> None:
    least = {"value": "500 EUR"}
    trees = effects(an_item("10 EUR per 1", multiple="7", minimum_value=least))
    assert {each.same_invoice for each in trees if each.cause is Cause.VALUE} == {49}
    small = only(an_item("10 EUR per 1", capacity_a_month="40", minimum_value=least))
    assert small.same_invoice == 40


def test_r3_where_no_larger_order_is_free_nothing_is_said_of_one() -> None:
    effect = only(an_item("10 EUR per 1", minimum_value={"value": "325 EUR"}))
    assert (effect.money, effect.same_invoice) == (5, None)


def test_an_offer_that_cannot_bring_what_is_wanted_has_no_effects() -> None:
    assert effects(an_item("10 EUR per 1", minimum="50", capacity_a_month="40")) == []
    assert effects(an_item("10 EUR per 1", rejects={"share": "100 %"})) == []


def test_r9_a_break_above_our_own_lot_is_told_with_what_it_would_save() -> None:
    """49 a year at 1,400 are 68,600; one order of 50 at 1,100 would be 55,000."""
    effect = only(an_item({1: "1400 EUR per 1", 50: "1100 EUR per 1"}), likely=49)
    assert (effect.cause, effect.limit, effect.wanted) == (Cause.LARGER_LOT, 50, 49)
    assert effect.money == 68_600 - 55_000


def test_r9_a_larger_lot_that_saves_nothing_is_not_told() -> None:
    """49 at 1,400 are 68,600; 50 at 1,390 would be 69,500."""
    assert effects(an_item({1: "1400 EUR per 1", 50: "1390 EUR per 1"}), likely=49) == []


def test_r2_a_larger_lot_than_the_capacity_of_a_month_is_not_told() -> None:
    prices = {1: "1400 EUR per 1", 50: "1100 EUR per 1"}
    assert effects(an_item(prices, **{"capacity a month": "49"}), likely=49) == []


def test_r9_of_several_larger_lots_the_one_that_saves_most_is_told() -> None:
    """100 in lots of 10 cost 2,000; in lots of 20 at 18 they are 1,800, of 50 at 15 1,500."""
    prices = {1: "20 EUR per 1", 20: "18 EUR per 1", 50: "15 EUR per 1"}
    effect = only(an_item(prices), likely=100, lot="10")
    assert (effect.limit, effect.money) == (50, 500)


def test_r9_of_larger_lots_that_save_the_same_the_smallest_is_told() -> None:
    """100 in one order of 100 at 15 are 1,500; a lot of up to 1,000 would save no more."""
    prices = {1: "20 EUR per 1", 100: "15 EUR per 1", 1000: "14 EUR per 1"}
    effect = only(an_item(prices), likely=100, lot="10")
    assert (effect.limit, effect.money) == (100, 500)


def test_r9_an_order_beyond_the_need_is_told_where_it_costs_less() -> None:
    """100 at 20 are 2,000; 150 at 10 are 1,500, and no lot in between reaches a break."""
    prices = {1: "20 EUR per 1", 150: "10 EUR per 1", 1000: "9 EUR per 1"}
    effect = only(an_item(prices), likely=100, lot="10")
    assert (effect.limit, effect.money) == (150, 500)


def test_r9_of_very_many_breaks_the_lots_with_the_cheapest_parts_are_looked_at() -> None:
    """A cent less for each piece more, up to 3,000: 100 lots of 10 cost 1,000 x 49.91; two
    orders of 500 at 45.01 cost 45,010, one of 1,000 at 40.01 the least, 40,010."""
    prices = {start: f"{5001 - start} EUR per 100" for start in range(1, 3001)}
    effect = only(an_item(prices), likely=1000, lot="10")
    assert (effect.limit, effect.money) == (1000, 49_910 - 40_010)
