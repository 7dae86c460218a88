"""Tools that we pay for, and tools paid inside the piece price (R5)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.costing.bill import Kind, Scope
from quotegen.costing.offer import Offer, Standing
from tests.folders import a_quote, a_tool, a_workshop, an_item, forms, result_of


def offer_of(*tools: Any, owned: Any = (), **item: Any) -> Offer:
    workshop = a_workshop(tools_owned=list(owned))
    quote = a_quote("oak-1", an_item("10 EUR per 1", tools=list(tools), **item))
    return result_of(forms(quote, workshop=workshop)).offer


def tooling(offer: Offer, pieces: int) -> dict[str, Fraction]:
    lines = [line for line in offer.bill.lines if line.kind is Kind.TOOL]
    return {line.what: line.schedule.at(pieces) for line in lines}


@pytest.mark.parametrize(("pieces", "worn_out"), [(1, 0), (200, 0), (201, 1), (400, 1), (401, 2)])
def test_r5_a_tool_is_replaced_when_its_shots_times_its_cavities_are_used_up(
    pieces: int, worn_out: int
) -> None:
    """100 shots of 2 cavities are 200 pieces; the 201st needs another tool."""
    offer = offer_of(a_tool("2000 EUR", life="100", cavities="2", replacement="900 EUR"))
    found = tooling(offer, pieces)
    assert found["wax die"] == 2000
    assert found["replacement of the wax die after each 200 pieces"] == 900 * worn_out


def test_r5_a_replacement_that_is_not_quoted_costs_as_much_as_the_first_and_this_is_told() -> None:
    offer = offer_of(a_tool("2000 EUR", life="100"))
    assert sum(tooling(offer, 101).values()) == 4000
    assert any("costs as much as the first" in each.text for each in offer.bill.assumptions)


def test_r5_life_counts_rejects_as_well_as_good_parts() -> None:
    """Of 110 ordered 99 are good; the tool has made 110 and is worn out after 100."""
    offer = offer_of(
        a_tool("2000 EUR", life="100", replacement="900 EUR"), rejects={"share": "10 %"}
    )
    assert offer.bill.good(110) == 99
    assert sum(tooling(offer, 110).values()) == 2900


@pytest.mark.parametrize(("pieces", "worn_out"), [(90, 0), (91, 1), (180, 1), (181, 2)])
def test_r5_pieces_that_are_replaced_wear_the_tool_twice(pieces: int, worn_out: int) -> None:
    """One in ten is made again: 90 good pieces are 100 made."""
    rejects = {"share": "10 %", "made good": "replaced"}
    offer = offer_of(a_tool("2000 EUR", life="100", replacement="900 EUR"), rejects=rejects)
    assert sum(tooling(offer, pieces).values()) == 2000 + 900 * worn_out


def test_r5_a_tool_without_a_stated_life_is_taken_to_last_and_asked_about() -> None:
    offer = offer_of(a_tool("2000 EUR", life="not quoted"))
    assert sum(tooling(offer, 10**6).values()) == 2000
    assert [gap.code for gap in offer.bill.gaps] == ["tool-life"]
    assert offer_of(a_tool("2000 EUR")).bill.gaps == ()


def test_r5_a_tool_that_is_ours_is_not_paid_again_but_still_wears_out() -> None:
    offer = offer_of(a_tool("2000 EUR", life="100", replacement="900 EUR"), owned=["die"])
    assert not offer.has_tool
    assert sum(tooling(offer, 100).values()) == 0
    assert sum(tooling(offer, 101).values()) == 900


def test_r5_a_tool_whose_price_is_missing_blocks_and_one_without_a_price_does_not() -> None:
    assert offer_of(a_tool("not quoted")).standing is Standing.NOT_ENOUGH_KNOWN
    free = offer_of(a_tool("not applicable"))
    assert free.holds
    assert not free.has_tool
    assert not offer_of(a_tool("0 EUR")).has_tool
    assert offer_of(a_tool("1 EUR")).has_tool


def test_r5_samples_storage_and_transfer_have_their_own_scope() -> None:
    offer = offer_of(a_tool("2000 EUR", samples="150 EUR", storage="40 EUR", transfer="80 EUR"))
    found = {line.what: (line.scope, line.schedule.at(5)) for line in offer.bill.lines[1:]}
    assert found == {
        "wax die": (Scope.ONCE, 2000),
        "samples from the wax die": (Scope.ONCE, 150),
        "storage of the wax die": (Scope.YEAR, 40),
        "transfer of the wax die at the end": (Scope.ONCE, 80),
    }


def test_r5_samples_that_nobody_quoted_are_taken_to_be_in_the_price_and_this_is_told() -> None:
    offer = offer_of(a_tool("2000 EUR", samples="not quoted"))
    assert any("Samples from the wax die" in each.text for each in offer.bill.assumptions)


@pytest.mark.parametrize(
    ("owner", "asked"), [("not quoted", True), ("buyer", False), ("not applicable", False)]
)
def test_r5_who_owns_the_tool_is_asked_where_it_is_not_said(owner: str, asked: bool) -> None:
    gaps = [gap.code for gap in offer_of(a_tool("2000 EUR", owner=owner)).bill.gaps]
    assert gaps == (["tool-owner"] if asked else [])


@pytest.mark.parametrize(("pieces", "owed"), [(1, 998), (400, 200), (499, 2), (500, 0), (501, 0)])
def test_r5_a_tool_paid_in_the_piece_price_is_owed_as_far_as_it_is_not_paid(
    pieces: int, owed: int
) -> None:
    """2 in each of the first 500 pieces."""
    spread = {"what": "wax die", "each": "2 EUR", "over": "500"}
    assert sum(tooling(offer_of(spread_tool=spread), pieces).values()) == owed


def test_r5_two_tools_are_paid_each() -> None:
    offer = offer_of(a_tool("2000 EUR"), a_tool("300 EUR", tool="jig", what="core box"))
    assert tooling(offer, 1) == {"wax die": 2000, "core box": 300}
