"""The advice in sentences: the figures in them are those of the comparison."""

from __future__ import annotations

from typing import Any

import pytest

from quotegen.judge.reasons import (
    VERBS,
    doing,
    effect_sentence,
    headline,
    lead,
    reasons_for,
    route_words,
)
from quotegen.model.fields import Process
from tests.folders import (
    Result,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_workshop,
    an_item,
    forms,
    result_of,
)


def at(price: str, name: str, **item: Any) -> Any:
    return a_quote(f"{name}-1", an_item(f"{price} EUR per 1", **item))


def found(*quotes: Any, workshop: Any = None, likely: int = 100, **part: Any) -> Result:
    suppliers = {
        "oak": a_supplier(name="Oak", processes=["metal printing"]),
        "ash": a_supplier(name="Ash", processes=["investment casting"]),
    }
    content = forms(
        *quotes,
        workshop=a_workshop(**(workshop or {})),
        part=a_part(likely, **part),
        suppliers=suppliers,
    )
    return result_of(content)


def said(result: Result) -> str:
    return " ".join(reasons_for(result.comparison, result.advice))


def head(result: Result) -> str:
    return headline(result.comparison, result.advice)


def test_every_process_has_a_verb() -> None:
    assert set(VERBS) == set(Process)


def test_a_chosen_route_is_told_with_its_cost_its_rival_and_its_payback() -> None:
    """100 castings at 5 and a die for 100 are 600, 6 each; prints at 9 are 900; pays from 26 on."""
    result = found(at("5", "ash", tools=[a_tool("100 EUR")]), at("9", "oak"))
    assert head(result) == "Pour the pawl at Ash."
    for fact in (
        "600 EUR",
        "6.00 EUR each",
        "300 EUR more, 50 %",
        "number 26 on",
        "25.00 pieces",
    ):
        assert fact in said(result)
    told = lead(result.comparison, result.advice)
    for fact in ("600 EUR", "300 EUR less than printing at Oak", "100 EUR", "number 26 on"):
        assert fact in told


def test_a_bridge_is_told_in_the_headline() -> None:
    """120 days from 2 November end on 2 March, in the second month from 9 January: what comes then
    counts from the third, and two months at 365 a year use 61 parts."""
    late = at("5", "ash", lead_time="120 days", tools=[a_tool("100 EUR")])
    result = found(late, at("9", "oak"), likely=365, needed_by="2027-01-09")
    route = result.advice.route
    assert route is not None
    assert head(result) == "Pour the pawl. Print the first 61 while the wax die is made."
    assert route_words(route) == "print 61, then pour"
    assert doing(route) == "printing 61 at Oak, then pouring at Ash"


def test_a_tie_is_a_result_and_names_all_that_are_close() -> None:
    result = found(at("10", "ash"), at("10.20", "oak"))
    assert head(result) == "The pawl: too close to call."
    for fact in ("3 %", "1,000 EUR", "1,020 EUR"):
        assert fact in said(result)


def test_where_not_enough_is_known_the_saving_and_what_to_ask_are_told() -> None:
    result = found(at("10", "oak"), at("8", "ash", revision="B"))
    assert head(result) == "Ask before you order the pawl."
    for fact in ("200 EUR", "revision B", "Ask for a new quote", "1,000 EUR"):
        assert fact in said(result)


def test_without_a_saving_to_compare_what_is_known_is_told() -> None:
    assert "800 EUR" in said(found(at("8", "ash", revision="B")))
    assert "no price" in said(found(a_quote("ash-1", an_item("not quoted"))))


def test_where_there_is_no_route_every_quote_says_why() -> None:
    quotes = [
        at("10", "oak", capacity_a_month="5"),
        at("10", "ash", lead_time="300 days"),
        a_quote("elm-1", an_item("9 EUR per 1"), valid_until="2026-11-01"),
    ]
    result = found(*quotes, needed_by="2026-12-01")
    assert head(result) == "No route for the pawl yet."
    for fact in ("cannot make 100", "30 August 2027", "1 December 2026", "1 November 2026"):
        assert fact in said(result)
    assert "no quote" in said(found())


def test_where_nothing_is_needed_nothing_is_ordered() -> None:
    result = found(at("10", "oak"), on_hand="100")
    assert head(result).startswith("Order nothing for the pawl")
    assert "on hand" in said(result)


def test_an_expired_quote_that_would_cost_less_is_told_with_its_saving() -> None:
    expired = a_quote("ash-1", an_item("8 EUR per 1"), valid_until="2026-11-01")
    assert "200 EUR less" in said(found(at("10", "oak"), expired))


def test_parts_beyond_the_need_are_told() -> None:
    told = said(found(at("10", "oak", multiple="14")))
    assert "112 good parts, 12 more" in told


def test_a_tool_that_does_not_stay_cheaper_is_told_so() -> None:
    """600 to 900 at 100 parts; the 101st needs a tool for 2,000 more, which never comes back."""
    worn = a_tool("100 EUR", life="100", replacement="2000 EUR")
    result = found(at("5", "ash", tools=[worn]), at("9", "oak"))
    assert head(result) == "Pour the pawl at Ash."
    assert "does not pay back within 200" in said(result)
    assert "changes at 26 and 101" in said(result)


@pytest.mark.parametrize(
    ("item", "facts"),
    [
        ({"minimum": "118"}, ("minimum of 118", "18 pieces", "180.00 EUR")),
        ({"multiple": "17"}, ("multiple of 17", "2 pieces", "20.00 EUR")),
        (
            {"minimum_value": {"value": "1500 EUR"}},
            ("500.00 EUR", "150 pieces come to the same invoice"),
        ),
    ],
)
def test_an_effect_is_told_with_pieces_and_money(item: Any, facts: tuple[str, ...]) -> None:
    (effect,) = found(at("10", "oak", **item)).comparison.effects
    told = effect_sentence(effect, "EUR")
    assert all(fact in told for fact in facts), told


def test_a_break_that_pays_is_told_with_what_stays_on_the_shelf() -> None:
    item = an_item({1: "10 EUR per 1", 110: "5 EUR per 1"})
    (effect,) = found(a_quote("oak-1", item), lot="200").comparison.effects
    told = effect_sentence(effect, "EUR")
    assert all(fact in told for fact in ("buy 110", "10 pieces", "50.00 EUR")), told


def test_a_change_that_is_planned_for_later_is_told_with_its_month() -> None:
    """Two a month in the first year are printed; then sixty a month pay for a die, and not before.

    A print is 9 and a casting 5, the die 400: it saves nothing on the 24 of the first year.
    """
    months = ["2"] * 12 + ["60"] * 12
    demand = {"low": "24", "likely": "24", "high": "24", "by month": months}
    cast = at("5", "ash", tools=[a_tool("400 EUR")], minimum="300")
    workshop = {"planning_months": "24", "storage": "24 % a year"}
    result = found(cast, at("9", "oak"), workshop=workshop, demand=demand, needed_by="2027-01-04")
    assert head(result) == "Pour the pawl from January 2028. Print the first 24 until then."


def test_a_limit_that_binds_is_told_with_what_it_costs() -> None:
    """A set-up of 60 for each order; a shelf for 50 makes two orders out of one."""
    set_up = {"what": "set-up", "amount": "60 EUR", "per": "order"}
    result = found(at("9", "oak", charges=[set_up]), needed_by="2027-01-04", shelf_holds="50")
    told = "The limit of 50 for good parts on the shelf costs 60 EUR in today's money;"
    assert told in said(result)
    assert told in lead(result.comparison, result.advice)
