"""What a process leaves to be machined: at our price, or a gap (R8)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.costing.offer import Offer, Standing
from tests.folders import a_part, a_quote, a_workshop, amounts, an_item, forms, result_of

BORE = {"name": "bore", "size": "20 mm", "tolerance": "H8"}
FINISHED = {
    "operation": "finish machining",
    "price": "7 EUR per piece",
    "per order": "30 EUR",
    "takes": "6 working days",
    "source": "test",
}


def offer(workshop: Any = None, part: Any = None, **item: Any) -> Offer:
    form = an_item("10 EUR per 1", **({"process": "investment casting"} | item))
    content = forms(
        a_quote("oak-1", form),
        part=a_part(**({"features": [BORE]} | (part or {}))),
        workshop=a_workshop(**(workshop or {})),
    )
    return result_of(content).offer


def blocking(found: Offer) -> list[str]:
    return [gap.what for gap in found.bill.blocking]


def test_machining_that_the_quote_leaves_out_is_added_at_our_price_and_said() -> None:
    found = offer({"completion": [FINISHED]})
    assert amounts(found, 50)["finish machining"] == 350
    assert amounts(found, 50)["finish machining, each delivery"] == 30
    said = [each.text for each in found.bill.assumptions]
    assert "After investment casting, bore 20 mm H8 needs finish machining." in said
    assert found.holds


def test_without_a_price_it_is_a_gap_of_the_offer() -> None:
    found = offer()
    assert found.standing is Standing.NOT_ENOUGH_KNOWN
    assert blocking(found) == [
        "finish machining is required, left out of the quote, and we have no price for it"
    ]


def test_it_takes_its_time_before_the_parts_are_on_the_shelf() -> None:
    with_time = offer({"completion": [FINISHED]}).arrival.first_parts
    without = offer(process="machining").arrival.first_parts
    assert with_time is not None
    assert without is not None
    assert with_time > without


@pytest.mark.parametrize(
    "given",
    [
        {"part": {"operations": ["turning"]}, "includes": ["turning"]},
        {"includes": ["finish machining"]},
        {"includes": ["reaming"]},
        {"process": "machining"},
        {"can_hold": [{"tolerance": "IT8"}]},
        {"part": {"features": []}},
    ],
)
def test_nothing_is_added_twice_or_where_nothing_is_needed(given: Any) -> None:
    found = offer({"completion": [FINISHED]}, **given)
    assert "finish machining" not in amounts(found, 50)
    assert blocking(found) == []
    assert sum(amounts(found, 50).values()) == Fraction(500)


def test_an_operation_of_the_drawing_is_added_once_and_the_feature_with_it() -> None:
    turning = {"operation": "turning", "price": "4 EUR per piece", "source": "test"}
    found = offer({"completion": [FINISHED, turning]}, {"operations": ["turning"]})
    assert amounts(found, 10)["turning"] == 40
    assert "finish machining" not in amounts(found, 10)


def test_what_some_hold_and_some_do_not_is_one_question_that_blocks_nothing() -> None:
    slot = {"name": "slot", "size": "20 mm", "tolerance": "+/- 0.3 mm"}
    found = offer(part={"features": [slot], "surface": "sole Ra 3.2 um"})
    (asked,) = [gap for gap in found.bill.gaps if gap.code == "fit-asked"]
    assert not asked.blocks
    assert asked.question == (
        "Do you hold slot 20 mm +/- 0.3 mm and sole Ra 3.2 \N{MICRO SIGN}m, and is it in the price?"
    )


def test_what_the_process_does_not_make_keeps_the_offer_from_being_signed() -> None:
    found = offer(part={"features": [], "thinnest_wall": "0.4 mm"})
    assert blocking(found) == [
        "investment casting is not known to make thinnest wall 0.4 mm (at best 0.51 mm)"
    ]
    held = offer(part={"features": [], "thinnest_wall": "0.4 mm"}, can_hold=[{"wall": "0.4 mm"}])
    assert held.holds


@pytest.mark.parametrize("process", ["forging", "stamping", "sheet cutting and bending"])
def test_a_process_of_doubtful_numbers_is_asked_and_never_refused(process: str) -> None:
    tight = {"name": "bore", "size": "20 mm", "tolerance": "H5"}
    found = offer(process=process, part={"features": [tight]})
    assert found.holds
    assert [gap.code for gap in found.bill.gaps if gap.code.startswith("fit")] == ["fit-asked"]
