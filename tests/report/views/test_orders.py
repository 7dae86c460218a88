"""The money behind a signature: what is ordered now, what a year comes to, by when to decide."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Any

import pytest

from quotegen.basics.printed import round_money
from quotegen.judge.reasons import made_by
from quotegen.judge.studied import PartStudy
from quotegen.report.views.agree import agreement_of
from quotegen.report.views.figures import figures_of
from quotegen.report.views.orders import (
    agreed_now,
    decide_by,
    first_orders,
    first_year,
    orders_now,
    owed_at_end,
)
from quotegen.report.views.report import report_of
from tests.folders import Forms, a_part, a_quote, a_tool, a_workshop, an_item, forms
from tests.report.plans import die_or_none, two_orders
from tests.report.studies import bridged, poured_or_machined, study_of

INSPECTED = {
    "operations": ["inspection"],
    "completion": [{"operation": "inspection", "price": "1 EUR per piece", "source": "test"}],
}


def _study(content: Forms) -> PartStudy:
    return study_of(content).parts["p"]


def _at_three_years(item: Any, **part: Any) -> PartStudy:
    """100 a year for 36 months; keeping parts costs nothing, so that one order is the cheapest."""
    form, workshop = a_part(100, **part), a_workshop(planning_months="36")
    return _study(forms(a_quote("ash-1", item), part=form, workshop=workshop))


def _month_by_month(item: Any, **part: Any) -> PartStudy:
    """The same where keeping costs money and an order costs nothing: each month's need by itself.

    100 a year are 9, 8 and 8 pieces and so on; a month begins on the 16th, when they arrive.
    """
    workshop = a_workshop(planning_months="36", storage="12 % a year")
    content = forms(a_quote("ash-1", item), part=a_part(100, **part), workshop=workshop)
    return _study(content)


def test_what_the_supplier_is_paid_and_our_own_work_are_told_apart() -> None:
    """100 at 10 are the supplier's 1,000; inspecting them at 1 is ours."""
    content = forms(
        a_quote("ash-1", an_item("10 EUR per 1")),
        part=a_part(100, operations=INSPECTED["operations"]),
        workshop=a_workshop(completion=INSPECTED["completion"]),
    )
    study = _study(content)
    assert study.advice.cost is not None
    (order,) = orders_now(study.advice, study.advice.cost)
    assert (order.paid, order.beside) == (1000, 100)
    table = agreement_of(study.comparison, study.advice).orders
    assert table is not None
    assert [each.text for each in table.rows[0].cells][2:] == ["1,000.00", "100.00", "1,100.00"]


def test_the_columns_of_what_to_order_add_up_as_printed() -> None:
    """Three amounts of a third of a cent more than whole ones."""
    content = bridged()
    study = _study(content)
    agree = agreement_of(study.comparison, study.advice)
    assert agree.orders is not None
    assert agree.orders.foot is not None
    for column in (2, 3, 4):
        shown = [Fraction(row.cells[column].text.replace(",", "")) for row in agree.orders.rows]
        total = Fraction(agree.orders.foot.cells[column].text.replace(",", ""))
        assert sum(shown) == total
    assert agree.orders.foot.cells[4].text in agree.title


