"""What a UBL quotation says beside its prices: packs, revision, origin, tax, units, grand total.

Every function takes the walk through the document, and adds to its findings.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any, Protocol

from quotegen.basics.money import minor_digits, rounded
from quotegen.basics.place import Place
from quotegen.intake.yaml_tree import Keys
from quotegen.taking.fact import Findings, Kept
from quotegen.taking.figures import money_words, price_words
from quotegen.taking.pricing import ONE

if TYPE_CHECKING:
    from lxml.etree import _Element as Element
else:
    Element = Any

# The documents of UBL that are most often taken for a quotation.
DOCUMENTS = {
    "Order": "an order", "OrderResponse": "an answer to an order", "OrderChange": "a changed order",
    "Invoice": "a bill", "CreditNote": "a credit note", "Catalogue": "a list of goods and prices",
    "RequestForQuotation": "a request for a quotation", "DespatchAdvice": "a delivery note",
    "Tender": "a tender", "Statement": "a statement of account", "Reminder": "a reminder",
}  # fmt: skip
DOCUMENT = re.compile(r"\{urn:oasis:names:specification:ubl:schema:xsd:[\w-]{1,80}\}(\w{1,60})")
VERSIONS = re.compile(r"2\.[0-4](?:\.\d+)?")
MOST_COMBINED = 200  # lines whose sums are tried one by one
CENTS = Fraction(5, 100)


class Steps(Protocol):
    """The small steps of a walk through a document."""

    @property
    def found(self) -> Findings: ...
    def one(self, start: Element | None, way: str) -> Element | None: ...
    def all(self, start: Element | None, way: str) -> Sequence[Element]: ...
    def text(self, start: Element | None, way: str) -> str: ...
    def said(self, element: Element) -> str: ...
    def place(self, element: Element) -> Place: ...
    def fact(self, keys: Keys, value: Any, element: Element) -> None: ...
    def ask(self, keys: Keys, readings: tuple[Any, ...], element: Element, ask: str) -> None: ...
    def number(self, element: Element | None) -> Fraction | None: ...


def document_called(tag: str) -> str:
    """What the root of an XML file says that it is, in plain words."""
    match = DOCUMENT.fullmatch(tag)
    name = tag.rpartition("}")[2][:60]
    if match is None:
        return f"XML whose root is {name}"
    words = DOCUMENTS.get(name)
    return f"a UBL {name}, {words}" if words else f"a UBL {name}"


def read_version(walk: Steps, root: Element) -> None:
    """A version that is not known here is told: its elements may say something else."""
    element = walk.one(root, "cbc:UBLVersionID")
    if element is None or VERSIONS.fullmatch(walk.said(element)):
        return
    ask = (
        f"The document says UBL version {walk.said(element)[:20]}; versions 2.0 to 2.4 are known. "
        "It was read as one of these. Is all right? Answer in words, or `leave out`."
    )
    walk.ask(("notes",), (), element, ask)


def read_item(walk: Steps, item: Element, index: int) -> None:
    """Revision, origin, certificates and packs of an item."""
    for each in walk.all(item, "cac:Item/cac:ItemSpecificationDocumentReference/cbc:VersionID"):
        walk.fact(("items", index, "revision"), walk.said(each), each)
    for each in walk.all(item, "cac:Item/cac:OriginCountry/cbc:IdentificationCode"):
        if re.fullmatch(r"[A-Z]{2}", walk.said(each)):
            walk.fact(("items", index, "origin"), walk.said(each), each)
    for each in walk.all(item, "cac:Item/cac:Certificate"):
        _certificate(walk, each, index)
    _packs(walk, item, index)


def _certificate(walk: Steps, certificate: Element, index: int) -> None:
    words = [
        (each, walk.said(each))
        for way in ("cbc:ID", "cbc:CertificateTypeCode", "cbc:CertificateType", "cbc:Remarks")
        for each in walk.all(certificate, way)
    ]
    kind = re.search(r"(?<!\d)[23]\.[12](?!\d)", " ".join(text for _, text in words))
    if kind is not None and words:
        walk.fact(("items", index, "certificates"), f"EN 10204 {kind[0]}", words[0][0])
        return
    told = " ".join(text for _, text in words)
    if told:
        text = f"Certificate: {told}"
        walk.found.kept.append(Kept(text=text[:2000], place=walk.place(certificate)))


def _packs(walk: Steps, item: Element, index: int) -> None:
    for way in ("cac:Item/cbc:PackQuantity", "cac:Item/cbc:PackSizeNumeric"):
        element = walk.one(item, way)
        value = walk.number(element)
        if element is not None and value is not None and value > 1 and value.denominator == 1:
            ask = f"It comes in packs of {value}. Must an order be a multiple of that?"
            walk.ask(("items", index, "multiple"), (str(value),), element, ask)
            return


def other_unit(walk: Steps, item: Element) -> str:
    """What speaks against reading a price by its own unit; "" for nothing."""
    element = walk.one(item, "cac:Price/cbc:OrderableUnitFactorRate")
    rate = walk.number(element)
    if element is None or rate == 1:
        return ""
    return f"one unit of the price is {walk.said(element)} of the units that are ordered"


def read_other_prices(walk: Steps, item: Element, index: int) -> None:
    """Prices under a condition, and prices of places: never taken without a person's word."""
    ways = (
        "cac:PricingReference/cac:AlternativeConditionPrice/cbc:PriceAmount",
        "cac:PricingReference/cac:OriginalItemLocationQuantity/cac:Price/cbc:PriceAmount",
    )
    for way in ways:
        for price in walk.all(item, way):
            value, currency = walk.number(price), price.get("currencyID", "")
            readings: tuple[Any, ...] = ()
            if value is not None and minor_digits(currency) is not None:
                count = walk.text(item, "cbc:MinimumQuantity") or walk.text(item, "cbc:Quantity")
                start = count if re.fullmatch(r"[1-9]\d{0,7}", count) else "1"
                readings = ({"from": start, "price": price_words(value, currency, ONE)},)
            kind = walk.text(price.getparent(), "cbc:PriceType | cbc:PriceChangeReason")
            named = f" ({kind})" if kind else ""
            ask = (
                f"Another price stands beside that of the line{named}, perhaps under a condition. "
                "Does it hold for us? `leave out` if not."
            )
            walk.ask(("items", index, "prices"), readings, price, ask)


