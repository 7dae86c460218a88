"""Amounts in sentences and loose rows: prices, tools, charges, minimum values, percentages.

An amount that nothing claims is a question: a cost that is not asked about would be lost.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from quotegen.taking.context import Catcher, Reader
from quotegen.taking.figures import (
    NUMBER,
    Amount,
    amounts_in,
    basis_in,
    dates_in,
    money_words,
    price_words,
    quantity_in,
    readings_of,
)
from quotegen.taking.words import KINDS, PIECES, TOTALS, fold

PER: dict[str, str] = {
    "once": r"\bonce\b|one[- ]?off|one[- ]time|einmalig\w*|eenmalig\w*|une fois|jednorazow\w*|"
    r"\bnre\b|non[- ]recurring",
    "order": r"(?:per|each|/|je|pro|par|na|za) ?(?:purchase )?(?:order|auftrag|bestell\w*|opdracht|"
    r"commande|zamowieni\w*)",
    "delivery": r"(?:per|each|/|je|pro|par|na|za) ?(?:delivery|shipment|consignment|lieferung|"
    r"sendung|levering|zending|livraison|expedition|dostaw\w*|wysylk\w*)",
    "batch": r"(?:per|each|/|je|pro|par|na|za) ?(?:batch|lot|los|serie|partij|seri\w*|plate|platte|"
    r"plaat|build)",
    "piece": rf"(?:per|/|je|pro|par|za) ?{PIECES}(?!\w)|\beach\b",
    "year": r"(?:per|a|/|je|pro|par) ?(?:year|jahr|jaar|an\b|annum|rok)",
    "revision": r"(?:per|each|je|pro|par) ?(?:revision|drawing change|anderung|indice)",
}
DOUBTFUL = re.compile(
    r"optional\w*|option\b|if (?:required|needed|wanted)|on request|alternativ\w*|eventual|bedarf|"
    r"auf wunsch|indien gewenst|op verzoek|en option|opcjonaln\w*|approx\w*|\bca\.?\b|circa|about|"
    r"environ|okolo|estimat\w*|amorti\w*|umgelegt|from\b|ab\b|starting|\bnot\b|waived|free|entfallt"
)
LEFT_OVER = re.compile(r"(?<![\d.,])\d+[.,]\d\d(?![\d.,])")  # a figure like a price, unclaimed
QUANTITY = re.compile(rf"(?P<count>{NUMBER})\s*(?P<unit>{PIECES})(?!\w)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """An amount of a line with the words that go with it, folded."""

    amount: Amount
    before: str
    after: str
    seen: str

    @property
    def words(self) -> str:
        return f"{self.before} {self.after}"


def spots(reader: Reader) -> Iterator[Spot]:
    """The amounts of a line, each with its own words: those before it and up to the next."""
    text = reader.line.text
    found = list(amounts_in(text)) or list(_bare(reader)) or list(_without_currency(reader))
    for number, amount in enumerate(found):
        begin = found[number - 1].end if number else 0
        end = found[number + 1].start if number + 1 < len(found) else len(text)
        before, after = text[begin : amount.start], text[amount.end : end]
        if number + 1 < len(found):
            after = re.split(r"[,;.]\s|\s[-\u2013|]\s", after, maxsplit=1)[0]
        if number:
            before = re.split(r"[,;.]\s", before, maxsplit=1)[-1]
        seen = text[amount.start : amount.end].strip()
        yield Spot(amount=amount, before=fold(before), after=fold(after), seen=seen)


def _bare(reader: Reader) -> Iterator[Amount]:
    """Numbers that fill a cell of a loose row of a sheet, whose currency the table says."""
    currency = reader.context.currency
    if not reader.line.cells:
        return
    at = 0
    for cell in reader.line.cells:
        start = reader.line.text.find(cell.text, at) if cell.text else -1
        if start < 0:
            continue
        at = start + len(cell.text)
        is_number = re.fullmatch(rf"[-\u2212]?{NUMBER}", cell.text) is not None
        is_money = cell.number is not None or re.search(r"\d[.,]\d", cell.text) is not None
        is_read = cell.number is not None or bool(readings_of(cell.text, reader.context.signs))
        is_other = cell.unit.startswith("%") or _names_something(reader)
        if is_number and is_money and is_read and not is_other:
            yield Amount(number=cell.text, mark=next(iter(currency), NONE), start=start, end=at)


def _names_something(reader: Reader) -> bool:
    """Whether the figures of a row are a number of a thing, such as a telephone or a customer."""
    return (
        re.search(
            r"\b(?:no|nr|number|tel\w*|phone|fax|ref\w*|customer|kunde\w*|klant\w*|zip|"
            r"vat|iban|konto|pos|"
            r"page|seite|blad|qty|quantity|menge|aantal|ilosc|quantite|cavit\w*|shots|"
            r"rev\w*|index)\b",
            reader.folded,
        )
        is not None
        and _kinds(reader.folded) == []
    )


def _without_currency(reader: Reader) -> Iterator[Amount]:
    """Figures beside the word for a cost, in a sentence that names no currency."""
    if reader.line.cells or not _kinds(reader.folded):
        return
    text = reader.line.text
    for match in re.finditer(rf"(?<![\w.,/-]){NUMBER}(?![\w/%]|[.,]\d|-\d)", text):
        is_money = re.fullmatch(r"\d{3,}|.*[.,]\d\d(?:,-)?|\d{1,3}(?:[.,' ]\d{3})+", match[0])
        behind = fold(text[match.end() : match.end() + 18])
        counted = re.match(
            rf"(?:{PIECES}|shots|schuss|cavit|fach|days?|tage|dagen|weeks?|wochen|"
            rf"weken|mm|kg|g\b|%)",
            behind,
        )
        if is_money and not counted and not dates_in(fold(match[0])):
            mark = next(iter(reader.context.currency), NONE)
            yield Amount(number=match[0], mark=mark, start=match.start(), end=match.end())


NONE = "XXX"  # ISO 4217: no currency


def amounts(reader: Reader) -> None:
    """Each amount of the line as what its words say it is, else as a question."""
    found = list(spots(reader))
    apart = " ; ".join([*(each.before for each in found), *(each.after for each in found[-1:])])
    is_short = (
        len(list(QUANTITY.finditer(apart))) > len(found) or LEFT_OVER.search(apart) is not None
    )
    for spot in found:
        kinds = _kinds(spot.before) or _kinds(spot.after)
        if TOTALS.match(spot.before.strip(" :")) and not kinds:
            reader.found.kept.clear()
            reader.claimed.append((spot.amount.start, spot.amount.end))
            continue
        quantity = _quantity(reader, spot)
        if quantity and not kinds and "total" not in spot.before:
            _price(reader, spot, quantity, is_short=is_short)
        else:
            _charge(reader, spot, kinds)
        reader.claimed.append((spot.amount.start, spot.amount.end))


def _kinds(words: str) -> list[str]:
    found = [kind for kind, pattern in KINDS.items() if re.search(rf"\b(?:{pattern})", words)]
    if "first article" in found and "inspection" in found:
        found.remove("inspection")
    return found


def _quantity(reader: Reader, spot: Spot) -> tuple[int, ...]:
    matches = list(QUANTITY.finditer(spot.before))
    if not matches:
        return ()
    match = matches[-1]
    quantity = quantity_in(match["count"], reader.context.signs)
    return quantity.readings if quantity is not None else ()


def _values(reader: Reader, spot: Spot) -> tuple[tuple[Fraction, str], ...]:
    """Every amount with its currency that the spot can mean."""
    currencies = () if spot.amount.mark == NONE else spot.amount.currencies
    meant = tuple(each for each in currencies if each in reader.context.currency) or currencies
    numbers = readings_of(spot.amount.number, reader.context.signs)
    cell = next(
        (c for c in reader.line.cells if c.number is not None and c.text == spot.amount.number),
        None,
    )
    if cell is not None and cell.number is not None:
        numbers = (cell.number,)
    return tuple((number, currency) for number in numbers for currency in meant)


def _price(reader: Reader, spot: Spot, quantities: tuple[int, ...], *, is_short: bool) -> None:
    """A price in a sentence, such as `100 pcs at 17.40 EUR each`."""
    basis = basis_in(spot.after[:30])
    values = _values(reader, spot)
    is_total = basis is None
    readings: list[dict[str, str]] = []
    for count in quantities:
        for number, currency in values:
            if basis is not None:
                readings.append({"from": str(count), "price": price_words(number, currency, basis)})
            else:
                readings += _each_or_all(count, number, currency)
    why = (
        "It stands in a letter. Is it a price for one part, at this quantity?"
        if reader.is_draft
        else ("Is it for one piece or for all of them?" if is_total else "Which reading is meant?")
    )
    if is_short:
        why = "The line names more quantities than amounts. Which price is for which quantity?"
    seen = reader.line.text if reader.is_draft or is_total or is_short else spot.seen
    for index in reader.each_item():
        keys = ("items", index, "prices")
        sure = len(readings) == 1 and not reader.is_draft and not is_short
        if sure and len(list(reader.each_item())) == 1:
            reader.fact(keys, readings[0], spot.seen)
        else:
            reader.ask(keys, tuple(readings), seen, why)
        break


def _each_or_all(count: int, number: Fraction, currency: str) -> list[dict[str, str]]:
    each = {"from": str(count), "price": f"{money_words(number, currency)} per 1"}
    whole = {"from": str(count), "price": f"{money_words(number, currency)} per {count}"}
    return [each, whole]


def _charge(reader: Reader, spot: Spot, kinds: list[str]) -> None:
    values = _values(reader, spot)
    doubts = DOUBTFUL.search(spot.words) is not None or reader.is_draft
    words = [money_words(number, currency) for number, currency in values if number >= 0]
    kind = kinds[0] if len(kinds) == 1 else ""
    if kinds[:2] == ["minimum value", "set-up"]:
        kind = ""
    if kind == "minimum value":
        _minimum_value(reader, spot, words, doubts)
    elif kind == "tool":
        _tool(reader, spot, words, doubts)
    elif kind:
        _named(reader, spot, kind, words, doubts)
    else:
        _unnamed(reader, spot, words, kinds)


def _minimum_value(reader: Reader, spot: Spot, words: list[str], doubts: bool) -> None:
    readings = tuple({"value": each} for each in words)
    if len(readings) == 1 and not doubts:
        reader.fact(("minimum value",), readings[0], spot.seen)
    else:
        reader.ask(
            ("minimum value",), readings, reader.line.text, "Is this the least value of an order?"
        )


def _tool(reader: Reader, spot: Spot, words: list[str], doubts: bool) -> None:
    what = _what(reader, spot, "tool")
    readings = tuple({"what": what, "price": each} for each in words)
    items = list(reader.each_item())
    if len(readings) == 1 and not doubts and len(items) == 1:
        reader.fact(("items", items[0], "tools"), readings[0], spot.seen)
        return
    ask = "Is this a tool that we pay for?"
    if len(items) > 1:
        ask += " The text does not say for which of the parts."
    numbered = tuple(
        {"tool": f"tool {index + 1}", **each} for each in readings for index in (items[0],)
    )
    reader.ask(("items", items[0], "tools"), numbered, reader.line.text, ask)


def _named(reader: Reader, spot: Spot, kind: str, words: list[str], doubts: bool) -> None:
    """A charge that the line names; what it is paid for stands there too, or is asked."""
    pers = [per for per, pattern in PER.items() if re.search(pattern, spot.words)]
    if "once" in pers and len(pers) > 1:
        pers = ["once"]
    items = list(reader.each_item())
    keys = ("items", items[0], "charges") if len(items) == 1 else ("charges",)
    sure = len(words) == 1 and len(pers) == 1 and not doubts and pers[0] != "batch"
    if sure and len(items) == 1:
        reader.fact(keys, {"what": kind, "amount": words[0], "per": pers[0]}, spot.seen)
        return
    guesses = pers or ["order", "once", "delivery" if kind in ("carriage", "packing") else "piece"]
    readings: tuple[Any, ...] = tuple(
        {"what": kind, "amount": each, "per": per, **({"batch": "1"} if per == "batch" else {})}
        for each in words
        for per in guesses
    )
    ask = f"What is this {kind} charge paid for: each order, once, or something else?"
    if len(pers) == 1:
        ask = f"Is this {kind} charge to be paid, and so?"
    if "batch" in pers:
        ask = f"This {kind} charge is for each batch: how many pieces is a batch? Correct `batch`."
    elif len(items) > 1:
        ask += " It is reckoned in full for each part, unless it is moved to one item."
    reader.ask(keys, readings, reader.line.text, ask)


def _unnamed(reader: Reader, spot: Spot, words: list[str], kinds: list[str]) -> None:
    what = " or ".join(kinds) or "charge"
    pers = [
        per for per, pattern in PER.items() if re.search(pattern, spot.words) and per != "batch"
    ]
    readings = tuple(
        {"what": _what(reader, spot, what), "amount": each, "per": per}
        for each in words
        for per in pers or ("order", "once")
    )
    ask = "No field takes this amount by its words. What is it? `leave out` if it costs us nothing."
    reader.ask(("charges",), readings, reader.line.text, ask)


def _what(reader: Reader, spot: Spot, fallback: str) -> str:
    """What the line calls a cost, without the amount itself."""
    text = reader.line.text
    bare = f"{text[: spot.amount.start].rstrip()}{text[spot.amount.end :]}"
    cleaned = " ".join(bare.split()).strip(" :;.,-=|")
    return cleaned[:80].rstrip() or fallback


PERCENT = re.compile(r"(?P<sign>[-+\u2212])?\s*(?P<share>\d{1,3}(?:[.,]\d{1,2})?)\s*%")
DISCOUNT = re.compile(r"discount|rabatt\w*|nachlass|korting|remise|rabat\b|upust|skonto|rebate")
SURCHARGE = re.compile(
    r"surcharge|\w*zuschlag\w*|\w*toeslag\w*|majoration|supplement|dodatek|doplat\w*|levy|umlage"
)
OF_GOODS = re.compile(
    r"(?:of|on|auf|op|sur|na|vom|der|des) .{0,14}(?:goods|value|price|waren\w*|"
    r"netto\w*|preis\w*|prijs|"
    r"goederen|prix|wartosc\w*|ceny?)"
)


def percentages(reader: Reader) -> None:
    """Surcharges and discounts in per cent, with their base where it is said."""
    discount, surcharge = DISCOUNT.search(reader.folded), SURCHARGE.search(reader.folded)
    if bool(discount) == bool(surcharge):
        return
    for match in PERCENT.finditer(reader.folded):
        share = f"{match['share'].replace(',', '.')} %"
        early = re.search(
            r"skonto|within|innerhalb|binnen|sous|w ciagu|cash|early|prompt", reader.folded
        )
        group = {"what": _what_share(discount or surcharge), "rate": share, "of": ["goods"]}
        if discount:
            group |= {"off": "yes"}
        if discount and early:
            group |= {"condition": reader.line.text[:150], "counted": "no"}
        condition = re.search(
            r"\b(?:from|ab|vanaf|bei|if|wenn|over|above|a partir|od|for orders)\b", reader.folded
        )
        based = OF_GOODS.search(reader.folded)
        sure = based is not None and not condition and not reader.is_draft
        for index in reader.each_item():
            keys = ("items", index, "surcharges")
            if sure or (discount and early and not reader.is_draft):
                reader.fact(keys, group, match[0])
            else:
                ask = "Does it apply, and what is the percentage taken of?"
                reader.ask(keys, (group, {**group, "counted": "no"}), reader.line.text, ask)
        break


def _what_share(match: re.Match[str] | None) -> str:
    return match[0] if match is not None else "surcharge"


MONEY: tuple[Catcher, ...] = (percentages, amounts)