def test_a_replacement_is_due_with_the_order_that_needs_it() -> None:
    """A tool of 100 for 40 pieces is not worn by the first 9; one for 5 pieces needs another."""
    for life, first in (("40", 100 + 9 * 10), ("5", 100 + 9 * 10 + 100)):
        study = _month_by_month(an_item("10 EUR per 1", tools=[a_tool("100 EUR", life=life)]))
        assert study.advice.cost is not None
        assert agreed_now(study.advice, study.advice.cost) == first
        assert study.advice.paid(study.advice.cost) == 300 * 10 + 100 * -(-300 // int(life))


def test_a_balance_is_owed_by_the_pieces_of_the_plan_and_not_agreed_now() -> None:
    """2 in each of the first 310 pieces for the die, and 300 are bought: 10 x 2 are owed."""
    spread = {"what": "die", "each": "2 EUR", "over": "310"}
    study = _month_by_month(an_item("10 EUR per 1", spread_tool=spread))
    assert study.advice.cost is not None
    assert owed_at_end(study.advice, study.advice.cost) == 20
    assert agreed_now(study.advice, study.advice.cost) == 9 * 10
    figures = figures_of(study.comparison, study.advice)
    assert figures[0].note == (
        "the first order, 9 machined parts; 20 EUR more are owed when orders stop"
    )
    points = agreement_of(study.comparison, study.advice).points
    assert points[1].startswith(
        "Not agreed today: 35 later orders of at most 9 pieces, 2,930.00 EUR as the plan has it, "
        "20.00 EUR of it when orders stop."
    )


def test_the_first_year_takes_the_orders_of_the_plan_that_its_demand_needs() -> None:
    """100 pieces in twelve orders, three tools for them, and 12 for a year of keeping the tool.

    The order for the thirteenth month arrives on the day after the year, 16 November 2027: its 9
    pieces and the next 12 are not in it. 9 pieces and a tool of the 1,312 are agreed now.
    """
    tool = a_tool("100 EUR", life="40", storage="12 EUR")
    study = _month_by_month(an_item("10 EUR per 1", tools=[tool]))
    assert study.advice.cost is not None
    year = first_year(study.advice, study.advice.cost)
    assert year is not None
    assert (year.good, year.amount) == (100, 100 * 10 + 3 * 100 + 12)
    assert year.agreed == 100 + 9 * 10
    figure = figures_of(study.comparison, study.advice)[1]
    assert (figure.label, figure.value) == (
        "First 12 months of use, 100 good parts",
        "1,312 EUR",
    )
    assert figure.note == "1,122 EUR beyond what is agreed now"


def test_a_year_that_the_first_order_covers_costs_what_is_agreed() -> None:
    """100 are used in the first year, 20 of them from the shelf; 280 are bought at once."""
    study = _at_three_years(an_item("10 EUR per 1"), on_hand="20")
    assert study.advice.cost is not None
    year = first_year(study.advice, study.advice.cost)
    assert year is not None
    assert (year.good, year.amount, year.agreed) == (100, 2800, 2800)
    assert figures_of(study.comparison, study.advice)[1].note == "covered by what is agreed now"


LATE = {"share": "100 %", "when": "delivery", "days": "400"}


def test_what_of_the_first_orders_is_paid_after_a_year_is_said() -> None:
    """The invoice of 3,000 for 300 pieces is due 400 days after delivery."""
    content = forms(
        a_quote("ash-1", an_item("10 EUR per 1"), payment=[LATE]),
        part=a_part(100),
        workshop=a_workshop(planning_months="36"),
    )
    study = _study(content)
    figure = figures_of(study.comparison, study.advice)[1]
    assert (figure.value, figure.note) == (
        "0 EUR",
        "3,000 EUR of what is agreed now are paid later",
    )


def test_a_yearly_minimum_value_is_lifted_when_the_plan_ends_and_not_agreed_now() -> None:
    """3,000 a year over three years, and 120 at 10 at once: 7,800 are paid at the end."""
    item = an_item("10 EUR per 1", minimum_value={"value": "3000 EUR", "per": "year"})
    study = _at_three_years(item, demand={"low": "40", "likely": "40", "high": "40"})
    assert study.advice.cost is not None
    year = first_year(study.advice, study.advice.cost)
    assert year is not None
    assert (year.amount, year.agreed) == (1200, 1200)
    assert study.advice.paid(study.advice.cost) == 9000
    points = agreement_of(study.comparison, study.advice).points
    assert points[1] == "Not due today: 7,800.00 EUR by the year or when orders stop."


def test_a_plan_of_a_year_has_no_other_first_year() -> None:
    study = _study(forms(a_quote("ash-1", an_item("10 EUR per 1"))))
    assert study.advice.cost is not None
    assert first_year(study.advice, study.advice.cost) is None
    assert figures_of(study.comparison, study.advice)[1].label.startswith("Each, all in")


def _decided(start: str, *quotes: Any) -> datetime.date | None:
    study = _study(forms(*quotes, workshop=a_workshop(planning_start=start)))
    return decide_by(study.comparison, study.advice)


def test_the_decision_is_due_by_the_planned_order_or_before_the_first_price_ends() -> None:
    """Prices end on 31 December 2026; an order planned for today is no reason to hurry."""
    quote = a_quote("ash-1", an_item("10 EUR per 1"))
    assert _decided("2026-12-01", quote) == datetime.date(2026, 12, 1)
    assert _decided("2027-02-01", quote) == datetime.date(2026, 12, 31)
    assert _decided("2026-11-02", quote) == datetime.date(2026, 12, 31)


def test_a_tie_is_due_by_the_earliest_last_day_of_any_of_its_offers() -> None:
    quotes = (
        a_quote("ash-1", an_item("10 EUR per 1")),
        a_quote("elm-1", an_item("10.10 EUR per 1"), valid_until="2026-11-20"),
    )
    assert _decided("2026-11-02", *quotes) == datetime.date(2026, 11, 20)


def test_where_a_price_ends_before_the_planned_order_it_is_signed_by_then() -> None:
    content = forms(
        a_quote("ash-1", an_item("10 EUR per 1")), workshop=a_workshop(planning_start="2027-02-01")
    )
    study = _study(content)
    (when, _) = agreement_of(study.comparison, study.advice).points
    assert when == (
        "All dates here count from an order on 1 February 2027. Sign with Ash by "
        "31 December 2026: the price ends then."
    )


def test_what_is_not_agreed_today_says_what_becomes_of_its_price() -> None:
    """Two orders of 60 at 10 and 30 each; ten working days, with two days of feast among them,
    end on 31 December 2026, so that the first goes out by 16 December.
    """
    item = an_item(
        "10 EUR per 1",
        charges=[{"what": "set-up", "amount": "30 EUR", "per": "order"}],
        price_hold={"until": "2027-12-31", "then": "3 % a year"},
    )
    content = two_orders()
    content = forms(a_quote("ash-1", item), workshop=content.workshop, part=content.parts["p"])
    study = _study(content)
    points = agreement_of(study.comparison, study.advice).points
    assert points[1:3] == (
        "The plan has time until 16 December 2026: its first order goes out by then.",
        (
            "Not agreed today: 1 later order of 60 pieces, 630.00 EUR as the plan has it. Ash "
            "holds its price until 31 December 2027 and may raise it by 3 % a year after that."
        ),
    )


def test_a_tie_has_a_tick_for_each_route_and_the_price_of_each_first_order() -> None:
    quotes = (
        a_quote("ash-1", an_item("10 EUR per 1")),
        a_quote("elm-1", an_item("10.10 EUR per 1")),
    )
    study = _study(forms(*quotes))
    agree = agreement_of(study.comparison, study.advice)
    assert agree.choices == ("machining at Ash", "machining at Elm")
    assert agree.orders is not None
    assert [row.cells[-1].text for row in agree.orders.rows] == ["1,000.00", "1,010.00"]
    assert agree.orders.foot is None


def test_in_a_tie_nothing_is_marked_as_chosen() -> None:
    quotes = (
        a_quote("ash-1", an_item("10 EUR per 1")),
        a_quote("elm-1", an_item("10.10 EUR per 1")),
    )
    part = report_of(study_of(forms(*quotes)), "0.1.0").parts["p"]
    tables = (part.routes, part.money.offers, part.brief.routes)
    assert all(table is not None for table in tables)
    assert not any(row.marked for table in tables if table is not None for row in table.rows)
    assert not any(bill.marked for bill in part.money.bills)
    drawings = (part.quantity.total, part.quantity.each, part.timeline, part.money.stacked)
    assert not any("#8a2a10" in each.svg for each in drawings if each is not None)


def test_what_the_quote_says_of_cancelling_is_quoted_and_not_asked() -> None:
    terms = [{"term": "cancelling", "text": "Free until the run.", "could turn": "no"}]
    study = _study(forms(a_quote("ash-1", an_item("10 EUR per 1"), terms=terms)))
    points = agreement_of(study.comparison, study.advice).points
    assert points[-1] == "Cancelling. Ash: Free until the run."
    assert "cancelling" not in {each.code for each in study.advice.questions}


def _on_time(content: Forms) -> str:
    study = _study(content)
    points = agreement_of(study.comparison, study.advice).points
    (told,) = [each for each in points if each.startswith("The plan has time")]
    return told


def test_a_bridged_plan_has_time_for_each_of_its_first_orders() -> None:
    """Castings take 150 days to 2 April, the last working day before the month from 4 April; their
    die takes none. Prints take ten working days to 4 December.
    """
    assert _on_time(bridged()) == (
        "The plan has time: the wax die by 3 November 2026, 280 castings by 3 November 2026 and "
        "54 prints by 20 November 2026."
    )


@pytest.mark.parametrize(
    ("hold", "asked"),
    [
        (None, " Agree with Ash that the price holds so long."),
        ({"until": "2026-12-10"}, " Agree with Ash that the price holds so long."),
        ({"until": "2026-12-16"}, ""),
        ({"until": "2026-12-10", "then": "3 % a year"}, ""),
    ],
)
def test_a_price_that_ends_before_the_plan_orders_has_to_be_agreed(hold: Any, asked: str) -> None:
    """Quoted until 1 December, ordered by the 16th; a stated rise is in the plan already."""
    form = two_orders()
    ((_, quote),) = form.quotes
    (item,) = quote["items"]
    item = item if hold is None else item | {"price hold": hold}
    quote = quote | {"valid until": "2026-12-01", "items": [item]}
    content = forms(quote, workshop=form.workshop, part=form.parts["p"])
    assert _on_time(content) == (
        f"The plan has time until 16 December 2026: its first order goes out by then.{asked}"
    )


@pytest.mark.parametrize("content", [bridged(), poured_or_machined(), two_orders(), die_or_none()])
def test_the_brief_agrees_with_the_plan(content: Forms) -> None:
    """All that is paid, and what is signed: the first order of each offer, and nothing else."""
    study = _study(content)
    advice, cost = study.advice, study.advice.cost
    assert cost is not None
    assert advice.plan is not None
    plan = advice.plan
    assert figures_of(study.comparison, advice)[2].value == round_money(plan.paid, "EUR")
    firsts = {order.offer.name: order for order in reversed(plan.orders)}
    for offer, pieces in first_orders(advice, cost):
        assert firsts.pop(offer.name).pieces == pieces
        assert any(made_by(offer, pieces) in order.what for order in orders_now(advice, cost))
    assert not firsts
    first = {order.offer.name: order for order in reversed(plan.orders)}.values()
    rest = sum((order.total for order in plan.orders if order not in first), Fraction(0))
    assert agreed_now(advice, cost) + rest == plan.paid
