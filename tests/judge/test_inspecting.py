"""What looking at deliveries means for each offer, as the page and the JSON tell it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.judge.inspecting import Inspected, inspected_offers
from quotegen.report.views.inspection import inspection_view
from tests.folders import Result, a_part, a_quote, a_workshop, an_item, forms, result_of

LABOUR = [{"work": "inspection", "rate": "60 EUR", "source": "test"}]


def found_for(likely: int = 56, item: dict[str, Any] | None = None, **part: Any) -> Result:
    """One order of 56 by AQL 1.0, unless something else is said."""
    form = a_part(likely, **{"lot": "56", "acceptance quality": "AQL 1.0"} | part)
    quote = a_quote("alder-1", an_item("3 EUR per 1", **(item or {})))
    return result_of(forms(quote, part=form, workshop=a_workshop(labour=LABOUR)))


def only(found: Result) -> Inspected:
    (one,) = inspected_offers(found.comparison)
    return one


def told(found: Result) -> list[str]:
    view = inspection_view(found.comparison, found.advice)
    return list(view.told) if view is not None else []


def test_a_lot_of_56_is_told_in_plain_words() -> None:
    """74,046 of 166,320 ways, 45 in 100; a sample of 35 for LQ 5 of lots to 90, of 30 for 56."""
    assert told(found_for()) == [
        (
            "A delivery of 56 pieces from Alder is judged by AQL 1.0, as a lot by itself, since "
            "too few are expected for a series: 13 are taken, and none of them may be bad."
        ),
        (
            "With 3 bad pieces among the 56 it still passes 45 times in 100. To let so bad a "
            "delivery (5 %, our own measure since the part states no limiting quality) pass at "
            "most 10 times in 100, 30 would have to be taken and none be bad."
        ),
        "What it costs is not counted: nobody stated the minutes for a piece and whose they are.",
    ]


def test_a_stated_limiting_quality_is_the_bad_lot() -> None:
    one = only(found_for(acceptance_quality="AQL 1.0, LQ 8"))
    assert (one.plan.sample, one.bad) == (24, 5)
    assert one.passes <= Fraction(1, 10)
    assert len(told(found_for(acceptance_quality="AQL 1.0, LQ 8"))[1]) < 80


def test_minutes_and_sorting_are_told_where_they_are_known() -> None:
    """At 4 % rejects 59 pieces are ordered for 56 good ones; the others are sorted if one fails."""
    part = {"inspection takes": "2 minutes a piece", "inspected by": "inspection"}
    found = found_for(item={"rejects": {"share": "4 %"}}, **part)
    one = only(found)
    assert one.minutes == 26
    assert one.to_sort is not None
    assert float(one.to_sort) == pytest.approx((1 - 0.96**13) * (59 - 13), abs=1e-4)
    assert told(found)[2] == (
        "Looking at a piece takes 2 minutes at 60 EUR an hour; each bill has it as a line, with "
        "the sorting of deliveries that fail, as far as the reject share lets us expect it."
    )


def test_what_nobody_stated_is_not_zero() -> None:
    one = only(found_for(item={"rejects": None}))
    assert (one.minutes, one.to_sort, one.destroyed) == (None, None, None)


def test_what_a_person_relies_on_is_checked_on_every_piece() -> None:
    features = [{"name": "pivot bore", "size": "10 mm", "tolerance": "H8"}]
    part = {"load": "a person relies on it", "features": features}
    found = found_for(acceptance_quality=None, **part)
    one = only(found)
    assert (one.plan.sample, one.plan.lot, one.passes) == (56, 56, 0)
    assert told(found)[0] == (
        "A person relies on the pawl, so every piece of every delivery is checked: pivot bore. No "
        "sampling plan takes its place."
    )


def test_a_part_that_asks_for_no_sample_has_no_section() -> None:
    assert told(found_for(acceptance_quality=None)) == []


def test_an_operation_of_ours_is_where_the_cost_stands() -> None:
    operations = ["incoming inspection"]
    done = {"operation": operations[0], "price": "1 EUR per 1", "source": "test"}
    form = a_part(56, lot="56", acceptance_quality="AQL 1.0", operations=operations)
    quote = a_quote("alder-1", an_item("3 EUR per 1"))
    workshop = a_workshop(completion=[done | {"done here": "yes"}])
    found = result_of(forms(quote, part=form, workshop=workshop))
    assert told(found)[2] == (
        "What it costs stands in the bills as incoming inspection, at our own price."
    )


def test_the_delivery_is_the_largest_order_or_what_the_part_says() -> None:
    assert only(found_for(150)).plan.lot == 56
    assert only(found_for(150, pieces_a_delivery="20")).plan.lot == 20
    assert only(found_for(150, item={"minimum": "200"})).plan.lot == 200


def test_with_nothing_to_buy_the_usual_delivery_is_shown() -> None:
    assert only(found_for(56, on_hand="1000")).plan.lot == 56


def test_destroyed_pieces_have_a_column_where_there_are_any() -> None:
    view = inspection_view(*_both(found_for(tested_to_destruction="2")))
    assert view is not None
    assert (view.table.columns[-1].head, view.table.rows[0].cells[-1].text) == ("Destroyed", "2")
    view = inspection_view(*_both(found_for()))
    assert view is not None
    assert view.table.columns[-1].head == "Sorted on average"


def _both(found: Result) -> tuple[Any, Any]:
    return found.comparison, found.advice


@pytest.mark.parametrize(
    ("quality", "likely", "table", "aim"),
    [("AQL 1.0", 560, True, False), ("LQ 8", 56, False, True), ("AQL 1.0, LQ 8", 56, False, True)],
)
def test_the_source_of_the_sample_is_named(
    quality: str, likely: int, table: bool, aim: bool
) -> None:
    view = inspection_view(*_both(found_for(likely, acceptance_quality=quality)))
    assert view is not None
    assert ("Tables 1 and 2-A" in view.sources) is table
    assert ("aim of ISO 2859-2" in view.sources) is aim