def read_tax(walk: Steps, root: Element) -> None:
    """A document that says that its amounts hold tax."""
    for each in root.iter("{*}TaxIncludedIndicator"):
        if walk.said(each).lower() in ("true", "1"):
            ask = "Prices here are without tax. Are these with tax? Then ask for net prices."
            walk.ask(("tax included",), ("yes", "no"), each, ask)
            return


def check_grand_total(walk: Steps, root: Element, worths: Sequence[Fraction]) -> None:
    """What is to be paid, held against the lines: all of them, or one of several breaks."""
    element = walk.one(root, "cac:QuotedMonetaryTotal/cbc:PayableAmount")
    said = walk.number(element)
    if element is None or said is None or not worths or said == 0:
        return
    extras = list(_extras(walk, root))
    whole = sum(worths, Fraction(0))
    bases = {whole, *worths[:MOST_COMBINED]}
    if any(abs(said - base - extra) <= CENTS for base in bases for extra in extras):
        return
    currency = element.get("currencyID", "")
    dearest = whole + max(extras)
    ask = (
        f"The lines cost {_shown(whole, currency)}, with charges and tax "
        f"{_shown(dearest, currency)}; the document says {_shown(said, currency)} to be paid. "
        "What is missing or wrong? Answer in words, or `leave out`."
    )
    walk.ask(("notes",), (), element, ask)


def _extras(walk: Steps, root: Element) -> Iterator[Fraction]:
    """What may be added to the lines: charges, allowances and tax, each counted or not."""
    charges = allowances = Fraction(0)
    for each in root.iter("{*}AllowanceCharge"):
        amount = walk.number(walk.one(each, "cbc:Amount")) or Fraction(0)
        parent = each.getparent()
        if parent is not None and parent.tag.endswith("}Price"):
            continue
        if walk.text(each, "cbc:ChargeIndicator").lower() in ("true", "1"):
            charges += amount
        else:
            allowances += amount
    taxes = [walk.number(each) for each in walk.all(root, "cac:TaxTotal/cbc:TaxAmount")]
    tax = sum((each for each in taxes if each is not None), Fraction(0))
    for plus, minus, more in itertools.product((0, 1), repeat=3):
        yield plus * charges - minus * allowances + more * tax


def _shown(amount: Fraction, currency: str) -> str:
    if (amount * 100).denominator == 1:
        return f"{format(rounded(amount, 2), ',.2f')} {currency}".strip()
    return money_words(amount, currency).strip()
