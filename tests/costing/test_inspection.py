"""Looking at deliveries as lines of the bill (R8)."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from quotegen.costing.inspection import deliveries_expected, is_series
from quotegen.costing.offer import Offer
from quotegen.costing.sampling import chance_of_process, plan_for
from quotegen.model.acceptance import Acceptance
from tests.folders import (
    a_part,
    a_quote,
    a_workshop,
    amounts,
    an_item,
    forms,
    result_of,
)

LABOUR = [{"work": "inspection", "rate": "60 EUR", "source": "test"}]  # 1 EUR a minute
LOOKING = {"inspection_takes": "2 minutes a piece", "inspected_by": "inspection"}
SAMPLES = "incoming inspection"
SORTING = "sorting of deliveries that do not pass, expected"


def offer_of(likely: int = 1000, **changes: Any) -> Offer:
    """AQL 1.0 and ten deliveries of 100 a year; changes are of the part, item holds the item's."""
    item = changes.pop("item", {})
    part = {"lot": "100", "acceptance quality": "AQL 1.0"} | LOOKING | changes
    quote = a_quote("oak-1", an_item(item.pop("price", "3 EUR per 1"), **item))
    content = forms(quote, workshop=a_workshop(labour=LABOUR), part=a_part(likely, **part))
    return result_of(content).offer


def test_r8_the_pieces_taken_at_our_hourly_rate() -> None:
    """By hand: 13 of 100 pieces, two minutes each, 60 EUR an hour: 26 EUR."""
    assert amounts(offer_of(), 100)[SAMPLES] == 26
    (line,) = [each for each in offer_of().bill.lines if each.what == SAMPLES]
    assert (line.rule, line.per, line.written) == (
        "R8",
        "delivery",
        "2 minutes a piece at 60 EUR an hour, AQL 1.0",
    )


@pytest.mark.parametrize(
    ("pieces", "taken"),
    [(1, 1), (13, 13), (14, 13), (150, 13), (151, 50), (500, 50), (501, 80), (1201, 125)],
)
def test_r8_the_sample_grows_with_the_delivery(pieces: int, taken: int) -> None:
    """ISO 2859-1:1999, Tables 1 and 2-A, AQL 1.0."""
    assert amounts(offer_of(), pieces)[SAMPLES] == 2 * taken


def test_r8_a_delivery_that_fails_is_sorted_as_often_as_is_expected() -> None:
    """By hand: 4 % bad, 13 taken, none may be bad: it passes 0.96^13 = 0.588 times, else the other
    87 pieces are looked at as well."""
    found = amounts(offer_of(item={"rejects": {"share": "4 %"}}), 100)
    chance = 1 - Fraction(round(Fraction(96, 100) ** 13, 6))
    assert found[SORTING] == 2 * chance * 87
    assert float(found[SORTING]) == pytest.approx(2 * (1 - 0.96**13) * 87, abs=1e-3)


@given(
    pieces=st.integers(1, 3000), per_cent=st.integers(1, 30), aql=st.sampled_from(["1.0", "6.5"])
)
def test_r8_samples_and_sorting_against_one_delivery_at_a_time(
    pieces: int, per_cent: int, aql: str
) -> None:
    """Oracle: the plan of that delivery, its binomial chance, and the pieces counted one by one."""
    rejects = {"share": f"{per_cent} %"}
    offer = offer_of(acceptance_quality=f"AQL {aql}", item={"rejects": rejects})
    plan = plan_for(pieces, Acceptance(aql=aql), is_series=True)
    fails = 0.0
    if not plan.is_whole_lot:
        fails = 1 - float(chance_of_process(plan, Fraction(per_cent, 100)))
    found = amounts(offer, pieces)
    assert found[SAMPLES] == 2 * plan.sample
    expected = 2 * fails * (pieces - plan.sample)
    assert float(found[SORTING]) == pytest.approx(expected, abs=1e-5 * pieces)


def test_r8_the_two_ways_to_evaluate_a_line_agree() -> None:
    """No source: `at` gives a fraction, `values` whole numbers of a unit."""
    offer = offer_of(pieces_a_delivery="40", item={"rejects": {"share": "4 %"}})
    pieces = np.arange(1, 400)
    for line in offer.bill.lines:
        unit = line.schedule.denominator
        values = line.schedule.values(pieces, unit)
        assert [Fraction(int(each), unit) for each in values] == [
            line.schedule.at(int(each)) for each in pieces
        ]


