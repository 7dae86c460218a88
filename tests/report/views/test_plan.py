"""The plan in words, tables and drawings, held against cases that are reckoned by hand."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.report.views.plan import PlanView, plan_view
from quotegen.report.views.plan_charts import money_months
from quotegen.report.views.shape import NONE, Table
from tests.folders import a_part, a_quote, a_workshop, an_item, forms
from tests.report.plans import FREE_MONEY, die_or_none, studied, two_orders
from tests.report.studies import nothing_quoted


def view_of(content: Any) -> PlanView:
    found = plan_view(studied(content))
    assert found is not None
    return found


def texts(table: Table | None) -> list[list[str]]:
    assert table is not None
    return [[cell.text for cell in row.cells] for row in table.rows]


def smalls(table: Table | None) -> list[str]:
    assert table is not None
    return [cell.small for row in table.rows for cell in row.cells if cell.small]


def test_a_workshop_is_told_what_to_order_by_which_day() -> None:
    assert view_of(two_orders()).steps == (
        "Order 60 machined parts at Ash by 16 December 2026, then 60 by 17 June 2027.",
    )


def test_many_orders_are_told_by_their_sizes_and_how_often_they_come() -> None:
    assert view_of(die_or_none()).steps == (
        "Order the wax die at Foss Castings by 16 December 2026.",
        (
            "Order 17 castings at Foss Castings by 16 December 2026, then 16 to 17 at a time, "
            "every month: 12 orders in all."
        ),
    )


def test_three_figures_say_what_it_costs_what_is_paid_and_what_is_tied_up() -> None:
    """By hand: 1,200 + 60 + 31.50; 1,260 paid; 630 in the first order before any part is used."""
    shown = [(each.label, each.value) for each in view_of(two_orders()).figures]
    assert shown == [
        ("Present cost", "1,292 EUR"),
        ("Paid in all", "1,260 EUR"),
        ("Most tied up in parts", "630 EUR"),
    ]


def test_a_plan_is_told_with_its_proof_its_habits_its_first_order_and_its_end() -> None:
    """By hand: a year at once costs 99.30 - 91.50 = 7.80 more."""
    assert view_of(two_orders()).told == (
        "No plan with these quotes costs less: every one was looked at.",
        "Always at the cheapest piece price, Ash: that is this plan.",
        "The same suppliers, always a year's need at once: that would cost 8 EUR more.",
        (
            "The first order is 60 machined parts at Ash, by 16 December 2026. A month later there "
            "is no plan: 10 good parts would lack in January 2027: nobody delivers so early."
        ),
        "When the plan ends, on 1 January 2028, nothing is left on the shelf.",
    )


def test_a_tool_has_paid_back_from_the_month_in_which_less_has_been_paid() -> None:
    """The eighth order is delivered on 30 July, the last working day before its month."""
    assert (
        "From July 2027 on less has been paid than by machining at Mill Lane: the wax die has paid "
        "back."
    ) in view_of(die_or_none()).told


def test_the_orders_add_up_to_all_that_is_paid() -> None:
    orders = view_of(two_orders()).orders
    assert texts(orders) == [
        ["2026-12-16", "2026-12-31", "Machined parts", "60", "0", "10.50", "630.00", "2027-07-01"],
        ["2027-06-17", "2027-07-01", "Machined parts", "60", "0", "10.50", "630.00", "the end"],
    ]
    assert orders is not None
    assert orders.foot is not None
    assert [cell.text for cell in orders.foot.cells][3::3] == ["120", "1,260.00"]


def test_a_tool_stands_among_the_orders_with_its_price_and_among_the_tools_with_its_life() -> None:
    view = view_of(die_or_none())
    assert texts(view.orders)[0] == ["2026-12-16", NONE, "Wax die", NONE, NONE, NONE, "880.00", ""]
    assert sum(Fraction(row[6]) for row in texts(view.orders)) == 1480
    assert texts(view.tools) == [["Wax die", "2026-12-16", "200", "not stated", NONE]]


def test_what_is_owed_at_the_end_stands_among_the_orders_too() -> None:
    """By hand: 120 pieces at 10 and a minimum of 2,000 a year leave 800 to be paid."""
    item = an_item("10 EUR per 1", minimum_value={"value": "2000 EUR", "per": "year"})
    content = forms(a_quote("ash-1", item), part=a_part(120))
    orders = view_of(content).orders
    assert texts(orders)[-1][2:7] == ["Owed to suppliers", NONE, NONE, NONE, "800.00"]
    assert orders is not None
    assert orders.foot is not None
    assert orders.foot.cells[6].text == "2,000.00"


def test_what_must_be_left_stands_below_what_is_left() -> None:
    """By hand: the second order waits from 17 June to 1 July, 14 of 30 days: 4.67 are used, and
    half of that more at the high demand.
    """
    content = two_orders(demand={"low": "60", "likely": "120", "high": "180"})
    assert "3 wanted" in smalls(view_of(content).orders)


def test_the_cost_lines_add_up_to_the_present_cost_as_printed() -> None:
    lines = view_of(two_orders()).lines
    assert texts(lines) == [
        ["60 pieces, Ash", "R1", "2", "1,260.00"],
        ["Storage of stock", "R13", "1", "31.50"],
    ]
    assert lines is not None
    assert lines.foot is not None
    assert lines.foot.cells[-1].text == "1,291.50"


def test_the_stock_is_drawn_with_a_table_of_every_month_and_a_short_one_for_paper() -> None:
    chart = view_of(two_orders()).stock
    assert chart is not None
    assert chart.title == "At most 60 good parts lie on the shelf, in January 2027"
    assert len(chart.table.rows) == 12
    assert texts(chart.on_paper) == [
        ["2027-01-01", "0", "60", "10", "50"],
        ["2027-07-01", "0", "60", "10", "50"],
        ["2027-12-01", "10", "0", "10", "0"],
    ]


def test_the_money_is_drawn_with_the_month_by_which_half_of_it_is_out() -> None:
    """The second order is paid on 1 July, when it is delivered."""
    chart = view_of(two_orders()).money
    assert chart is not None
    assert chart.title == "Half of 1,260 EUR is paid by December 2026"
    assert texts(chart.on_paper) == [
        ["December 2026", "630.00", "630.00", "630.00"],
        ["July 2027", "630.00", "630.00", "1,260.00"],
    ]
    assert len(chart.table.rows) == 8
    assert "printing" not in chart.svg


def test_the_money_of_the_best_plan_without_a_tool_is_drawn_beside_it() -> None:
    chart = view_of(die_or_none()).money
    assert chart is not None
    assert "machining at Mill Lane" in chart.svg
    assert "2,000 EUR" in chart.svg


def test_the_printed_money_of_every_month_adds_up_to_what_is_paid() -> None:
    """Thirds of a cent: 7 pieces at 0.333 in each of twelve months."""
    content = forms(a_quote("ash-1", an_item("0.3333 EUR per 1")), part=a_part(84))
    study = studied(content)
    assert study.planning is not None
    plan = study.planning.plan
    assert plan is not None
    months = money_months(plan, "EUR")
    assert months[-1].so_far == sum((each.total for each in months), Fraction(0))
    assert abs(months[-1].so_far - plan.paid) <= Fraction(1, 200)
    assert all((each.total * 100).denominator == 1 for each in months)


def test_the_plan_stands_beside_the_best_plan_of_each_other_route() -> None:
    """By hand: the second order is delivered on 29 January, before the first is used up."""
    assert texts(view_of(die_or_none()).routes) == [
        ["200 castings in 12 orders", "1,480.00", "1,480.00", "880.00", "102.00", "880.00", "0"],
        ["200 machined parts in 12 orders", "2,000.00", "2,000.00", "0.00", "340.00", "0.00", "0"],
    ]


def test_half_and_double_the_months_say_what_would_be_ordered() -> None:
    """By hand: 100 in half a year cost 1,180 with the die and 1,000 without it."""
    rows = texts(view_of(die_or_none()).others)
    assert rows[0] == ["6", "100 machined parts in 6 orders", "1,000.00", "1,000.00", "10.00"]
    assert [row[0] for row in rows] == ["6", "12", "24"]
    assert rows[1][1:3] == ["200 castings in 12 orders", "1,480.00"]


def test_a_limit_says_what_it_costs_and_whether_the_plan_keeps_it_anyway() -> None:
    """By hand: without the die 2,000 instead of 1,480."""
    view = view_of(die_or_none(workshop={"tooling_budget": "500 EUR"}))
    assert texts(view.limits) == [
        ["Tools in a year", "500 EUR", "1,480.00", "2,000.00", "520.00"],
    ]
    assert smalls(view.limits) == ["or less: not every plan was looked at"]
    assert view.told[0] == (
        "The limits on money cost 520 EUR, or less: not every plan that keeps them was looked at."
    )
    kept = view_of(die_or_none(workshop={"tooling_budget": "900 EUR"}))
    assert smalls(kept.limits) == ["the plan keeps it anyway"]


def test_where_no_plan_keeps_a_limit_the_best_one_without_it_is_shown_and_it_is_said() -> None:
    view = view_of(two_orders(money_tied_up_at_most="1 EUR"))
    assert view.finding.startswith("No plan that was looked at keeps every limit.")
    assert texts(view.limits)[0][3:] == [NONE, NONE]
    assert len(view.steps) == 1


def test_a_demand_that_comes_too_early_names_the_month_the_pieces_and_the_first_day() -> None:
    view = view_of(two_orders(needed_by="2026-11-03"))
    assert view.finding == (
        "There is no plan. 10 good parts would lack in the month from 3 November 2026: nobody "
        "delivers so early. The first parts can be here on 16 November 2026."
    )
    assert view.orders is None


def test_a_need_that_is_too_large_is_given_a_cost_below_which_no_plan_lies() -> None:
    item = an_item("10 EUR per 1")
    content = forms(a_quote("ash-1", item), part=a_part(30_000), workshop=a_workshop(**FREE_MONEY))
    assert view_of(content).finding == (
        "A plan to the piece for 30,000 good parts takes too long; no plan can cost less than "
        "300,000 EUR."
    )


def test_parts_that_come_late_stand_in_the_title_and_in_a_column_of_their_own() -> None:
    """By hand: the first order comes on 16 November, for the month from 3 December."""
    view = view_of(two_orders(needed_by="2026-11-03", late_costs="1 EUR"))
    assert view.stock is not None
    assert view.stock.title.endswith("and up to 10 come late")
    assert view.stock.table.columns[-1].head == "Late"
    assert view.assumed[-1].text == (
        "A part may come late; it is delivered later and costs 1 EUR a month."
    )
    assert smalls(view.orders)[:2] == ["Ash", "10 late"]


def test_a_plan_without_cover_says_how_likely_the_shelf_is_to_be_empty() -> None:
    """By hand: ten on hand last until 3 December, when the first order can be there.

    With 60 at the least, 120 likely and 240 at the most, the chance of more than likely is 2/3.
    """
    demand = {"low": "60", "likely": "120", "high": "240"}
    view = view_of(two_orders(needed_by="2026-11-03", on_hand="10", demand=demand))
    cover = view.assumed[-1]
    assert cover.rule == "R19"
    assert cover.text.startswith("Not enough can be left for a demand of 240 a year")
    assert cover.text.endswith("the chance that the shelf is empty before is 67 %.")


@pytest.mark.parametrize(
    ("part", "workshop", "said"),
    [
        ({}, {}, "The months are counted from 1 January 2027, when the parts are needed."),
        ({"needed_by": None}, {}, "16 November 2026, when the slowest of the offers delivers"),
        ({}, {}, "Money costs 0 % a year, compounded by day."),
        ({}, {}, "Storage costs 12 % of their value a year"),
        ({}, {}, "Nobody has said how likely the design is to stand"),
        ({"design_stands": "80 % a year"}, {}, "The design stands with a chance of 80 % a year."),
        ({"surplus_is_worth": "25 %"}, {}, "a part left at the end is worth 25 % of its cost"),
        ({}, {}, "Ash states no terms of payment: pieces are taken as paid on delivery"),
        ({}, {}, "Prices of Ash hold until 31 December 2026; no rise is stated"),
    ],
)
def test_what_the_plan_takes_for_granted_is_said(
    part: dict[str, Any], workshop: dict[str, Any], said: str
) -> None:
    view = view_of(two_orders(workshop=workshop, **part))
    assert [said for each in view.assumed if said in each.text] == [said]
    assert all(each.place for each in view.assumed)


def test_where_nothing_is_quoted_nothing_is_planned() -> None:
    assert plan_view(studied(nothing_quoted())) is None


def test_what_is_on_hand_for_all_months_leaves_nothing_to_order() -> None:
    study = studied(two_orders(on_hand="200"))
    assert study.planning is None
    assert plan_view(study) is None
