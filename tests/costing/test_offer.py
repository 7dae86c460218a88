"""An offer and whether it can be signed today (R15)."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from quotegen.costing.offer import Standing
from tests.folders import (
    TODAY,
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    an_item,
    forms,
    result_of,
)

ITEM = an_item("10 EUR per 1")


def standing(quote: Any, **content: Any) -> Standing:
    return result_of(forms(quote, **content)).offer.standing


@pytest.mark.parametrize(
    ("last", "expected"),
    [("2026-11-02", Standing.HOLDS), ("2026-11-01", Standing.EXPIRED), (None, Standing.HOLDS)],
)
def test_r15_a_quote_holds_on_its_last_day_and_not_after_it(
    last: str | None, expected: Standing
) -> None:
    assert standing(a_quote("oak-1", ITEM, valid_until=last)) is expected


@pytest.mark.parametrize(
    ("valid_for", "expected"), [("32 days", Standing.HOLDS), ("31 days", Standing.EXPIRED)]
)
def test_r15_a_validity_in_days_counts_from_the_quotes_date(
    valid_for: str, expected: Standing
) -> None:
    """From 1 October 32 days end on 2 November."""
    quote = a_quote("oak-1", ITEM, valid_until=None, valid_for=valid_for)
    assert standing(quote) is expected


@pytest.mark.parametrize(
    ("revision", "expected"),
    [("A", Standing.HOLDS), ("B", Standing.WRONG_REVISION), ("not quoted", Standing.HOLDS)],
)
def test_r15_a_quote_for_another_revision_does_not_hold(revision: str, expected: Standing) -> None:
    assert standing(a_quote("oak-1", ITEM | {"revision": revision})) is expected


def test_r15_a_gap_that_blocks_keeps_an_offer_from_holding() -> None:
    item = an_item("10 EUR per 1", tools=[a_tool("not quoted")])
    assert standing(a_quote("oak-1", item)) is Standing.NOT_ENOUGH_KNOWN


def test_r15_a_quote_that_a_later_one_replaces_does_not_hold_whatever_else_it_is() -> None:
    expired = a_quote("oak-1", ITEM, valid_until="2026-10-05")
    later = a_quote("oak-2", ITEM, replaces="oak-1")
    offers = result_of(forms(expired, later)).plain.offers
    assert [offer.standing for offer in offers] == [Standing.REPLACED, Standing.HOLDS]


def test_r15_a_quote_replaces_only_those_of_its_own_supplier() -> None:
    quotes = a_quote("oak-1", ITEM), a_quote("ash-2", ITEM, replaces="oak-1")
    assert all(offer.holds for offer in result_of(forms(*quotes)).plain.offers)


def test_an_offer_that_does_not_hold_says_why() -> None:
    offer = result_of(forms(a_quote("oak-1", ITEM | {"revision": "B"}))).offer
    assert offer.why == "Quoted for revision B; the drawing is at A."
    assert result_of(forms(a_quote("oak-1", ITEM))).offer.why == ""


def test_offers_stand_by_name_and_several_items_for_a_part_are_told_apart() -> None:
    quotes = [a_quote("oak-1", ITEM, ITEM), a_quote("ash-1", ITEM)]
    names = ["ash/ash-1", "oak/oak-1 item 1", "oak/oak-1 item 2"]
    for order in (quotes, quotes[::-1]):
        assert [offer.name for offer in result_of(forms(*order)).plain.offers] == names


def test_items_for_other_parts_are_no_offers() -> None:
    assert result_of(forms(a_quote("oak-1", ITEM | {"part": "q"}))).plain.offers == ()


@pytest.mark.parametrize(
    "change",
    [
        {"currency": "XAU", "items": [an_item("10 XAU per 1")]},
        {"charges": [{"what": "box", "amount": "1 XAU", "per": "order"}]},
        {"minimum_value": {"value": "500 XAU"}},
        {"pay_in": "XAU"},
        {"items": [an_item("10 EUR per 1", tools=[a_tool("2000 XAU")])]},
    ],
)
def test_r10_an_offer_in_a_currency_without_a_rate_is_left_out(change: dict[str, Any]) -> None:
    assert result_of(forms(a_quote("oak-1", ITEM, **change))).plain.offers == ()


def test_the_process_is_the_items_own_else_the_suppliers_first() -> None:
    suppliers = {"oak": a_supplier(processes=["sand casting", "machining"])}
    assert (
        result_of(forms(a_quote("oak-1", ITEM), suppliers=suppliers)).offer.process
        == "sand casting"
    )
    item = ITEM | {"process": "metal printing"}
    assert (
        result_of(forms(a_quote("oak-1", item), suppliers=suppliers)).offer.process
        == "metal printing"
    )


def test_a_comparison_on_a_later_day_sees_the_quote_expired() -> None:
    content = forms(a_quote("oak-1", ITEM), part=a_part())
    later = TODAY + datetime.timedelta(days=60)
    assert result_of(content, today=later).offer.standing is Standing.EXPIRED
