"""Amounts that cannot be right are a question and never a figure (R18)."""

from __future__ import annotations

from typing import Any

import pytest

from quotegen.costing.offer import Standing
from quotegen.judge.advice import Outcome
from tests.folders import a_quote, a_workshop, an_item, forms, result_of

OFF = {"what": "series discount", "off": "yes"}
TWICE_OFF = [OFF | {"rate": "90 %"}, OFF | {"rate": "11 %", "what": "loyalty"}]
SPREAD = {"what": "wax die", "over": "100", "each": "5 EUR"}
SMALL, LARGE = "less-than-nothing", "beyond-reckoning"


def _result(item: Any, **quote: Any) -> Any:
    rate = {"one": "USD", "is worth": "9000000000000 EUR", "on": "2026-11-02", "source": "test"}
    workshop = a_workshop(rates=[rate])
    return result_of(forms(a_quote("oak-1", item, **quote), workshop=workshop))


@pytest.mark.parametrize(
    ("item", "code"),
    [
        (an_item("10 EUR per 1", surcharges=TWICE_OFF), SMALL),
        (an_item("10 EUR per 1", surcharges=[OFF | {"price": "101 EUR per kg"}]), SMALL),
        (an_item({1: "10 EUR per 1", 50: "4 EUR per 1"}, spread_tool=SPREAD), SMALL),
        (an_item("900000000 EUR per 1"), LARGE),
    ],
    ids=["discounts beyond the price", "a discount by mass", "a tool beyond the price", "a slip"],
)
def test_r18_an_amount_that_cannot_be_right_blocks_and_is_not_compared(
    item: Any, code: str
) -> None:
    found = _result(item)
    assert found.offer.standing is Standing.NOT_ENOUGH_KNOWN
    assert not found.offer.priced
    assert [gap.code for gap in found.offer.bill.blocking] == [code]
    assert found.advice.outcome is Outcome.UNKNOWN


def test_r18_a_rate_that_is_a_slip_blocks_its_quotes() -> None:
    found = _result(an_item("10 USD per 1"), currency="USD")
    assert [gap.code for gap in found.offer.bill.blocking] == [LARGE]
    assert found.offer.bill.blocking[0].asked_of == "workshop"


@pytest.mark.parametrize(
    "item",
    [
        an_item("10 EUR per 1", surcharges=[OFF | {"rate": "100 %"}]),
        an_item({1: "10 EUR per 1", 50: "5 EUR per 1"}, spread_tool=SPREAD),
        an_item("100000 EUR per 1"),
    ],
    ids=["free of charge", "a tool as dear as the piece", "dear"],
)
def test_r18_what_can_still_be_right_holds(item: Any) -> None:
    assert _result(item).offer.standing is Standing.HOLDS
