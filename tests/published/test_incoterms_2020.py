"""Who pays what under the eleven rules: a small workshop folder in, the buyer's lines out."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotegen.costing.incoterms import RULES
from quotegen.model.fields import Incoterm
from tests.folders import (
    a_part,
    a_quote,
    a_supplier,
    a_way_from,
    a_workshop,
    an_item,
    forms,
    printed_for,
)

# who clears the export, who pays the main carriage, who must insure for the other, who pays the
# duty, who unloads at the destination; whether the rule is for sea and inland waterway only
TABLE = {
    "EXW": ("buyer", "buyer", None, "buyer", "buyer", False),
    "FCA": ("seller", "buyer", None, "buyer", "buyer", False),
    "CPT": ("seller", "seller", None, "buyer", "buyer", False),
    "CIP": ("seller", "seller", "seller", "buyer", "buyer", False),
    "DAP": ("seller", "seller", None, "buyer", "buyer", False),
    "DPU": ("seller", "seller", None, "buyer", "seller", False),
    "DDP": ("seller", "seller", None, "seller", "buyer", False),
    "FAS": ("seller", "buyer", None, "buyer", "buyer", True),
    "FOB": ("seller", "buyer", None, "buyer", "buyer", True),
    "CFR": ("seller", "seller", None, "buyer", "buyer", True),
    "CIF": ("seller", "seller", "seller", "buyer", "buyer", True),
}


@pytest.mark.parametrize("rule", TABLE)
def test_the_buyer_pays_what_the_rule_leaves_to_him(rule: str, tmp_path: Path) -> None:
    """From memory: Incoterms 2020, ICC publication 723."""
    legs = {
        "carriage": {"per order": "300 EUR"},
        "export_clearance": "40 EUR",
        "import_clearance": "50 EUR",
        "unloading": "60 EUR",
        "insurance": "1 %",
    }
    duty = {
        "goods code": "8448",
        "origin": "GB",
        "rate": "5 %",
        "since": "2026-01-01",
        "source": "t",
    }
    content = forms(
        a_quote("oak-1", an_item("10 EUR per 1"), delivery=f"{rule} Zutphen"),
        workshop=a_workshop(delivery=[a_way_from("GB", **legs)], duty=[duty]),
        part=a_part(goods_code="8448.49"),
        suppliers={"oak": a_supplier(country="GB")},
    )
    (offer,) = printed_for(content, tmp_path)["offers"]
    ours = {line["what"] for line in offer["lines"]}
    export, carriage, insurance, import_duty, unloads, sea_only = TABLE[rule]
    assert ("export clearance" in ours) is (export == "buyer")
    assert ("carriage" in ours) is (carriage == "buyer")
    assert ("duty on the goods" in ours) is (import_duty == "buyer")
    assert ("import clearance" in ours) is (import_duty == "buyer")
    assert ("unloading" in ours) is (unloads == "buyer")
    assert not (insurance == "seller" and "insurance of the carriage" in ours)
    assert RULES[Incoterm(rule)].insures is (insurance == "seller")
    assert RULES[Incoterm(rule)].sea_only is sea_only


def test_the_rules_are_eleven_and_an_earlier_one_is_refused(tmp_path: Path) -> None:
    """From memory: DAT of Incoterms 2010 became DPU; DDU and its like ended with 2000."""
    assert {rule.value for rule in Incoterm} == set(TABLE)
    quote = a_quote("oak-1", an_item("10 EUR per 1"), delivery="DDU Zutphen")
    with pytest.raises(ValueError, match="DDU"):
        printed_for(forms(quote), tmp_path)
