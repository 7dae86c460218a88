"""What is paid beside the orders: names, lives, and what was promised, from the forms."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.costing.offer import Offer
from quotegen.plan.building import setting_of, supplies_of
from quotegen.plan.once import commitments_of, keys_of, once_costs, wears_of
from quotegen.plan.plan import Plan
from quotegen.plan.planning import Planning
from quotegen.plan.problem import UNITS
from quotegen.plan.sources import Supply
from tests.folders import a_part, a_quote, a_tool, a_workshop, an_item, forms, result_of

FLAT = {"low": "120", "likely": "120", "high": "120"}


def _supplies(*quotes: Any, workshop: Any = None, months: int = 12) -> tuple[Supply, ...]:
    part = a_part(demand=FLAT, needed_by="2027-03-01")
    plain = result_of(forms(*quotes, workshop=a_workshop(**(workshop or {})), part=part)).plain
    setting = setting_of(plain, months)
    assert setting is not None
    return supplies_of([each for each in plain.offers if each.holds], setting)


def _planning(*quotes: Any, **part: Any) -> Planning:
    form = a_part(**{"demand": FLAT, "needed_by": "2027-03-01"} | part)
    found = result_of(forms(*quotes, part=form)).planning
    assert found is not None
    return found


def _with(tool: Any, name: str = "foss", **item: Any) -> Any:
    return a_quote(f"{name}-1", an_item("5 EUR per 1", tools=[tool], **item))


def test_r5_a_tool_that_two_quotes_name_has_a_name_of_its_own() -> None:
    first, second = _supplies(_with(a_tool("900 EUR")), _with(a_tool("900 EUR"), "fir"))
    assert keys_of(first, (first, second)) == keys_of(second, (first, second)) == ("tool die",)
    assert keys_of(first, (first,)) == (first.offer.name,)


@pytest.mark.parametrize("price", ["0 EUR", "not applicable"])
def test_r17_a_tool_for_which_nothing_is_paid_is_made_before_the_first_pieces(price: str) -> None:
    """Sixty days for the die: without a price it was once taken to be there already."""
    found = _planning(_with(a_tool(price, takes="60 days")))
    assert isinstance(found.best, Plan)
    (order,) = found.best.orders
    assert order.tools_ordered is not None
    assert (order.ordered - order.tools_ordered).days >= 60
    early = _planning(_with(a_tool(price, takes="60 days")), needed_by="2026-12-01")
    assert early.plan is None


def test_r5_a_life_that_one_quote_states_counts_the_pieces_of_every_quote() -> None:
    """Six a month from each: of 120 pieces the die lasts 50, so it is made twice more."""
    worn = a_tool("900 EUR", life="50", replacement="300 EUR")
    silent = a_tool("900 EUR", life="not quoted")
    item = {"capacity_a_month": "6"}
    quotes = [_with(worn, **item), _with(silent, "fir", **item)]
    (wear,) = wears_of(_supplies(*quotes))
    assert (wear.life, len(wear.sources)) == (50, 2)
    plan = _planning(*quotes).plan
    assert plan is not None
    again = [each.amount for each in plan.payments if each.what.startswith("another wax die")]
    assert sum(again) == 2 * 300
    assert plan.paid == plan.present
    assert (plan.tools[0].life, plan.tools[0].pieces) == (50, 120)


def test_r5_where_quotes_differ_about_a_tool_it_lasts_as_long_as_the_most_careful_says() -> None:
    tools = [
        a_tool("900 EUR", life="50", replacement="300 EUR"),
        a_tool("900 EUR", life="80", replacement="200 EUR"),
    ]
    quotes = [_with(tools[0], capacity_a_month="6"), _with(tools[1], "fir", capacity_a_month="6")]
    (wear,) = wears_of(_supplies(*quotes))
    assert (wear.life, wear.replacement[0]) == (50, 300 * UNITS)
    plan = _planning(*quotes).plan
    assert plan is not None
    assert plan.paid == plan.present


def test_r5_storage_of_a_tool_is_paid_by_the_year_from_the_first_order_on() -> None:
    """Eighteen months at 24 a year: 36 from the first month, 24 for the last twelve."""
    (supply,) = _supplies(_with(a_tool("900 EUR", storage="24 EUR")), months=18)
    (costs,) = once_costs(supply, (supply,)).values()
    assert (costs[0], costs[6]) == ((900 + 36) * UNITS, (900 + 24) * UNITS)


def test_r2_a_yearly_minimum_asks_for_its_share_of_the_months() -> None:
    quote = a_quote("foss-1", an_item("5 EUR per 1", minimum_a_year="100"))
    (supply,) = _supplies(quote, months=7)
    (promise,) = commitments_of(supply)
    assert (promise.amount, promise.owed) == (59, None)


def test_r3_a_yearly_minimum_value_is_owed_for_the_months_at_their_end() -> None:
    item = an_item("5 EUR per 1", minimum_value={"value": "1000 EUR", "per": "year"})
    (supply,) = _supplies(a_quote("foss-1", item), months=6)
    (promise,) = commitments_of(supply)
    assert promise.by_value
    assert (promise.amount, promise.owed) == (500 * UNITS, Fraction(1))


def _paid(offer: Offer, orders: list[int], months: int) -> Fraction:
    """By hand from the bill: each order, tools by all pieces, the years, the lift."""
    lines = offer.bill.lines
    found = sum(
        (x.schedule.at(n) for x in lines for n in orders if x.scope == "each order"), Fraction(0)
    )
    found += sum(
        (x.schedule.at(sum(orders)) for x in lines if x.scope == "all orders together"), Fraction(0)
    )
    years = Fraction(months, 12)
    return found + years * sum(
        (x.schedule.at(1) for x in lines if x.scope == "each year"), Fraction(0)
    )


@pytest.mark.parametrize(
    "tool",
    [
        a_tool("900 EUR", samples="50 EUR", storage="12 EUR", transfer="40 EUR"),
        a_tool("900 EUR", life="50", replacement="300 EUR"),
        a_tool("900 EUR", life="20", cavities="2"),
    ],
)
def test_what_a_plan_pays_is_the_bill_of_its_orders(tool: Any) -> None:
    spread = {"what": "core box", "each": "1 EUR", "over": "150"}
    plan = _planning(_with(tool, spread_tool=spread, capacity_a_month="40")).plan
    assert plan is not None
    assert plan.orders[0].month == 0
    offer = plan.offers[0]
    assert plan.paid == _paid(offer, [each.pieces for each in plan.orders], 12)
