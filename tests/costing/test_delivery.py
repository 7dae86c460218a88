"""From the supplier's door to our shelf: the legs that we still pay (R6)."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from quotegen.costing.bill import Kind
from quotegen.costing.incoterms import RULES, SELLERS_RISK
from quotegen.costing.offer import Offer, Standing
from quotegen.model.fields import Incoterm
from tests.folders import (
    a_part,
    a_quote,
    a_supplier,
    a_way_from,
    a_workshop,
    amounts,
    an_item,
    forms,
    result_of,
)

LEGS = {
    "export_clearance": "35 EUR",
    "carriage": {"per order": "62 EUR", "per kilogram": "0.90 EUR"},
    "on_carriage": {"per order": "28 EUR"},
    "insurance": "0.4 %",
    "import_clearance": "48 EUR",
}


def offer_from(
    country: str,
    delivery: str | None,
    part: Any = None,
    legs: Any = LEGS,
    **item: Any,
) -> Offer:
    duty = {
        "goods code": "8448",
        "origin": "GB",
        "rate": "0 %",
        "since": "2026-01-01",
        "source": "t",
    }
    workshop = a_workshop(delivery=[a_way_from(country, **legs)], duty=[duty])
    quote = a_quote("oak-1", an_item("10 EUR per 1", **item), delivery=delivery)
    suppliers = {"oak": a_supplier(country=country)}
    part = part or a_part(goods_code="8448.49")
    return result_of(forms(quote, workshop=workshop, part=part, suppliers=suppliers)).offer


def legs(offer: Offer, pieces: int = 10) -> dict[str, Fraction]:
    kinds = {line.what for line in offer.bill.lines if line.kind is Kind.DELIVERY}
    return {what: amount for what, amount in amounts(offer, pieces).items() if what in kinds}


CARRIAGE = {"carriage": 62, "carriage by mass": Fraction("0.9")}
INSURANCE = {"insurance of the carriage": Fraction("0.4")}
IMPORT = {"import clearance": 48}


@pytest.mark.parametrize(
    ("delivery", "ours"),
    [
        ("EXW Leeds", {"export clearance": 35} | CARRIAGE | INSURANCE | IMPORT),
        ("FCA Leeds", CARRIAGE | INSURANCE | IMPORT),
        ("FOB Hull", CARRIAGE | INSURANCE | IMPORT),
        ("FAS Hull", CARRIAGE | INSURANCE | IMPORT),
        ("CPT Rotterdam", {"on carriage": 28} | INSURANCE | IMPORT),
        ("CPT Zutphen", INSURANCE | IMPORT),
        ("CFR Rotterdam", {"on carriage": 28} | INSURANCE | IMPORT),
        ("CIP Rotterdam", {"on carriage": 28} | IMPORT),
        ("CIP Zutphen", IMPORT),
        ("CIF Rotterdam", {"on carriage": 28} | IMPORT),
        ("DAP Zutphen", IMPORT),
        ("DAP Rotterdam", {"on carriage": 28} | IMPORT),
        ("DPU Zutphen", IMPORT),
        ("DDP Zutphen", {}),
        ("DDP Rotterdam", {"on carriage": 28}),
    ],
)
def test_r6_each_rule_leaves_its_legs_to_the_buyer(delivery: str, ours: dict[str, Any]) -> None:
    """Ten pieces of 100 g at 10 EUR: a kilogram at 0.90, 0.4 % of 100 EUR insured."""
    assert legs(offer_from("GB", delivery)) == ours


@pytest.mark.parametrize("delivery", ["EXW Lyon", "FCA Lyon"])
def test_r6_inside_the_customs_territory_nothing_is_cleared(delivery: str) -> None:
    assert legs(offer_from("FR", delivery)) == CARRIAGE | INSURANCE


def test_r6_a_quote_without_a_rule_is_reckoned_from_the_suppliers_door_and_asked() -> None:
    offer = offer_from("GB", None)
    assert legs(offer) == legs(offer_from("GB", "EXW Leeds"))
    assert "delivery-rule" in {gap.code for gap in offer.bill.gaps}
    assert offer.holds


@pytest.mark.parametrize("missing", ["export_clearance", "carriage", "import_clearance"])
def test_r6_a_leg_that_nothing_fills_is_a_gap_and_not_free(missing: str) -> None:
    offer = offer_from("GB", "EXW Leeds", legs=LEGS | {missing: None})
    assert offer.standing is Standing.NOT_ENOUGH_KNOWN
    assert missing.replace("_", " ") in offer.why.lower()


def test_r6_carriage_that_names_no_amount_is_a_gap() -> None:
    assert not offer_from("GB", "FCA Leeds", legs=LEGS | {"carriage": {}}).holds


def test_r6_a_country_without_assumptions_leaves_every_leg_open() -> None:
    workshop = a_workshop()
    suppliers = {"oak": a_supplier(country="FR")}
    quote = a_quote("oak-1", an_item("10 EUR per 1"), delivery="FCA Lyon")
    offer = result_of(forms(quote, workshop=workshop, suppliers=suppliers)).offer
    assert [gap.code for gap in offer.bill.blocking] == ["leg"]


@pytest.mark.parametrize(
    ("place", "is_ours"), [("Zutphen-De Mars", True), ("ZUTPHEN", True), ("Oud-Zutphenhof", False)]
)
def test_r6_the_named_place_is_ours_when_the_whole_word_is(place: str, is_ours: bool) -> None:
    assert ("on carriage" in legs(offer_from("GB", f"CIP {place}"))) is not is_ours


@pytest.mark.parametrize(("delivery", "paid"), [("DAP Zutphen", True), ("DPU Zutphen", False)])
def test_r6_unloading_is_ours_unless_the_seller_unloads(delivery: str, paid: bool) -> None:
    offer = offer_from("GB", delivery, legs=LEGS | {"unloading": "25 EUR"})
    assert ("unloading" in legs(offer)) is paid


def test_r6_every_delivery_of_an_order_pays_its_legs_again() -> None:
    """Twenty-five pieces in deliveries of ten: three times 62, and 2.5 kg at 0.90."""
    part = a_part(goods_code="8448", pieces_a_delivery="10")
    found = legs(offer_from("GB", "FCA Leeds", part), 25)
    assert found["carriage"] == 186
    assert found["carriage by mass"] == Fraction("2.25")


def test_r6_the_mass_that_travels_is_the_quoted_one_where_there_is_one() -> None:
    found = legs(offer_from("GB", "FCA Leeds", mass_shipped="250 g"))
    assert found["carriage by mass"] == Fraction("2.25")


@pytest.mark.parametrize(
    ("found", "made_good", "kilograms", "again"),
    [
        ("on receipt", "nothing", 2, 0),
        ("on receipt", "credited", 2, 0),
        ("on receipt", "replaced", 2, Fraction("0.2")),
        ("after completion", "replaced", 2, Fraction("0.2")),
        ("at the supplier", "nothing", Fraction("1.8"), 0),
        ("at the supplier", "credited", Fraction("1.8"), 0),
        ("at the supplier", "replaced", 2, 0),
    ],
)
def test_r9_freight_is_paid_for_what_travels(
    found: str, made_good: str, kilograms: Fraction, again: Fraction
) -> None:
    """Twenty pieces of 100 g, one in ten fails: two stay at the supplier, or travel in vain."""
    rejects = {"share": "10 %", "found": found, "made good": made_good}
    paid = legs(offer_from("GB", "FCA Leeds", rejects=rejects), 20)
    assert paid["carriage by mass"] == kilograms * Fraction("0.9")
    repeated = paid.get("carriage by mass, again for replaced pieces", Fraction(0))
    assert repeated == again * Fraction("0.9")


def test_r9_goods_that_are_credited_later_are_insured_whole() -> None:
    """Twenty at 10: 0.4 % of 200, and of 180 where two are left out at the supplier."""
    rejects = {"share": "10 %", "made good": "credited"}
    found = legs(offer_from("GB", "FCA Leeds", rejects=rejects), 20)
    assert found["insurance of the carriage"] == Fraction("0.8")
    rejects["found"] = "at the supplier"
    found = legs(offer_from("GB", "FCA Leeds", rejects=rejects), 20)
    assert found["insurance of the carriage"] == Fraction("0.72")


def test_every_rule_of_incoterms_2020_is_known_and_sellers_risk_ends_at_the_named_place() -> None:
    assert set(RULES) == set(Incoterm)
    assert {rule for rule in RULES if rule.value.startswith("D")} == SELLERS_RISK
