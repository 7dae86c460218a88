"""From order to shelf: what the bars are, and from which day they count."""

from __future__ import annotations

from typing import Any

from quotegen.judge.studied import PartStudy
from quotegen.report.views.time import finding, timeline
from tests.folders import a_part, a_quote, a_tool, a_workshop, an_item, forms
from tests.published.test_break_even_of_the_route import poured_or_printed
from tests.report.studies import bridged, study_of


def _study(*items: Any, **part: Any) -> PartStudy:
    names = ("ash", "elm")
    quotes = [a_quote(f"{name}-1", item) for name, item in zip(names, items, strict=False)]
    workshop = a_workshop(planning_start="2027-01-04", sample_approval="10 working days")
    content = forms(*quotes, part=a_part(100, **part), workshop=workshop)
    return study_of(content).parts["p"]


def test_every_day_counts_from_an_order_on_the_planned_day_and_the_drawing_says_so() -> None:
    study = _study(an_item("10 EUR per 1"), needed_by="2027-03-01")
    drawn = timeline(study.comparison, study.advice, others=False)
    assert drawn is not None
    assert drawn.note == "All days count from an order on 4 January 2027; a later order moves them."
    assert [cell.text for cell in drawn.table.rows[0].cells][2:] == ["2027-01-04", "2027-01-18"]
    assert drawn.title == "First parts are on the shelf 6 weeks before they are needed"


def test_a_bridge_covers_the_wait_at_the_high_demand() -> None:
    study = study_of(bridged()).parts["p"]
    assert finding(study.comparison, study.advice) == (
        "54 prints cover the wait even at 160 a year"
    )


def test_a_bridge_that_is_begun_later_covers_the_wait_at_the_likely_demand_only() -> None:
    """The die is ordered 7 days after the prints are here, and only its 52 days are covered.

    34 are used in two months, 62.05 at 365 a year; 60 are printed.
    """
    study = study_of(poured_or_printed(needed_by="2026-11-02")).parts["p"]
    assert finding(study.comparison, study.advice) == "60 prints cover the wait at 200 a year"


def test_each_step_has_a_fill_that_the_key_names() -> None:
    tool = a_tool("100 EUR", takes="10 working days", sample_takes="5 working days")
    study = _study(an_item("10 EUR per 1", tools=[tool]))
    drawn = timeline(study.comparison, study.advice, others=False)
    assert drawn is not None
    for name in ("tool", "samples", "our approval", "run"):
        assert f">{name}<" in drawn.svg
    assert ">on the way<" not in drawn.svg


def test_tied_routes_stand_in_a_row_each_and_none_is_recommended() -> None:
    """Ten and twenty working days from 4 January: 18 January and 1 February."""
    study = _study(an_item("10 EUR per 1"), an_item("10.10 EUR per 1", lead_time="20 working days"))
    drawn = timeline(study.comparison, study.advice, others=False)
    assert drawn is not None
    assert drawn.title == "First parts come 14 days apart"
    assert [row.cells[0].text for row in drawn.table.rows] == ["Machining, Ash", "Machining, Elm"]


def test_parts_that_come_after_they_are_needed_are_not_said_to_come_before() -> None:
    """What is on hand lasts: 100 a year, 60 on hand, needed two weeks before they come."""
    study = _study(an_item("10 EUR per 1"), needed_by="2027-01-08", on_hand="60")
    assert finding(study.comparison, study.advice) == (
        "First parts are on the shelf on 18 January 2027; what is on hand lasts till then"
    )
