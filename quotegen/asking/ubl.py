"""The request as a UBL 2.1 RequestForQuotation (ISO/IEC 19845:2015): a line for each quantity.

What UBL has no element for, such as operations and certificates, stands in the item's properties.
Units are of UN/ECE Recommendation 20: C62 is one.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quotegen.asking.request import Request

if TYPE_CHECKING:
    from lxml.etree import _Element

NAMES = "urn:oasis:names:specification:ubl:schema:xsd"
DOCUMENT = f"{NAMES}:RequestForQuotation-2"
AGGREGATE, BASIC = f"{NAMES}:CommonAggregateComponents-2", f"{NAMES}:CommonBasicComponents-2"
PIECE = "C62"
MIDNIGHT = "00:00:00"  # the schema wants a time, and we know the day alone


def as_ubl(request: Request) -> bytes:
    """The document in UTF-8; the same request gives the same bytes."""
    from lxml import etree

    root = etree.Element(
        f"{{{DOCUMENT}}}RequestForQuotation",
        nsmap={None: DOCUMENT, "cac": AGGREGATE, "cbc": BASIC},
    )
    _head(root, request)
    _parties(root, request)
    _delivery(root, request)
    for number, pieces in enumerate(request.quantities, 1):
        _line(root, request, number, pieces)
    etree.indent(root, space="  ")
    data: bytes = etree.tostring(root, xml_declaration=True, encoding="UTF-8")
    return data + b"\n"


def _basic(above: _Element, name: str, text: str, **attributes: str) -> None:
    from lxml import etree

    element = etree.SubElement(above, f"{{{BASIC}}}{name}", attributes)
    element.text = "".join(
        mark if _may_stand(mark) else "\N{REPLACEMENT CHARACTER}" for mark in text
    )


def _may_stand(mark: str) -> bool:
    """Whether XML 1.0, 2.2, lets it stand; we leave out the rest of the control characters too."""
    return mark.isprintable() or mark in "\n\t"


def _group(above: _Element, *names: str) -> _Element:
    from lxml import etree

    for name in names:
        above = etree.SubElement(above, f"{{{AGGREGATE}}}{name}")
    return above


def _head(root: _Element, request: Request) -> None:
    _basic(root, "UBLVersionID", "2.1")
    _basic(root, "ID", request.id)
    _basic(root, "IssueDate", request.dated.isoformat())
    _basic(root, "IssueTime", MIDNIGHT)
    if request.answer_by is not None:
        _basic(root, "SubmissionDueDate", request.answer_by.isoformat())
    for each in request.questions:
        _basic(root, "Note", f"{each.number}. {each.text}")
    _basic(root, "PricingCurrencyCode", request.currency)
    _basic(root, "LineCountNumeric", str(len(request.quantities)))


def _parties(root: _Element, request: Request) -> None:
    party = _group(root, "SellerSupplierParty", "Party")
    _basic(_group(party, "PartyName"), "Name", request.supplier_name)
    _address(_group(party, "PostalAddress"), request.supplier_place, request.supplier_country)
    party = _group(root, "BuyerCustomerParty", "Party")
    _basic(_group(party, "PartyName"), "Name", request.buyer)
    _address(_group(party, "PostalAddress"), request.buyer_place, request.buyer_country)


def _address(address: _Element, city: str, country: str) -> None:
    if city:
        _basic(address, "CityName", city)
    _basic(_group(address, "Country"), "IdentificationCode", country)


def _delivery(root: _Element, request: Request) -> None:
    delivery = _group(root, "Delivery")
    address = _group(delivery, "DeliveryLocation", "Address")
    _address(address, request.buyer_place, request.buyer_country)
    if request.wanted is not None:
        period = _group(delivery, "RequestedDeliveryPeriod")
        _basic(period, "EndDate", request.wanted.isoformat())


def _line(root: _Element, request: Request, number: int, pieces: int) -> None:
    line = _group(root, "RequestForQuotationLine")
    _basic(line, "ID", str(number))
    goods = _group(line, "LineItem")
    _basic(goods, "ID", str(number))
    _basic(goods, "Quantity", str(pieces), unitCode=PIECE)
    item = _group(goods, "Item")
    _basic(item, "Name", request.title)
    _basic(_group(item, "BuyersItemIdentification"), "ID", request.part)
    for drawing in request.drawings:
        reference = _group(item, "ItemSpecificationDocumentReference")
        _basic(reference, "ID", drawing.number)
        _basic(reference, "DocumentType", "drawing")
        _basic(reference, "VersionID", drawing.revision)
    for name, value in _properties(request):
        told = _group(item, "AdditionalItemProperty")
        _basic(told, "Name", name)
        _basic(told, "Value", value)


def _properties(request: Request) -> Iterator[tuple[str, str]]:
    yield "Revision", request.revision
    yield from request.facts
    for detail in request.details:
        yield detail.name, f"{detail.size} {detail.tolerance}".strip()
    yield from (("Operation required", each) for each in request.operations)
    yield from (("Certificate required", each) for each in request.certificates)
