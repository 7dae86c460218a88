"""Quantities and prices in two lists, such as `1/10/100 pcs: 98 / 45.20 / 31.85 EUR`."""

from __future__ import annotations

import itertools
import re
import unicodedata
from dataclasses import dataclass
from fractions import Fraction

from quotegen.taking.context import Reader
from quotegen.taking.figures import (
    NUMBER,
    Basis,
    Signs,
    amounts_in,
    basis_in,
    price_words,
    readings_of,
    signs_of,
)
from quotegen.taking.words import PIECES

_COUNT = r"\d{1,3}(?:[.,' ]\d{3})+|\d{1,6}"
_LIST = re.compile(
    rf"(?<![\d.,/])(?P<counts>(?:{_COUNT})(?:\s?/\s?(?:{_COUNT}))+)\s*(?P<unit>{PIECES})?\s*"
    rf"(?:[.,;]?\s*(?:preise?|prices?|prix|prijs|prijzen|ceny?|prezz[oi])(?: je \w+)?)?\s*"
    rf"(?:[:=@]|at|zu|a|-|\u2013)?\s*(?P<before>[a-z]{{3}}|[\u20ac\u00a3$])?\s*"
    rf"(?P<amounts>{NUMBER}(?:\s?/\s?{NUMBER})+)(?P<after>.{{0,40}})"
)
_LABEL = re.compile(
    r"(?:qty|quantit\w*|menge\w*|stuckzahl\w*|aantal|ilosc\w*|pieces?|pcs|stk|stuck)\W{0,4}$"
)


@dataclass(frozen=True, slots=True)
class Listed:
    """The two lists of a line: quantities, the readings of each amount, and where they stand."""

    counts: tuple[int, ...]
    amounts: tuple[tuple[Fraction, ...], ...]
    currencies: tuple[str, ...]
    basis: Basis | None
    seen: str
    numbers: tuple[str, ...]
    start: int
    end: int
    is_plain: bool


def bare(text: str) -> str:
    """A text in small letters without accents, mark for mark as long as before."""
    small = (mark.lower() if len(mark.lower()) == 1 else mark for mark in text)
    return "".join(unicodedata.normalize("NFKD", mark)[0] for mark in small)


def listed_in(reader: Reader) -> Listed | None:
    """Two lists of the same length, the first of quantities, with a currency at the second."""
    text = bare(reader.line.text)
    for match in _LIST.finditer(text):
        counts = [int(re.sub(r"\D", "", each)) for each in match["counts"].split("/")]
        numbers = [each.strip() for each in match["amounts"].split("/")]
        rises = all(one < two for one, two in itertools.pairwise(counts)) and counts[0] > 0
        if len(counts) != len(numbers) or not rises:
            continue
        end = match.end("amounts")
        shown = f"{(match['before'] or '').upper()} {numbers[-1]}{reader.line.text[end : end + 40]}"
        marked = next(iter(amounts_in(shown)), None)
        if marked is None and not (match["unit"] or _LABEL.search(text[: match.start()])):
            continue
        return Listed(
            counts=tuple(counts),
            amounts=_amounts(numbers, reader.context.signs),
            currencies=marked.currencies if marked is not None else reader.context.currency,
            basis=basis_in(match["after"]),
            seen=reader.line.text[match.start() : match.end()].strip(),
            numbers=tuple(numbers),
            start=match.start(),
            end=match.end(),
            is_plain=bool(match["unit"]) or _LABEL.search(text[: match.start()]) is not None,
        )
    return None


def _amounts(numbers: list[str], signs: Signs) -> tuple[tuple[Fraction, ...], ...]:
    """The readings of each number; one that shows its decimal sign decides for its list."""
    own = signs_of(numbers)
    if signs.sign is None and bool(own.commas) != bool(own.points):
        signs = Signs(declared="," if own.commas else ".")
    return tuple(readings_of(each, signs) for each in numbers)


def prices_listed(reader: Reader, found: Listed) -> None:
    """A price for each quantity: facts where nothing is open, else one question for each."""
    known = reader.context.currency
    currencies = tuple(c for c in found.currencies if c in known) or found.currencies
    firsts = [each[0] for each in found.amounts if each]
    falls = len(firsts) == len(found.counts) and all(
        one >= two for one, two in itertools.pairwise(firsts)
    )
    basis = found.basis or (Basis(count=Fraction(1), unit="piece", said="") if falls else None)
    items = list(reader.each_item())
    for count, amounts, shown in zip(found.counts, found.amounts, found.numbers, strict=True):
        bases = (
            [basis] if basis is not None
            else [Basis(count=Fraction(each), unit="piece", said="") for each in (1, count)]
        )  # fmt: skip
        readings = tuple(
            {"from": str(count), "price": price_words(amount, currency, each)}
            for amount in amounts for currency in currencies for each in bases
        )  # fmt: skip
        keys = ("items", items[0], "prices")
        if len(readings) == 1 and len(items) == 1 and found.is_plain and not reader.is_draft:
            reader.fact(keys, readings[0], shown)
        else:
            reader.ask(keys, readings, found.seen, _why(reader, basis, count))


def _why(reader: Reader, basis: Basis | None, count: int) -> str:
    if reader.is_draft:
        return f"It stands in a letter. Is it the price at {count} pieces?"
    if basis is None:
        return f"Is it for one piece or for all {count} of them?"
    return f"What is the price at {count} pieces?"
