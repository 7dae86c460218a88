"""Customs value with tooling in it: a small workshop folder in, the duty out."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from tests.folders import (
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_way_from,
    a_workshop,
    an_item,
    forms,
    printed_for,
)


def customs(to: Path, tool: Any = None, likely: int = 1000, **workshop: Any) -> dict[str, Decimal]:
    """Duty of 10 % on parts at 3 a piece from China, with 400 of carriage; by what it is on."""
    currency = workshop.get("currency", "EUR")
    duty = {
        "goods code": "8448",
        "origin": "CN",
        "rate": "10 %",
        "since": "2026-01-01",
        "source": "t",
    }
    way = a_way_from(
        "CN", carriage={"per order": f"400 {currency}"}, import_clearance=f"0 {currency}"
    )
    tools = [tool] if tool else []
    quote = a_quote(
        "oak-1",
        an_item(f"3 {currency} per 1", tools=tools),
        currency=currency,
        delivery="FCA Ningbo",
    )
    content = forms(
        quote,
        workshop=a_workshop(duty=[duty], delivery=[way], **workshop),
        part=a_part(likely, goods_code="8448.49"),
        suppliers={"oak": a_supplier(country="CN")},
    )
    (offer,) = printed_for(content, to)["offers"]
    return {
        line["what"]: Decimal(line["total"]) for line in offer["lines"] if line["kind"] == "customs"
    }


def test_a_tool_that_the_buyer_paid_for_belongs_to_the_customs_value(tmp_path: Path) -> None:
    """WTO Agreement on Implementation of Article VII of GATT 1994, Article 8.1(b)(ii); in the Union
    Regulation (EU) 952/2013, Article 71(1)(b).

    1,000 parts for 3,000, 400 of carriage and a mould for 20,000: 10 % of 23,400.
    """
    assert sum(customs(tmp_path, a_tool("20000 EUR")).values()) == 2340
    (tmp_path / "without").mkdir()
    assert sum(customs(tmp_path / "without").values()) == 340


@pytest.mark.parametrize(("over", "added"), [(None, 20_000), ("4000", 5_000), ("10000", 2_000)])
def test_a_mould_may_be_apportioned_in_three_ways(
    over: str | None, added: int, tmp_path: Path
) -> None:
    """Interpretative note to Article 8, paragraph 1(b)(ii), points 3 and 4: a contract for 10,000
    units, 4,000 made by the time of the first shipment of 1,000. The mould's value is ours.

    Over the first shipment 20.00 a unit, over those made 5.00, over the contract 2.00: the first
    1,000 carry 20,000, 5,000 or 2,000.
    """
    found = customs(tmp_path, a_tool("20000 EUR", duty_over=over))
    assert found["duty on the wax die"] == added / Decimal(10)
    assert found["duty on the goods"] == 340


def test_a_mould_apportioned_over_the_contract_is_dutiable_once_in_full(tmp_path: Path) -> None:
    """From the same note: over 10,000 units the whole value is declared, and no more beyond."""
    found = customs(tmp_path, a_tool("20000 EUR", duty_over="10000"), likely=12_000)
    assert found["duty on the wax die"] == 2000


@pytest.mark.parametrize(
    ("country", "currency", "value"),
    [("NL", "EUR", 3_400), ("DE", "EUR", 3_400), ("US", "USD", 3_000)],
)
def test_freight_is_in_the_value_in_the_union_and_not_in_the_united_states(
    country: str, currency: str, value: int, tmp_path: Path
) -> None:
    """From memory: Regulation (EU) 952/2013, Article 71(1)(e), takes the carriage to the place of
    entry in; 19 USC 1401a(b)(4)(A) leaves international freight out."""
    found = customs(tmp_path, country=country, currency=currency)
    assert found["duty on the goods"] == value / Decimal(10)
