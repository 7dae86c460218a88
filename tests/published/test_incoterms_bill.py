"""The whole of the buyer's bill under each rule of Incoterms 2020: no line more, none less (R6)."""

from __future__ import annotations

from pathlib import Path

import pytest

from quotegen.study import study
from tests.folders import (
    TODAY,
    Forms,
    a_part,
    a_quote,
    a_supplier,
    a_way_from,
    a_workshop,
    an_item,
    forms,
    printed_for,
    written,
)

# Who pays export clearance, main carriage, import clearance and duty, unloading at the
# destination; and whether the goods travel at the buyer's risk without the seller's insurance.
RULES = """
EXW buyer  buyer  buyer  buyer  uninsured
FCA seller buyer  buyer  buyer  uninsured
CPT seller seller buyer  buyer  uninsured
CIP seller seller buyer  buyer  insured
DAP seller seller buyer  buyer  seller's-risk
DPU seller seller buyer  seller seller's-risk
DDP seller seller seller buyer  seller's-risk
FAS seller buyer  buyer  buyer  uninsured
FOB seller buyer  buyer  buyer  uninsured
CFR seller seller buyer  buyer  uninsured
CIF seller seller buyer  buyer  insured
"""
ROWS = [tuple(row.split()) for row in RULES.strip().splitlines()]
AMOUNTS = {
    "export clearance": "31",
    "carriage": "200",
    "on carriage": "43",
    "import clearance": "57",
    "unloading": "19",
    "insurance of the carriage": "5",
}
HERE, THERE, PORT = "Zutphen", "Leeds", "Rotterdam"


def quoted(rule: str, place: str) -> Forms:
    """100 pieces at 10 from outside the customs territory; every leg has an assumption of ours."""
    way = a_way_from(
        "GB",
        export_clearance="31 EUR",
        carriage={"per order": "200 EUR"},
        on_carriage={"per order": "43 EUR"},
        import_clearance="57 EUR",
        unloading="19 EUR",
        insurance="0.5 %",
    )
    duty = {"goods code": "8448", "origin": "GB", "rate": "10 %", "since": "2026-01-01"}
    return forms(
        a_quote("oak-1", an_item("10 EUR per 1"), delivery=f"{rule} {place}"),
        workshop=a_workshop(delivery=[way], duty=[{**duty, "source": "test"}]),
        part=a_part(goods_code="8448.49"),
        suppliers={"oak": a_supplier(country="GB")},
    )


def bill_for(rule: str, place: str, to: Path) -> dict[str, str]:
    """What the buyer pays beside the goods."""
    (offer,) = printed_for(quoted(rule, place), to)["offers"]
    return {each["what"]: each["total"] for each in offer["lines"] if each["kind"] != "goods"}


def expected_of(row: tuple[str, ...]) -> set[str]:
    _, export, carriage, customs, unloading, insurance = row
    found = {"export clearance"} if export == "buyer" else set()
    found |= {"carriage"} if carriage == "buyer" else set()
    found |= {"import clearance", "duty on the goods"} if customs == "buyer" else set()
    found |= {"unloading"} if unloading == "buyer" else set()
    return found | ({"insurance of the carriage"} if insurance == "uninsured" else set())


@pytest.mark.parametrize("row", ROWS, ids=[row[0] for row in ROWS])
def test_the_bill_has_what_the_rule_leaves_to_the_buyer_and_no_more(
    row: tuple[str, ...], tmp_path: Path
) -> None:
    """ICC Incoterms 2020 (ICC publication 723), from memory. Under DAP, DPU and DDP the seller
    bears the risk up to the place; under CPT and CFR the buyer does though the seller pays the
    carriage, and only CIP and CIF oblige the seller to insure."""
    bill = bill_for(row[0], THERE if row[2] == "buyer" else HERE, tmp_path)
    assert set(bill) == expected_of(row)
    ours = {what: amount for what, amount in bill.items() if what in AMOUNTS}
    assert ours.items() <= AMOUNTS.items()


@pytest.mark.parametrize("rule", [row[0] for row in ROWS if row[2] == "seller"])
def test_a_seller_who_carries_to_a_port_leaves_the_rest_of_the_way(
    rule: str, tmp_path: Path
) -> None:
    """ICC Incoterms 2020 (ICC publication 723), from memory: the seller pays the carriage as far
    as the named place."""
    here = bill_for(rule, HERE, tmp_path / "here")
    port = bill_for(rule, PORT, tmp_path / "port")
    assert set(port) - set(here) == {"on carriage"}
    assert port["on carriage"] == AMOUNTS["on carriage"]


@pytest.mark.parametrize(
    ("former", "successor"),
    [("DAT", "DPU"), ("DDU", "DAP"), ("DEQ", "DPU"), ("DES", "DAP"), ("DAF", "DAP")],
)
def test_a_rule_of_an_earlier_edition_is_refused_with_its_successor(
    former: str, successor: str, tmp_path: Path
) -> None:
    """ICC Incoterms 2020 (ICC publication 723), from memory: DAT became DPU in it; the others
    had ended with the edition of 2010, for DAP and DAT."""
    found = study(written(quoted(former, HERE), tmp_path), TODAY, only=("p",))
    (refused,) = (problem for problem in found.problems if problem.code == "unknown-word")
    assert former in refused.message
    assert successor in refused.message
    assert found.parts["p"].comparison.offers == ()