@pytest.mark.parametrize("pieces", [1, 13, 39, 40, 41, 80, 100])
def test_r8_each_delivery_of_an_order_is_looked_at(pieces: int) -> None:
    """Deliveries of 40: each counts at its full size, a smaller order at its own."""
    expected = 2 * min(13, pieces) if pieces < 40 else 26 * math.ceil(pieces / 40)
    assert amounts(offer_of(pieces_a_delivery="40"), pieces)[SAMPLES] == expected


def test_r8_small_deliveries_are_looked_at_whole() -> None:
    """By hand: 25 pieces in three deliveries of ten, each counted at its full size."""
    assert amounts(offer_of(pieces_a_delivery="10"), 25)[SAMPLES] == 3 * 10 * 2


def test_r8_one_piece_a_delivery_is_one_piece_looked_at() -> None:
    assert amounts(offer_of(pieces_a_delivery="1"), 7)[SAMPLES] == 14


@pytest.mark.parametrize(
    "change",
    [
        pytest.param({"inspection_takes": None}, id="no minutes"),
        pytest.param({"inspected_by": None}, id="nobody named"),
        pytest.param({"inspected_by": "night shift"}, id="no rate for who is named"),
        pytest.param({"acceptance_quality": None}, id="no plan"),
    ],
)
def test_r8_what_is_not_stated_is_no_line_and_not_a_line_of_zero(change: dict[str, Any]) -> None:
    offer = offer_of(**change)
    assert [line.what for line in offer.bill.lines if "inspection" in line.what] == []


@pytest.mark.parametrize("named", [None, "night shift"])
def test_r8_minutes_without_a_rate_are_said_and_not_counted(named: str | None) -> None:
    told = [each.text for each in offer_of(inspected_by=named).bill.assumptions]
    assert (
        "Incoming inspection takes 2 minutes a piece; it is not counted, since no hourly rate is "
        "known for it."
    ) in told


def test_r8_what_a_person_relies_on_is_looked_at_piece_by_piece() -> None:
    """No sampling plan replaces that, and nothing is left to sort."""
    changes = {"load": "a person relies on it", "item": {"rejects": {"share": "4 %"}}}
    for quality in ("AQL 1.0", None):
        found = amounts(offer_of(acceptance_quality=quality, **changes), 100)
        assert found[SAMPLES] == 200
        assert SORTING not in found


@pytest.mark.parametrize(
    ("rejects", "is_sorted"),
    [
        pytest.param({"share": "4 %"}, True, id="found here"),
        pytest.param({"share": "4 %", "found": "at the supplier"}, False, id="found before"),
        pytest.param({"share": "0 %"}, False, id="none"),
        pytest.param(None, False, id="not known"),
    ],
)
def test_r8_sorting_is_expected_where_rejects_arrive(rejects: Any, is_sorted: bool) -> None:
    """A share that nobody stated is not zero: it is not counted, and the supplier is asked."""
    assert (SORTING in amounts(offer_of(item={"rejects": rejects}), 100)) is is_sorted


def test_r8_pieces_that_a_test_destroys_are_bought_again() -> None:
    """By hand: two of each delivery of 40, at the price of the whole order's tier."""
    price = {1: "5 EUR per 1", 100: "3 EUR per 1"}
    offer = offer_of(tested_to_destruction="2", pieces_a_delivery="40", item={"price": price})
    what = "2 pieces of each delivery tested to destruction"
    assert amounts(offer, 40)[what] == 2 * 5
    assert amounts(offer, 120)[what] == 3 * 2 * 3
    assert offer.bill.good(100) == 100


@pytest.mark.parametrize(("likely", "lot", "count"), [(400, 100, 4), (401, 100, 5), (500, 100, 5)])
def test_r8_five_deliveries_are_a_series(likely: int, lot: int, count: int) -> None:
    """ISO 2859-1, 9.3.1: tightened inspection begins when two of five or fewer lots fail."""
    offer = offer_of(likely, lot=str(lot))
    assert deliveries_expected(offer.case) == count
    assert is_series(offer.case) is (count >= 5)


def test_r8_a_lot_by_itself_is_held_to_its_limiting_quality() -> None:
    """By hand for AQL: 13 of 56; for LQ 8 of a lot to 90: 24."""
    quality = "AQL 1.0, LQ 8"
    assert amounts(offer_of(56, lot="56", acceptance_quality=quality), 56)[SAMPLES] == 48
    assert amounts(offer_of(560, lot="56", acceptance_quality=quality), 56)[SAMPLES] == 26
