"""The bill as a whole: fees (R6), rejects (R9), terms (R20), and what is said of silences."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.costing.bill import Bill, Scope
from quotegen.costing.offer import Offer, Standing
from tests.folders import (
    a_quote,
    a_supplier,
    a_workshop,
    amounts,
    an_item,
    forms,
    result_of,
    total,
)


def offer_of(quote: Any = None, workshop: Any = None, supplier: Any = None, **item: Any) -> Offer:
    content = forms(
        a_quote("oak-1", an_item("10 EUR per 1", **item), **(quote or {})),
        workshop=a_workshop(**(workshop or {})),
        suppliers={"oak": a_supplier(**(supplier or {}))},
    )
    return result_of(content).offer


def test_r6_a_payment_in_a_foreign_currency_costs_the_banks_fee_for_each_order() -> None:
    fee = {"bank_fee": "14 EUR"}
    assert total(offer_of(workshop=fee), 10) == 100
    assert total(offer_of({"pay_in": "GBP"}, fee), 10) == 114
    quote = a_quote("oak-1", an_item("10 GBP per 1"), currency="GBP", pay_in="EUR")
    offer = result_of(forms(quote, workshop=a_workshop(**fee))).offer
    assert "bank fee" not in " ".join(amounts(offer, 10))


@pytest.mark.parametrize(
    ("pieces", "good"), [(140, 134), (1, 0), (24, 23), (25, 24), (26, 24), (100, 96)]
)
def test_r9_good_parts_of_an_order_are_the_whole_order_less_rejects_rounded_down(
    pieces: int, good: int
) -> None:
    """10 trees of 14 at 4 % give floor(134.4) = 134, not 10 x 13 = 130."""
    assert offer_of(rejects={"share": "4 %"}).bill.good(pieces) == good


@pytest.mark.parametrize(
    ("made_good", "good", "cost"),
    [("nothing", 90, 1000), ("credited", 90, 900), ("replaced", 100, 1000)],
)
def test_r9_what_the_supplier_does_about_rejects(made_good: str, good: int, cost: int) -> None:
    offer = offer_of(rejects={"share": "10 %", "made good": made_good})
    assert offer.bill.good(100) == good
    assert total(offer, 100) == cost


def test_r9_where_the_quote_is_silent_what_was_seen_so_far_is_reckoned_and_told() -> None:
    seen = offer_of(supplier={"rejects_seen": "5 %"}, rejects=None)
    assert seen.bill.good(100) == 95
    assert any("5 %" in each.text for each in seen.bill.assumptions)
    unknown = offer_of(rejects=None)
    assert unknown.bill.good(100) == 100
    assert [gap.code for gap in unknown.bill.gaps] == ["rejects"]
    own = offer_of(supplier={"rejects_seen": "5 %"}, rejects={"share": "2 %"})
    assert own.bill.good(100) == 98


@pytest.mark.parametrize("made_good", ["nothing", "credited", "replaced"])
def test_r9_where_every_piece_fails_no_order_brings_a_part(made_good: str) -> None:
    item = an_item("10 EUR per 1", rejects={"share": "100 %", "made good": made_good})
    found = result_of(forms(a_quote("oak-1", item)))
    assert found.plain.costs == {}
    assert found.plain.envelope.spans == ()
    assert found.plain.envelope.beyond is None


def with_term(**changes: Any) -> Offer:
    return offer_of(terms=[{"term": "scrap credit", "text": "as agreed"} | changes])


@pytest.mark.parametrize(
    ("per", "at_30", "scope"),
    [("piece", 60, Scope.ORDER), ("order", 2, Scope.ORDER), ("year", 2, Scope.YEAR),
     ("once", 2, Scope.ONCE), ("batch", 6, Scope.ORDER)],
)  # fmt: skip
def test_r20_a_term_with_an_estimate_is_a_cost_line(per: str, at_30: int, scope: Scope) -> None:
    term = {"term": "packaging", "text": "on loan", "estimate": "2 EUR", "per": per}
    line = offer_of(terms=[term], multiple="10").bill.lines[1]
    assert line.rule == "R20"
    assert line.scope is scope
    assert line.schedule.at(30) == at_30


def test_r20_a_term_without_an_estimate_that_could_turn_the_answer_blocks() -> None:
    assert with_term().standing is Standing.NOT_ENOUGH_KNOWN
    assert with_term(**{"could turn": "no"}).holds
    assert with_term(estimate="0 EUR").holds


def test_r20_a_term_of_the_whole_quote_counts_as_one_of_the_item_does() -> None:
    term = {"term": "blanket order", "text": "ten releases", "estimate": "75 EUR"}
    assert total(offer_of({"terms": [term]}), 10) == 175


def test_r7_prices_with_tax_in_them_are_no_footing() -> None:
    assert offer_of({"tax_included": "yes"}).standing is Standing.NOT_ENOUGH_KNOWN
    assert offer_of({"tax_included": "no"}).holds


def test_every_line_names_its_rule_and_its_place() -> None:
    offer = offer_of(
        {"pay_in": "GBP"},
        {"bank_fee": "14 EUR"},
        charges=[{"what": "set-up", "amount": "40 EUR", "per": "order"}],
        minimum_value={"value": "500 EUR"},
        surcharges=[{"what": "alloy", "rate": "5 %"}],
        rejects={"share": "4 %", "made good": "credited"},
        terms=[{"term": "scrap credit", "text": "t", "estimate": "2 EUR"}],
    )
    assert {line.rule for line in offer.bill.lines} == {"R1", "R3", "R4", "R6", "R9", "R11", "R20"}
    assert all(line.place.path for line in offer.bill.lines)


def test_the_figures_of_a_bill_do_not_depend_on_floating_point() -> None:
    """0.1 and 0.2 a piece are exactly 0.3."""
    charge = {"what": "oil", "amount": "0.10 EUR", "per": "piece"}
    content = forms(a_quote("oak-1", an_item("0.20 EUR per 1", charges=[charge])))
    bill: Bill = result_of(content).offer.bill
    assert sum((line.schedule.at(1) for line in bill.lines), Fraction(0)) == Fraction(3, 10)
