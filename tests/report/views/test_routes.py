"""The routes side by side: named ones first, every one counted, replaced ones left out."""

from __future__ import annotations

from quotegen.report.views.report import report_of
from quotegen.report.views.routes import Routes, routes_of
from tests.folders import Forms, a_quote, an_item, forms
from tests.report.plans import die_or_none
from tests.report.studies import bridged, study_of


def _routes(content: Forms) -> Routes:
    study = study_of(content).parts["p"]
    return routes_of(study.comparison, study.advice)


def _rows(found: Routes) -> list[tuple[str, ...]]:
    assert found.table is not None
    return [
        (row.cells[0].small, *(cell.text for cell in row.cells[1:5])) for row in found.table.rows
    ]


def test_the_routes_that_the_lead_names_come_first_and_the_late_one_last() -> None:
    """Printing 330 at 31.40 is 10,362; pouring alone, with 2,200 first, comes too late to plan."""
    found = _routes(bridged())
    assert found.named == 2
    assert _rows(found) == [
        ("Brim Bureau and Foss Castings", "3,896", "7,788", "23.60", "\N{EN DASH}"),
        ("Brim Bureau", "0", "10,362", "31.40", "+2,574"),
        ("Foss Castings", "2,200", *["\N{EN DASH}"] * 2, "comes too late"),
    ]


def test_an_offer_without_a_price_has_a_row_and_a_replaced_one_has_none() -> None:
    found = _routes(
        forms(
            a_quote("ash-1", an_item("10 EUR per 1")),
            a_quote("elm-1", an_item("not quoted")),
            a_quote("oak-1", an_item("9 EUR per 1")),
            a_quote("oak-2", an_item("11 EUR per 1"), replaces="oak-1"),
        )
    )
    assert _rows(found) == [
        ("Ash", "0", "1,000", "10.00", "\N{EN DASH}"),
        ("Elm", *["\N{EN DASH}"] * 3, "no price yet"),
        ("Oak", "0", "1,100", "11.00", "+100"),
    ]


def test_an_expired_offer_is_told_from_one_that_is_too_late() -> None:
    found = _routes(
        forms(
            a_quote("ash-1", an_item("10 EUR per 1")),
            a_quote("elm-1", an_item("9 EUR per 1"), valid_until="2026-11-01"),
        )
    )
    assert _rows(found)[1] == ("Elm", "0", "900", "9.00", "cannot be signed")


def test_a_route_without_a_plan_is_told_from_one_that_is_too_late() -> None:
    """Two months' castings, 34 at 3, tie up 102; as many machined parts at 10 tie up 340."""
    content = die_or_none(money_tied_up_at_most="110 EUR")
    assert _rows(_routes(content)) == [
        ("Foss Castings", "880", "1,480", "7.40", "\N{EN DASH}"),
        ("Mill Lane", "0", *["\N{EN DASH}"] * 2, "no plan"),
    ]


def test_where_no_route_has_a_plan_every_one_of_them_says_so() -> None:
    found = _rows(_routes(die_or_none(money_tied_up_at_most="1 EUR")))
    assert sorted((who, against) for who, *_, against in found) == [
        ("Foss Castings", "no plan"),
        ("Mill Lane", "no plan"),
    ]


def test_a_tool_with_no_other_plan_to_hold_it_against_is_still_a_tool_to_pay() -> None:
    report = report_of(study_of(die_or_none(money_tied_up_at_most="110 EUR")), "0.1.0")
    assert report.index.parts is not None
    (row,) = report.index.parts.rows
    assert (row.cells[5].text, row.cells[5].small) == ("\N{EN DASH}", "nothing to compare")


def test_the_brief_says_how_many_routes_more_the_report_has() -> None:
    names = ("ash", "elm", "oak", "fir", "yew", "box", "bay", "may")
    quotes = [
        a_quote(f"{name}-1", an_item(f"{10 + number} EUR per 1"))
        for number, name in enumerate(names)
    ]
    part = report_of(study_of(forms(*quotes)), "0.1.0").parts["p"]
    assert part.routes is not None
    assert part.brief.routes is not None
    more = len(part.routes.rows) - len(part.brief.routes.rows)
    assert more > 0
    assert part.brief.more_routes == f"{more} more route{'s' if more > 1 else ''} in the report."
