"""A UBL Quotation (ISO/IEC 19845, versions 2.0 to 2.4): elements become facts, sums are checked.

No schema is needed and no DOCTYPE is let in. Totals never become facts; they are held against
the lines.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Callable, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from quotegen.basics.money import minor_digits, written
from quotegen.basics.place import Place
from quotegen.basics.problem import Problem
from quotegen.intake.files import RawFile, Refused, refuse_other_kinds
from quotegen.intake.yaml_tree import Keys
from quotegen.model import unit_codes
from quotegen.model.fields import FORMER_INCOTERMS, Incoterm
from quotegen.taking.fact import Ask, Fact, Findings, Kept, Sure
from quotegen.taking.figures import Basis, money_words, price_words
from quotegen.taking.seen import Seen
from quotegen.taking.ubl_more import (
    check_grand_total,
    document_called,
    other_unit,
    read_item,
    read_other_prices,
    read_tax,
    read_version,
)

if TYPE_CHECKING:
    from lxml.etree import _Element as Element
else:
    Element = Any

NAMESPACE = "urn:oasis:names:specification:ubl:schema:xsd:"
CBC, CAC = f"{{{NAMESPACE}CommonBasicComponents-2}}", f"{{{NAMESPACE}CommonAggregateComponents-2}}"
SPACES = {"cbc": CBC[1:-1], "cac": CAC[1:-1]}
ROOT = f"{{{NAMESPACE}Quotation-2}}Quotation"
DEEPEST = 40
MOST_LINES = 2000
KEPT = (
    "Note", "SpecialTerms", "Description", "AccountingCost", "ModelName", "InstructionNote",
    "AdditionalInformation", "WarrantyInformation", "LossRisk",
)  # fmt: skip
# UNCL 7161: what a charge is for, as far as a part's quote needs it.
CHARGES = {
    "ABF": "tool", "SU": "set-up", "FC": "carriage", "PC": "packing", "ACH": "heat treatment",
    "SM": "special finish", "IF": "inspection", "CAE": "certificate", "ACI": "plating",
    "ACJ": "painting", "ACK": "polishing", "GAA": "grinding", "TAC": "testing", "CAU": "sorting",
    "AAT": "rush delivery", "PL": "palletizing", "DAN": "minimum order not fulfilled",
}  # fmt: skip


def see_ubl(raw: RawFile, record: str) -> Seen:
    """Raises Refused: file-kind."""
    root = _root(raw, record)
    walk = _Walk(root, raw.place)
    walk.read()
    return Seen(kind="UBL", place=raw.place, found=walk.found)


def _root(raw: RawFile, record: str) -> Element:
    from lxml import etree

    refuse_other_kinds(raw, "a UBL quotation", record)
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, dtd_validation=False,
        huge_tree=False, remove_comments=True, remove_pis=True,
    )  # fmt: skip
    try:
        root = etree.fromstring(raw.data, parser)
    except (etree.XMLSyntaxError, ValueError, LookupError) as error:
        line = getattr(error, "lineno", None)
        raise _refused(Place(raw.path, line or 1, 1), "XML that is broken", record) from error
    info = root.getroottree().docinfo
    if info.internalDTD is not None or info.doctype:
        raise _refused(raw.place, "XML with a DOCTYPE", record)
    if root.tag != ROOT:
        raise _refused(raw.place, document_called(str(root.tag)), record)
    return root


def _refused(place: Place, seen: str, record: str) -> Refused:
    values = {"seen": seen, "expected": "a UBL quotation", "record": record}
    return Refused(Problem.of("file-kind", place, **values))


class _Walk:
    """Goes through the elements that say something; the others that hold text are kept."""

    def __init__(self, root: Element, file: Place) -> None:
        self.root = root
        self.file = file
        self.found = Findings()
        self.used: set[Element] = set()
        self.items: dict[str, int] = {}
        self.sum = Fraction(0)
        self.worths: list[Fraction] = []
        self.sum_is_whole = True

    # small steps

    def one(self, start: Element | None, way: str) -> Element | None:
        """The first element at a way such as `cac:Price/cbc:PriceAmount`."""
        found = self.all(start, way)
        return found[0] if found else None

    def all(self, start: Element | None, way: str) -> Sequence[Element]:
        return _path(way)(start) if start is not None else ()

    def text(self, start: Element | None, way: str) -> str:
        element = self.one(start, way)
        return self.said(element) if element is not None else ""

    def said(self, element: Element) -> str:
        self.used.add(element)
        return " ".join((element.text or "").split())

    def number(self, element: Element | None) -> Fraction | None:
        return _number(self.said(element)) if element is not None else None

    def place(self, element: Element) -> Place:
        return Place(self.file.path, element.sourceline or 1, 1)

    def fact(self, keys: Keys, value: Any, element: Element) -> None:
        seen = self.said(element)
        self.found.facts.append(
            Fact(keys=keys, value=value, seen=seen, place=self.place(element), sure=Sure.SAID)
        )

    def ask(self, keys: Keys, readings: tuple[Any, ...], element: Element, ask: str) -> None:
        seen = self.said(element)
        self.found.asks.append(
            Ask(keys=keys, seen=seen, place=self.place(element), readings=readings, ask=ask)
        )

    # the document

    def read(self) -> None:
        root = self.root
        read_version(self, root)
        self._simple(("quote",), "cbc:ID")
        self._simple(("date",), "cbc:IssueDate")
        self._supplier()
        self._currency()
        self._validity()
        lines = self.all(root, "cac:QuotationLine")
        for line in lines[:MOST_LINES]:
            self._line(line)
        for line in lines[MOST_LINES : MOST_LINES + 1]:
            ask = f"Only the first {MOST_LINES:,} of {len(lines):,} lines are read. What of these?"
            self.ask(("notes",), (), line, ask)
        self._charges(root, ("charges",))
        self._delivery(root)
        self._payment()
        read_tax(self, root)
        self._totals()
        self._rest()

    def _simple(self, keys: Keys, way: str) -> None:
        element = self.one(self.root, way)
        if element is not None and self.said(element):
            value = self.said(element)
            self.fact(keys, value[:10] if keys == ("date",) else value, element)

    def _supplier(self) -> None:
        party = self.one(self.root, "cac:SellerSupplierParty/cac:Party")
        for way in ("cac:PartyName/cbc:Name", "cac:PartyLegalEntity/cbc:RegistrationName"):
            element = self.one(party, way)
            if element is not None and self.said(element):
                self.fact(("supplier",), self.said(element), element)
                return

    def _currency(self) -> None:
        element = self.one(self.root, "cbc:PricingCurrencyCode")
        amounts = list(self.root.iter(f"{CBC}PriceAmount"))
        codes = list(dict.fromkeys(each.get("currencyID", "") for each in amounts))
        known = tuple(code for code in codes if minor_digits(code) is not None)
        stated = self.said(element) if element is not None else ""
        if element is not None and stated and set(known) <= {stated}:
            self.fact(("currency",), stated, element)
        elif len(known) == 1 and not stated:
            self.fact(("currency",), known[0], amounts[codes.index(known[0])])
        elif amounts:
            readings = tuple(dict.fromkeys([*([stated] if stated else []), *known]))
            ask = "Prices stand in more than one currency. Which is the quote's?"
            self.ask(("currency",), readings, element if element is not None else amounts[0], ask)

    def _validity(self) -> None:
        period = self.one(self.root, "cac:ValidityPeriod")
        end, span = self.one(period, "cbc:EndDate"), self.one(period, "cbc:DurationMeasure")
        start = self.one(period, "cbc:StartDate")
        if start is not None:
            self.used.add(start)
        if end is not None:
            self._end(end)
        if span is not None:
            words = self._span(span)
            if words:
                self.fact(("valid for",), words, span)

    def _end(self, end: Element) -> None:
        until, made = self.said(end)[:10], self.text(self.root, "cbc:IssueDate")[:10]
        if made and until < made:
            ask = f"The quote ends on {until}, before its own day, {made}. Until when does it hold?"
            self.ask(("valid until",), (), end, ask)
        else:
            self.fact(("valid until",), until, end)

    def _span(self, element: Element) -> str:
        unit = unit_codes.SPANS.get(element.get("unitCode", ""))
        value = _number(self.said(element))
        if unit is None or value is None or value.denominator != 1:
            self.found.kept.append(
                Kept(
                    text=f"Duration {self.said(element)} {element.get('unitCode', '')}",
                    place=self.place(element),
                )
            )
            return ""
        return f"{int(value)} {unit[:-1] if value == 1 else unit}"

    # one line

    def _line(self, line: Element) -> None:
        item = self.one(line, "cac:LineItem")
        if item is None:
            return
        index = self._item(item)
        self._tier(item, index)
        for other in self.all(
            line, "cac:AlternativeLineItem | cac:SellerProposedSubstituteLineItem"
        ):
            part = self._part(other)
            if part and self.items.get(part) != index:
                self.ask(
                    ("items", index, "notes"),
                    (),
                    other,
                    "Another part is offered instead; is it for us?",
                )
            else:
                self._tier(other, index)
        self._charges(item, ("items", index, "charges"))
        for price in self.all(item, "cac:Price[cac:AllowanceCharge]")[:1]:
            self._charges(price, ("items", index, "charges"), of_price=True)
        if self.one(item, "cac:PricingReference") is not None:
            read_other_prices(self, item, index)
        self._lead(item, index)
        self._delivery(item)
        for note in self.all(line, "cbc:Note | cac:LineItem/cbc:Note"):
            self._keep(note)

    def _part(self, item: Element) -> str:
        for way in (
            "cac:Item/cac:BuyersItemIdentification/cbc:ID",
            "cac:Item/cac:SellersItemIdentification/cbc:ID",
            "cac:Item/cbc:Name",
        ):
            text = self.text(item, way)
            if text:
                return text
        return ""

    def _item(self, item: Element) -> int:
        """The number of the item that a line is for; a new one for a new part."""
        part = self._part(item)
        if part in self.items:
            return self.items[part]
        index = self.items[part] = len(self.items)
        for way in (
            "cac:Item/cac:BuyersItemIdentification/cbc:ID",
            "cac:Item/cac:SellersItemIdentification/cbc:ID",
            "cac:Item/cbc:Name",
        ):
            element = self.one(item, way)
            if element is not None and self.said(element):
                self.fact(("items", index, "part"), part, element)
                break
        self._properties(item, index)
        read_item(self, item, index)
        return index

    def _properties(self, item: Element, index: int) -> None:
        keys = {"revision": "revision", "drawing revision": "revision", "material": "material"}
        for each in self.all(item, "cac:Item/cac:AdditionalItemProperty"):
            name, value = self.text(each, "cbc:Name"), self.one(each, "cbc:Value")
            key = keys.get(name.casefold())
            if key is not None and value is not None:
                self.fact(("items", index, key), self.said(value), value)
            elif value is not None:
                self.found.kept.append(
                    Kept(text=f"{name}: {self.said(value)}", place=self.place(value))
                )

    def _tier(self, item: Element, index: int) -> None:
        price = self.one(item, "cac:Price/cbc:PriceAmount")
        if price is None:
            self.ask(("items", index, "prices"), (), item, "This line has no price. What is it?")
            return
        basis = self._basis(item)
        amount, currency = _number(self.said(price)), price.get("currencyID", "")
        counted = self._quantity(item)
        keys = ("items", index, "prices")
        if (
            amount is None
            or minor_digits(currency) is None
            or basis is None
            or counted is None
            or amount < 0
        ):
            unit = self.one(item, "cac:Price/cbc:BaseQuantity")
            what = unit.get("unitCode", "") if unit is not None else ""
            ask = (
                "The price is not for pieces or a mass that is known here "
                f"({what or currency}). What is it?"
            )
            self.ask(keys, (), price, ask)
            self.sum_is_whole = False
            return
        tier = {"from": str(counted), "price": price_words(amount, currency, basis)}
        other = other_unit(self, item)
        if other:
            self.sum_is_whole = False
            self.ask(keys, (tier,), price, f"Is this the price? The document says that {other}.")
            return
        self._against_total(item, price, keys, tier, basis)

    def _against_total(
        self, item: Element, price: Element, keys: Keys, tier: dict[str, str], basis: Basis
    ) -> None:
        """A tier whose line total agrees is a fact; else both readings are asked."""
        total, asked = self.one(item, "cbc:LineExtensionAmount"), self.one(item, "cbc:Quantity")
        said = _number(self.said(total)) if total is not None else None
        ordered = _number(self.said(asked)) if asked is not None else None
        unit = (asked.get("unitCode") or "C62") if asked is not None else "C62"
        count = (ordered or Fraction(0)) * unit_codes.PIECES.get(unit, 1) or Fraction(tier["from"])
        worth = (_number(self.said(price)) or Fraction(0)) * count / basis.count
        self.sum += said or Fraction(0)
        self.worths.append(said if said is not None else worth)
        if (
            said is None
            or said == worth
            or basis.unit == "g"
            or (abs(said - worth) <= Fraction(1, 100) + count / basis.count / 200)
        ):
            self.fact(keys, tier, price)
            return
        currency = price.get("currencyID", "")
        implied = {**tier, "price": _implied(worth * basis.count / count, said, count, currency)}
        ask = (
            f"{written(count)} pieces at this price cost {money_words(worth, currency)}, but "
            f"the line says {money_words(said, currency)}. Which holds?"
        )
        self.ask(keys, (tier, implied), price, ask)

    def _basis(self, item: Element) -> Basis | None:
        element = self.one(item, "cac:Price/cbc:BaseQuantity")
        if element is None:
            quantity = self.one(item, "cbc:Quantity")
            own = quantity.get("unitCode", "") if quantity is not None else ""
            per = unit_codes.PIECES.get(own or "C62")
            if per is None:
                grams = unit_codes.MASSES.get(own)
                return Basis(count=grams, unit="g", said=own) if grams else None
            return Basis(count=Fraction(per), unit="piece", said=own)
        count, code = _number(self.said(element)), element.get("unitCode", "") or "C62"
        if count is None or count <= 0:
            return None
        if code in unit_codes.PIECES:
            return Basis(count=count * unit_codes.PIECES[code], unit="piece", said=code)
        grams = unit_codes.MASSES.get(code)
        return Basis(count=count * grams, unit="g", said=code) if grams else None

    def _quantity(self, item: Element) -> int | None:
        """From how many pieces the price holds: the minimum, else the quantity quoted."""
        least = self.one(item, "cbc:MinimumQuantity")
        element = least if least is not None else self.one(item, "cbc:Quantity")
        if element is None:
            return 1
        count = _number(self.said(element))
        per = unit_codes.PIECES.get(element.get("unitCode", "") or "C62")
        if per is None and element.get("unitCode", "") in unit_codes.MASSES:
            return None
        if count is None or per is None or (count * per).denominator != 1 or count * per < 1:
            return None
        return int(count * per)

    # charges, terms

    def _charges(self, holder: Element | None, keys: Keys, *, of_price: bool = False) -> None:
        for each in self.all(holder, "cac:AllowanceCharge"):
            amount = self.one(each, "cbc:Amount")
            code = self.text(each, "cbc:AllowanceChargeReasonCode")
            reason = self.text(each, "cbc:AllowanceChargeReason")
            is_charge = self.text(each, "cbc:ChargeIndicator").lower() in ("true", "1")
            factor = self.text(each, "cbc:MultiplierFactorNumeric")
            if amount is None or self._is_nothing(each, amount, reason or code):
                continue
            value, currency = _number(self.said(amount)), amount.get("currencyID", "")
            what = reason or CHARGES.get(code, "") or code or "charge"
            if (
                of_price
                or not is_charge
                or factor
                or value is None
                or minor_digits(currency) is None
            ):
                self._allowance(
                    amount, what, keys, is_charge=is_charge, of_price=of_price, factor=factor
                )
            else:
                self._charge(amount, what, code, money_words(value, currency), keys)

    def _is_nothing(self, charge: Element, amount: Element, what: str) -> bool:
        """A charge of nothing is told; one for each piece is asked as such."""
        each = self.one(charge, "cbc:PerUnitAmount")
        value, currency = self.number(each), each.get("currencyID", "") if each is not None else ""
        if each is not None and value and minor_digits(currency) is not None:
            group = {"what": what or "charge", "amount": money_words(value, currency)}
            ask = f"Is this paid for each piece beside its price ({self.said(amount)} in all)?"
            self.ask(("charges",), ({**group, "per": "piece"},), each, ask)
            return True
        if self.number(amount) != 0:
            return False
        text = f"{what or 'charge'}: {self.said(amount)}"
        self.found.kept.append(Kept(text=text, place=self.place(amount)))
        return True

    def _charge(self, amount: Element, what: str, code: str, money: str, keys: Keys) -> None:
        if code == "ABF":
            index = keys[1] if len(keys) == 3 else 0
            group = {"what": what, "price": money}
            if len(keys) == 3 or len(self.items) == 1:
                self.fact(("items", index, "tools"), group, amount)
            else:
                ask = "A tool for which of the parts?"
                self.ask(("items", 0, "tools"), ({"tool": "tool 1", **group},), amount, ask)
            return
        group = {"what": what, "amount": money}
        readings = tuple({**group, "per": per} for per in ("order", "once", "delivery"))
        ask = (
            "The document does not say what this charge is paid for: each order, once, "
            "each delivery?"
        )
        self.ask(keys, readings, amount, ask)

    def _allowance(
        self,
        amount: Element,
        what: str,
        keys: Keys,
        *,
        is_charge: bool,
        of_price: bool,
        factor: str,
    ) -> None:
        kind = "charge" if is_charge else "discount"
        where = " inside the price" if of_price else ""
        percent = _number(factor) if factor else None
        readings: tuple[Any, ...] = ()
        if percent is not None and percent <= 100:
            share = percent * 100 if percent < 1 else percent
            group = {"what": what, "rate": f"{written(share)} %", "of": ["goods"]}
            if not is_charge:
                group |= {"off": "yes"}
            readings = (group,)
        index = keys[1] if len(keys) == 3 else 0
        ask = f"A {kind}{where} ({what}): is it in the price already? `leave out` if it is."
        self.ask(("items", index, "surcharges"), readings, amount, ask)

    def _lead(self, item: Element, index: int) -> None:
        if not self.all(item, "cac:Delivery | cac:PricingReference"):
            return
        ways = (
            "cac:Delivery/cac:PromisedDeliveryPeriod/cbc:DurationMeasure",
            "cac:Delivery/cac:EstimatedDeliveryPeriod/cbc:DurationMeasure",
            "cac:PricingReference/cac:OriginalItemLocationQuantity/cbc:LeadTimeMeasure",
        )
        for way in ways:
            element = self.one(item, way)
            if element is not None:
                words = self._span(element)
                if words:
                    self.fact(("items", index, "lead time"), words, element)
                    return
        element = self.one(item, "cac:Delivery/cac:PromisedDeliveryPeriod/cbc:EndDate")
        if element is not None:
            made = self.text(self.root, "cbc:IssueDate")[:10]
            day = self.said(element)[:10]
            before = f", before the quote's own day, {made}" if made and day < made else ""
            ask = f"Delivery is promised for {day}{before}. How long is that after the order?"
            self.ask(("items", index, "lead time"), (), element, ask)

    def _delivery(self, holder: Element) -> None:
        for terms in self.all(holder, "cac:DeliveryTerms"):
            element = self.one(terms, "cbc:ID")
            place = self.text(terms, "cac:DeliveryLocation/cbc:Description") or self.text(
                terms, "cac:DeliveryLocation/cac:Address/cbc:CityName"
            )
            if element is None:
                continue
            rule, _, behind = self.said(element).partition(" ")
            rule, place = rule.upper(), place or behind.strip()
            known = {each.value for each in Incoterm}
            if rule in known and place:
                self.fact(("delivery",), f"{rule} {place}", element)
            elif rule in FORMER_INCOTERMS:
                now = FORMER_INCOTERMS[rule]
                ask = (
                    f"{rule} ended with an earlier edition of Incoterms; {now} took its "
                    "place. Is it meant?"
                )
                self.ask(("delivery",), (f"{now} {place or 'place'}",), element, ask)
            else:
                self.ask(
                    ("delivery",),
                    (),
                    element,
                    f"{rule} without a place that is known: rule and place?",
                )
            self._charges(terms, ("charges",))

    def _payment(self) -> None:
        for terms in self.all(self.root, "cac:PaymentTerms"):
            for note in self.all(terms, "cbc:Note"):
                self._keep(note)

    def _totals(self) -> None:
        total = self.one(self.root, "cac:QuotedMonetaryTotal/cbc:LineExtensionAmount")
        said = _number(self.said(total)) if total is not None else None
        if self.sum_is_whole:
            check_grand_total(self, self.root, self.worths)
        if total is None or said is None or not self.sum or not self.sum_is_whole:
            return
        if abs(said - self.sum) > Fraction(1, 100):
            ask = (
                f"The lines add up to {written(self.sum)}, the document says {written(said)}. "
                "Are all lines there? Answer in words, or `leave out`."
            )
            self.ask(("notes",), (), total, ask)

    def _rest(self) -> None:
        """Texts that nothing took are kept, except codes and figures that others imply."""
        for element in self.root.iter(*(f"{{*}}{name}" for name in KEPT)):
            if not len(element):
                self._keep(element)

    def _keep(self, element: Element) -> None:
        if element not in self.used and self.said(element):
            self.found.kept.append(Kept(text=self.said(element)[:2000], place=self.place(element)))


def _implied(amount: Fraction, total: Fraction, count: Fraction, currency: str) -> str:
    """The price that a line's total implies: the same figure for a hundred, or the total itself."""
    for per in (1, 100, 1000):
        if abs(amount * count / per - total) <= Fraction(1, 100) + count / per / 200:
            return f"{money_words(amount, currency)} per {per}"
    return f"{money_words(total, currency)} per {written(count)}"


@functools.cache  # the ways are few, and all of them stand in this module
def _path(way: str) -> Callable[[Element], Sequence[Element]]:
    from lxml import etree

    found: Callable[[Element], Sequence[Element]] = etree.XPath(way, namespaces=SPACES)
    return found


_DECIMAL = re.compile(r"([+-]?)(?=\.?\d)(\d{0,40})(?:\.(\d{0,40}))?", re.ASCII)


@functools.lru_cache(maxsize=1024)  # lines repeat their quantities
def _number(text: str) -> Fraction | None:
    """A decimal of XML Schema: a point, no thousands."""
    match = _DECIMAL.fullmatch(text)
    if match is None:
        return None
    sign, whole, part = match.groups(default="")
    value = Fraction(int(whole + part), 10 ** len(part))
    return -value if sign == "-" else value
