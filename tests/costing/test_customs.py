"""Customs value, duty and tax (R7)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.costing.bill import Kind, Scope
from quotegen.costing.offer import Offer
from tests.folders import (
    a_part,
    a_quote,
    a_supplier,
    a_tool,
    a_way_from,
    a_workshop,
    amounts,
    an_item,
    forms,
    result_of,
)


def duty(rate: str, **changes: str) -> dict[str, str]:
    line = {"goods code": "8448", "origin": "GB", "since": "2026-01-01", "source": "test"}
    return line | {"rate": rate} | {key.replace("_", " "): each for key, each in changes.items()}


def offer_of(
    *duties: dict[str, str],
    country: str = "GB",
    delivery: str = "FCA Leeds",
    part: Any = None,
    workshop: Any = None,
    **item: Any,
) -> Offer:
    way = a_way_from(
        country,
        carriage={"per order": "50 EUR"},
        on_carriage={"per order": "20 EUR"},
        import_clearance="0 EUR",
        export_clearance="30 EUR",
        to_border="80 %",
    )
    made = a_workshop(delivery=[way], duty=list(duties or [duty("10 %")]), **(workshop or {}))
    quote = a_quote("oak-1", an_item("10 EUR per 1", **item), delivery=delivery)
    suppliers = {"oak": a_supplier(country=country)}
    part = part or a_part(goods_code="8448.49")
    return result_of(forms(quote, workshop=made, part=part, suppliers=suppliers)).offer


def customs(offer: Offer, pieces: int = 10) -> dict[str, Fraction]:
    kinds = {line.what for line in offer.bill.lines if line.kind in (Kind.CUSTOMS, Kind.TAX)}
    return {what: amount for what, amount in amounts(offer, pieces).items() if what in kinds}


@pytest.mark.parametrize(
    ("delivery", "footing", "value"),
    [
        ("FCA Leeds", "CIF", 140),  # 100 and four fifths of 50
        ("FCA Leeds", "FOB", 100),
        ("EXW Leeds", "CIF", 170),  # and the export clearance, all of it before the border
        ("EXW Leeds", "FOB", 100),
        ("CPT Rotterdam", "CIF", 100),  # carriage is in the price; what follows lies behind
    ],
)
def test_r7_carriage_before_the_border_is_in_the_value_on_the_cif_footing(
    delivery: str, footing: str, value: int
) -> None:
    offer = offer_of(delivery=delivery, workshop={"customs_value": footing})
    assert customs(offer)["duty on the goods"] == Fraction(value, 10)


@pytest.mark.parametrize(("country", "footing"), [("NL", "CIF"), ("US", "FOB"), ("GB", "CIF")])
def test_r7_the_footing_follows_the_receiving_country_unless_it_is_stated(
    country: str, footing: str
) -> None:
    workshop = a_workshop(country=country)
    offer = result_of(forms(a_quote("oak-1", an_item("1 EUR per 1")), workshop=workshop)).offer
    assert offer.case.workshop.record.footing.value == footing


@pytest.mark.parametrize(
    ("country", "pays"), [("NL", False), ("FR", False), ("GB", True), ("CH", True)]
)
def test_r7_duty_is_paid_on_what_comes_from_outside_the_union(country: str, pays: bool) -> None:
    offer = offer_of(duty("10 %", origin=country), country=country, delivery=f"FCA {country}")
    assert bool(customs(offer)) is pays


def test_r7_a_stated_territory_takes_the_place_of_the_union() -> None:
    here = {"customs_territory": ["NL", "GB"]}
    assert not customs(offer_of(workshop=here))
    assert customs(
        offer_of(duty("10 %", origin="FR"), country="FR", delivery="FCA L", workshop=here)
    )


def test_r7_a_seller_who_clears_the_import_pays_the_duty() -> None:
    offer = offer_of(delivery="DDP Zutphen", tools=[a_tool("2000 EUR")])
    assert customs(offer) == {}
    assert any("DDP" in each.text for each in offer.bill.assumptions)


def test_r7_the_longest_goods_code_wins_then_the_latest_rate_in_force() -> None:
    rates = [
        duty("10 %"),
        duty("7 %", goods_code="8448.49", since="2025-01-01"),
        duty("6 %", goods_code="8448.49", since="2026-11-02"),
        duty("5 %", goods_code="8448.49", since="2026-11-03"),
        duty("1 %", goods_code="8448.39"),
        duty("2 %", origin="CN", goods_code="8448.49"),
    ]
    assert customs(offer_of(*rates[:2]))["duty on the goods"] == Fraction("9.8")
    assert customs(offer_of(*rates))["duty on the goods"] == Fraction("8.4")
    assert customs(offer_of(*reversed(rates)))["duty on the goods"] == Fraction("8.4")


def test_r7_origin_is_the_items_own_where_it_says_so() -> None:
    both = [duty("10 %"), duty("2 %", origin="CN")]
    assert customs(offer_of(*both, origin="CN"))["duty on the goods"] == Fraction("2.8")


@pytest.mark.parametrize("goods_code", [None, "9999"])
def test_r7_without_a_rate_for_the_code_the_duty_is_a_gap(goods_code: str | None) -> None:
    offer = offer_of(part=a_part(goods_code=goods_code))
    assert [gap.code for gap in offer.bill.blocking] == ["duty"]
    assert offer.bill.blocking[0].asked_of == "workshop"


def test_r7_every_line_of_the_invoice_is_dutiable() -> None:
    """Ten at 10, set-up 40, alloy 5 %, lifted to 300: 10 % of 300 + 40 of carriage."""
    offer = offer_of(
        charges=[{"what": "set-up", "amount": "40 EUR", "per": "order"}],
        surcharges=[{"what": "alloy", "rate": "5 %"}],
        minimum_value={"value": "300 EUR", "counts charges": "yes"},
    )
    assert customs(offer)["duty on the goods"] == 34


@pytest.mark.parametrize(
    ("found", "value"), [("on receipt", 100), ("after completion", 100), ("at the supplier", 90)]
)
def test_r9_duty_on_rejects_that_have_crossed_the_border_is_lost(found: str, value: int) -> None:
    """Ten at 10, one fails and is credited: only at the supplier is it not imported."""
    rejects = {"share": "10 %", "found": found, "made good": "credited"}
    assert customs(offer_of(rejects=rejects))["duty on the goods"] == Fraction(value + 40, 10)


def test_r7_a_tool_that_we_paid_for_is_in_the_value_with_the_first_shipment() -> None:
    """2,000 of tool at 10 %: 200 once, however many pieces follow."""
    offer = offer_of(tools=[a_tool("2000 EUR")])
    assert [customs(offer, n)["duty on the wax die"] for n in (1, 1000)] == [200, 200]


def test_r7_a_tools_share_is_spread_over_a_stated_quantity_and_no_further() -> None:
    offer = offer_of(tools=[a_tool("2000 EUR", duty_over="500")])
    (line,) = (each for each in offer.bill.lines if each.what == "duty on the wax die")
    assert line.scope is Scope.ONCE
    assert [line.schedule.at(n) for n in (1, 250, 500, 501)] == [Fraction("0.4"), 100, 200, 200]


def test_r7_samples_later_tools_and_what_is_paid_once_are_dutiable_too() -> None:
    """150 pieces on a tool for 100: one replacement of 900. 90 of samples, 60 of programming."""
    offer = offer_of(
        tools=[a_tool("2000 EUR", life="100", replacement="900 EUR", samples="90 EUR")],
        charges=[{"what": "programming", "amount": "60 EUR", "per": "revision"}],
    )
    once = customs(offer, 150)
    assert once["duty on the replacement of the wax die after each 100 pieces"] == 90
    assert once["duty on the samples from the wax die"] == 9
    assert once["duty on the programming"] == 6


def test_r7_storage_and_transfer_of_a_tool_are_not_dutiable() -> None:
    offer = offer_of(tools=[a_tool("2000 EUR", storage="40 EUR", transfer="80 EUR")])
    assert set(customs(offer)) == {"duty on the goods", "duty on the wax die"}


def test_r7_a_tool_that_is_ours_already_brings_no_duty() -> None:
    offer = offer_of(tools=[a_tool("2000 EUR")], workshop={"tools_owned": ["die"]})
    assert set(customs(offer)) == {"duty on the goods"}


def test_r7_tax_that_comes_back_is_no_cost() -> None:
    offer = offer_of(workshop={"import_tax": "21 %"})
    assert set(customs(offer)) == {"duty on the goods"}
    assert any("comes back" in each.text for each in offer.bill.assumptions)


def test_r7_tax_that_does_not_come_back_is_taken_of_value_and_duty_tools_too() -> None:
    """Value 140 and duty 14: 21 % of 154 is 32.34. Tool and duty are 2,200: 21 % is 462."""
    lost = {"import_tax": "21 %", "import_tax_comes_back": "no"}
    found = customs(offer_of(workshop=lost, tools=[a_tool("2000 EUR")]))
    assert found["import tax that does not come back"] == Fraction("32.34")
    assert found["import tax on the wax die"] == 462


def test_r7_at_a_rate_of_nothing_a_tool_has_no_duty_and_still_its_tax() -> None:
    lost = {"import_tax": "21 %", "import_tax_comes_back": "no"}
    found = customs(offer_of(duty("0 %"), workshop=lost, tools=[a_tool("2000 EUR")]))
    assert found == {
        "duty on the goods": 0,
        "import tax that does not come back": Fraction("29.4"),
        "import tax on the wax die": 420,
    }
