"""The money behind a signature: what is ordered now, what a year comes to, by when to decide."""

from __future__ import annotations

import datetime
from fractions import Fraction
from typing import Any

from quotegen.judge.studied import PartStudy
from quotegen.report.views.agree import agreement_of
from quotegen.report.views.figures import figures_of
from quotegen.report.views.orders import agreed_now, decide_by, first_year, orders_now
from quotegen.report.views.report import report_of
from tests.folders import Forms, a_part, a_quote, a_tool, a_workshop, an_item, forms
from tests.report.studies import bridged, study_of

INSPECTED = {
    "operations": ["inspection"],
    "completion": [{"operation": "inspection", "price": "1 EUR per piece", "source": "test"}],
}


def _study(content: Forms) -> PartStudy:
    return study_of(content).parts["p"]


def _at_three_years(item: Any, **part: Any) -> PartStudy:
    """100 a year for 36 months, in lots of 30 unless the part says otherwise."""
    form = a_part(100, **{"lot": "30", **part})
    workshop = a_workshop(planning_months="36")
    return _study(forms(a_quote("ash-1", item), part=form, workshop=workshop))


def test_what_the_supplier_is_paid_and_our_own_work_are_told_apart() -> None:
    """100 at 10 are the supplier's 1,000; inspecting them at 1 is ours."""
    content = forms(
        a_quote("ash-1", an_item("10 EUR per 1")),
        part=a_part(100, operations=INSPECTED["operations"]),
        workshop=a_workshop(completion=INSPECTED["completion"]),
    )
    study = _study(content)
    assert study.advice.cost is not None
    (order,) = orders_now(study.advice.cost)
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


def test_a_balance_and_a_replacement_are_not_due_with_the_first_order() -> None:
    """A tool of 100 for 40 pieces: 30 are ordered first, and 300 over the plan."""
    study = _at_three_years(an_item("10 EUR per 1", tools=[a_tool("100 EUR", life="40")]))
    assert study.advice.cost is not None
    assert agreed_now(study.advice.cost) == 100 + 30 * 10
    assert study.advice.cost.total == 100 * 8 + 300 * 10


def test_the_first_year_takes_the_orders_of_the_plan_that_its_demand_needs() -> None:
    """Four lots of 30 for 100; three tools for 120 pieces, and 12 a year for keeping them."""
    tool = a_tool("100 EUR", life="40", storage="12 EUR")
    study = _at_three_years(an_item("10 EUR per 1", tools=[tool]))
    assert study.advice.cost is not None
    year = first_year(study.comparison, study.advice.cost)
    assert year is not None
    assert (year.good, year.amount) == (100, 120 * 10 + 3 * 100 + 12)
    assert year.agreed == 100 + 30 * 10
    figure = figures_of(study.comparison, study.advice)[1]
    assert (figure.label, figure.value) == ("First 12 months, 100 good parts", "1,512 EUR")
    assert figure.note == "1,112 EUR beyond what is agreed now"


def test_a_year_that_the_first_order_covers_costs_what_is_agreed() -> None:
    study = _at_three_years(an_item("10 EUR per 1"), lot="150", on_hand="20")
    assert study.advice.cost is not None
    year = first_year(study.comparison, study.advice.cost)
    assert year is not None
    assert (year.good, year.amount, year.agreed) == (80, 1500, 1500)


def test_a_yearly_minimum_value_is_held_against_one_year() -> None:
    """3,000 a year over three years: 40 at 10 in the first year leave 2,600 to lift."""
    item = an_item("10 EUR per 1", minimum_value={"value": "3000 EUR", "per": "year"})
    study = _at_three_years(item, demand={"low": "40", "likely": "40", "high": "40"}, lot="40")
    assert study.advice.cost is not None
    year = first_year(study.comparison, study.advice.cost)
    assert year is not None
    assert year.amount == 3000


def test_a_plan_of_a_year_has_no_other_first_year() -> None:
    study = _study(forms(a_quote("ash-1", an_item("10 EUR per 1"))))
    assert study.advice.cost is not None
    assert first_year(study.comparison, study.advice.cost) is None
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
        "Order by 1 February 2027, the day from which all dates here count. Sign with Ash by "
        "31 December 2026: the price ends then."
    )


def test_what_is_not_agreed_today_says_what_becomes_of_its_price() -> None:
    item = an_item("10 EUR per 1", price_hold={"until": "2027-12-31", "then": "3 % a year"})
    study = _at_three_years(item, lot="200")
    points = agreement_of(study.comparison, study.advice).points
    assert points[1] == (
        "Not agreed today: 1 later order of 100 pieces, 1,000.00 EUR at the prices quoted now. "
        "Ash holds its price until 31 December 2027 and may raise it by 3 % a year after that."
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
