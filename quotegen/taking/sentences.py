"""Amounts in sentences, each with its words, and those that are prices: for how many, of what.

An amount is looked at with the words before it and up to the next one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from quotegen.taking.context import Reader
from quotegen.taking.fact import Ask, Fact
from quotegen.taking.figures import (
    NUMBER,
    Amount,
    Basis,
    amounts_in,
    basis_in,
    dates_in,
    money_words,
    price_words,
    quantity_in,
    readings_of,
)
from quotegen.taking.words import EACH, KINDS, PIECES, fold

_LEAD = (
    r"(?P<upto>up to|bis(?: zu)?|max\.?|less than|under|below|unter|tot|jusqu'?a|fino a|<=?)|"
    r"(?P<above>over|above|more than|uber|mehr als|>)"
)
QUANTITY = re.compile(
    rf"(?:(?<!\w)(?:{_LEAD})\s*)?(?<![\d.,])(?:(?P<low>{NUMBER})\s*(?:-|\u2013|to|bis|tot|do)\s*)?"
    rf"(?P<count>{NUMBER})\s*(?:\+\s*)?(?P<unit>{PIECES})(?!\w)"
)
_BEHIND = re.compile(
    rf"(?:(?<!\w)(?:from|ab|vanaf|a partir de|od|da|at|bei|for|bij|przy|pour|per)|@)\s*"
    rf"(?P<count>{NUMBER})\s*{PIECES}(?!\w)"
)
_PRICE_OF = re.compile(
    r"(?:^|(?:price|preis|prix|prijs|cena|prezzo)\w*\W{0,3})(?:per|je|pro|par|za|al|/).{1,14}$"
)
_LABELLED = re.compile(
    rf"(?<!\w)(?:qty|quantity|menge|stuckzahl|aantal|quantite|qte|ilosc|quantita|"
    rf"(?:batch|lot)(?: of)?)[.:]*\s?(?P<count>{NUMBER})(?![\w.,/%])"
)


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
    at, told = 0, {"1"} if _has_figures(reader) else set()
    for cell in reader.line.cells:
        start = reader.line.text.find(cell.text, at) if cell.text else -1
        if start < 0:
            continue
        at = start + len(cell.text)
        is_number = re.fullmatch(rf"[-\u2212]?{NUMBER}", cell.text) is not None
        is_money = cell.number is not None or re.search(r"\d[.,]\d", cell.text) is not None
        is_read = cell.number is not None or bool(readings_of(cell.text, reader.context.signs))
        is_other = cell.unit.startswith("%") or _names_something(reader)
        if is_number and is_money and is_read and not is_other and cell.text not in told:
            told.add(cell.text)  # once for one of them and once for all
            yield Amount(number=cell.text, mark=next(iter(currency), NONE), start=start, end=at)


def _has_figures(reader: Reader) -> bool:
    """Whether a row shows a price beside a count of one."""
    return any(re.fullmatch(r"\d{2,}|\d+[.,]\d+.*", cell.text) for cell in reader.line.cells)


def _names_something(reader: Reader) -> bool:
    """Whether the figures of a row are a number of a thing, such as a telephone or a customer."""
    return (
        re.search(
            r"\b(?:no|nr|number|weight\w*|gewicht\w*|mass|masse|poids|waga|peso|tel\w*|phone|fax|ref\w*|customer|kunde\w*|klant\w*|zip|"
            r"vat|iban|konto|pos|"
            r"page|seite|blad|qty|quantity|menge|aantal|ilosc|quantite|cavit\w*|shots|"
            r"rev\w*|index)\b",
            reader.folded,
        )
        is not None
        and kinds_in(reader.folded) == []
    )


_PRICED = re.compile(rf"\d[.,]\d\d\s?(?:each|ea|(?:per|/|je|pro|par|za)\s?{PIECES})(?!\w)")


def _without_currency(reader: Reader) -> Iterator[Amount]:
    """Figures beside the word for a cost, in a sentence that names no currency."""
    is_priced = _PRICED.search(reader.folded) or (
        QUANTITY.search(reader.folded) and EACH.search(reader.folded)
    )
    if reader.line.cells or not (kinds_in(reader.folded) or is_priced):
        return
    text = reader.line.text
    days = {word for date in dates_in(reader.folded) for word in (date.seen, *date.seen.split())}
    for match in re.finditer(rf"(?<![\w.,/-]){NUMBER}(?![\w/%]|[.,]\d|-\d)", text):
        is_money = re.fullmatch(
            r"\d{3,}|.*[.,]\d\d(?:,-)?|\d{1,3}(?:[.,' ]\d{2,3})*[.,' ]\d{3}", match[0]
        )
        behind = fold(text[match.end() : match.end() + 18])
        counted = re.match(
            rf"(?:{PIECES}(?!\w)|shots|schuss|mou?lds|cycles|cavit|fach|days?|tage|dagen|weeks?|wochen|"
            rf"weken|mm|kg|g\b|%)",
            behind,
        )
        if is_money and not counted and match[0] not in days:
            mark = next(iter(reader.context.currency), NONE)
            yield Amount(number=match[0], mark=mark, start=match.start(), end=match.end())


NONE = "XXX"  # ISO 4217: no currency


def kinds_in(words: str) -> list[str]:
    found = [kind for kind, pattern in KINDS.items() if re.search(rf"\b(?:{pattern})", words)]
    if "first article" in found and "inspection" in found:
        found.remove("inspection")
    return found


def quantities_of(reader: Reader, spot: Spot) -> tuple[tuple[int, ...], bool]:
    """From how many pieces an amount may be the price, and whether the words say so plainly."""
    found = list(QUANTITY.finditer(spot.before)) or list(_LABELLED.finditer(spot.before))
    match = found[-1] if found else _BEHIND.search(spot.after)
    if match is None:
        by_mass = basis_in(spot.after[:30])
        is_price = by_mass is not None and by_mass.unit == "g"
        return ((1,), False) if is_price else ((), False)
    groups = match.groupdict()
    quantity = quantity_in(groups.get("low") or match["count"], reader.context.signs)
    counts = quantity.readings if quantity is not None else ()
    if groups.get("upto") and not groups.get("low"):
        return (1, *counts), True
    if groups.get("above"):
        return (*counts, *(each + 1 for each in counts)), True
    return counts, True


def values_of(reader: Reader, spot: Spot) -> tuple[tuple[Fraction, str], ...]:
    """Every amount with its currency that the spot can mean."""
    home = reader.context.home
    unknown = () if home is None else (home,)
    currencies = unknown if spot.amount.mark == NONE else spot.amount.currencies
    meant = tuple(each for each in currencies if each in reader.context.currency) or currencies
    numbers = readings_of(spot.amount.number, reader.context.signs)
    cell = next(
        (c for c in reader.line.cells if c.number is not None and c.text == spot.amount.number),
        None,
    )
    if cell is not None and cell.number is not None:
        numbers = (cell.number,)
    return tuple((number, currency) for number in numbers for currency in meant)


_EACH_BEFORE = re.compile(r"(?<!\w)(?:je|zu je|a je|each at|each|per stuk|la piece|cad\.?)\W{0,3}$")
# What stands between a price and what all its pieces cost.
OF_ALL = re.compile(
    r"^\W*(?:each|/ ?\w+|per \w+|je \w+)?\W*(?:=|(?:line |sub|in )?total\w*|gesamt\w*|summe|"
    r"zusammen|macht|makes|together|altogether|totaal|soit|au total|razem|lacznie|totale|"
    r"amount\w*)\W*$"
)


def price_in_words(
    reader: Reader, spot: Spot, quantities: tuple[int, ...], *, is_short: bool
) -> Fact | Ask:
    """A price in a sentence, such as `100 pcs at 17.40 EUR each`."""
    basis = basis_in(spot.after[:30])
    if basis is not None and basis.count in quantities and _FOR_SO_MANY.match(basis.said):
        basis = None  # `4.20 EUR for 100 pcs` may be each or all of them
    if basis is None and _EACH_BEFORE.search(spot.before):
        basis = Basis(count=Fraction(1), unit="piece", said="")
    if basis is None and _PRICE_OF.search(spot.before.rstrip(" :")):
        basis = basis_in(spot.before)
    values = values_of(reader, spot)
    is_all = basis is None and _FOR_ALL.search(spot.after[:24]) is not None
    is_total = basis is None and not is_all
    readings: list[dict[str, str]] = []
    for count in quantities:
        for number, currency in values:
            if basis is not None:
                readings.append({"from": str(count), "price": price_words(number, currency, basis)})
            elif is_all:
                readings += _each_or_all(count, number, currency)[1:]
            else:
                readings += _each_or_all(count, number, currency)
    why = (
        "It stands in a letter. Is it a price for one part, at this quantity?"
        if reader.is_draft
        else ("Is it for one piece or for all of them?" if is_total else "Which reading is meant?")
    )
    if is_short:
        why = "The line does not say plainly which price is for which quantity. Which is it?"
    seen = reader.line.text if reader.is_draft or is_total or is_short else spot.seen
    items, told = list(reader.each_item()), len(reader.found.facts)
    keys = ("items", items[0], "prices")
    is_named = spot.amount.mark != NONE
    sure = len(readings) == 1 and not reader.is_draft and not is_short and is_named
    if sure and len(items) == 1:
        reader.fact(keys, readings[0], spot.seen)
    else:
        reader.ask(keys, tuple(readings), seen, why)
    is_fact = len(reader.found.facts) > told
    return reader.found.facts[-1] if is_fact else reader.found.asks[-1]


_FOR_SO_MANY = re.compile(r"(?:for|voor|fur|pour|za|dla)(?!\w)")
_FOR_ALL = re.compile(
    r"^\W*(?:in total|total|all in|for all|altogether|for the lot|gesamt|insgesamt|zusammen|"
    r"komplett|samen|totaal|au total|en tout|lacznie|razem|in totale)(?!\w)"
)


def _each_or_all(count: int, number: Fraction, currency: str) -> list[dict[str, str]]:
    each = {"from": str(count), "price": f"{money_words(number, currency)} per 1"}
    whole = {"from": str(count), "price": f"{money_words(number, currency)} per {count}"}
    return [each, whole]
